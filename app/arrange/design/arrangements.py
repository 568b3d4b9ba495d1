"""The arrangements of a board: one more, another name, one less. Letters and ids that go are never given again."""

from __future__ import annotations

from itertools import count

from app.arrange.change import Edit, with_arrangement, with_board, words
from app.arrange.copy_names import copy_name
from app.arrange.letters import free_id
from app.document.as_built import undrilled
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.document.slug import slug
from app.errors import EditError
from app.model.limits import ARRANGEMENTS, WORDS

_LONGEST_ID = 40  # of at most 64 characters: room for a number behind it


def add_arrangement(design: Design, board_id: str | None, source: str | None) -> Edit:
    """One more arrangement: a copy of ``source`` that shares every hole of it under its letters, or a blank one.

    Args:
        design: the design.
        board_id: None for the deck.
        source: id of the arrangement to copy; None for a blank one.

    Raises:
        NotFoundError: no such board or arrangement.
        EditError: the board has as many arrangements as it may have.
    """
    board = find_board(design, board_id)
    if len(board.arrangements) >= ARRANGEMENTS.most:
        raise EditError(ARRANGEMENTS.said(len(board.arrangements) + 1), "kind")
    names = {called(a).casefold() for a in board.arrangements}
    if source is None:
        numbers = count(len(board.arrangements) + 1)
        name = next(text for text in (f"Arrangement {n}" for n in numbers) if text.casefold() not in names)
        new = ArrangementEntry(id=_new_id(board, name), name=name)
        said = f"Added the blank arrangement “{name}”"
    else:
        old = find_arrangement(board, source)
        name = copy_name(called(old), names)
        new = undrilled(old).model_copy(update={"id": _new_id(board, name), "name": name})
        said = f"Copied the arrangement “{called(old)}” as “{name}”"
    grown = board.model_copy(update={"arrangements": (*board.arrangements, new)})
    return Edit(with_board(design, grown), said, arrangement=new.id)


def rename_arrangement(design: Design, board_id: str | None, arrangement_id: str | None, name: str) -> Edit:
    """Give an arrangement another name; its id stays, so that addresses and files still find it.

    Raises:
        NotFoundError: no such board or arrangement.
        EditError: it is empty, too long or not one line, or another arrangement of the board has it.
    """
    board = find_board(design, board_id)
    old = find_arrangement(board, arrangement_id)
    name = words(name, "The name", "called", WORDS.most, 1)
    if any(called(a).casefold() == name.casefold() for a in board.arrangements if a.id != old.id):
        raise EditError(f"Another arrangement of this board is called “{name}”. Choose another name.", "called")
    new = with_arrangement(design, board.id, old.id, lambda entry: entry.model_copy(update={"name": name}))
    return Edit(new, f"Renamed the arrangement “{called(old)}” to “{name}”")


def remove_arrangement(design: Design, board_id: str | None, arrangement_id: str | None) -> Edit:
    """Remove an arrangement; the one before it is looked at next.

    Letters that stand nowhere else are retired in the first that is left: plans already printed may speak of them.

    Raises:
        NotFoundError: no such board or arrangement.
        EditError: it is the only one.
    """
    board = find_board(design, board_id)
    old = find_arrangement(board, arrangement_id)
    rest = tuple(a for a in board.arrangements if a.id != old.id)
    if not rest:
        raise EditError("This is the board’s only arrangement. Add another before you delete it.")
    known = {p.label.upper() for a in rest for p in a.placements} | {text.upper() for a in rest for text in a.retired}
    letters = dict.fromkeys((*old.retired, *(p.label for p in old.placements)))
    left = tuple(text for text in letters if text and text.upper() not in known)
    first = rest[0].model_copy(update={"retired": (*rest[0].retired, *left)})
    update = {"arrangements": (first, *rest[1:]), "gone": (*(board.gone or ()), old.id)}
    before = board.arrangements.index(old) - 1
    lost = "; what was drilled of it is not kept" if old.as_built else ""
    said = f"Deleted the arrangement “{called(old)}”{lost}"
    return Edit(with_board(design, board.model_copy(update=update)), said, arrangement=rest[max(before, 0)].id)


def called(arrangement: ArrangementEntry) -> str:
    """What an arrangement is called: its name, or its id."""
    return arrangement.name or arrangement.id


def _new_id(board: BoardEntry, name: str) -> str:
    """An id from words that no arrangement of the board has or had."""
    wanted = slug(name, longest=_LONGEST_ID, empty="arrangement")
    return free_id(wanted, {a.id for a in board.arrangements} | set(board.gone or ()))
