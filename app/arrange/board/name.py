"""What a board is called, and the id that nobody sees and that never changes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from app.arrange.change import Edit, with_board, words
from app.arrange.letters import free_id
from app.document.resolve import find_board
from app.document.schema import Design
from app.document.slug import slug
from app.errors import EditError
from app.model.limits import GONE_BOARDS, WORDS

FIELD = "board-name"
"""Name of the field of a form, and of what a refusal is about."""

_LONGEST_ID: Final = 40  # of at most 64 characters: room for a number behind it
_MOST_ID: Final = 64  # characters, as the schema has it
_COUNTED: Final = "board"
_NUMBERED: Final = re.compile(_COUNTED + r"-([0-9]+)")


def rename_board(design: Design, board_id: str | None, name: str) -> Edit:
    """Give a board another name; its id stays, so that addresses and files still find it.

    Raises:
        NotFoundError: no such board.
        EditError: it is empty, too long or not one line, or another board of the design has it.
    """
    board = find_board(design, board_id)
    name = free_name(design, name, FIELD, board.id)
    if name == board.name:
        return Edit(design, "Left the name as it was")
    after = with_board(design, board.model_copy(update={"name": name}))
    return Edit(after, f"Renamed the board “{board.name}” to “{name}”")


def free_name(design: Design, name: str, field: str, own: str = "") -> str:
    """A name for a board, if it can be; ``own`` is the id of the board that may bear it already.

    Raises:
        EditError: it is empty, too long or not one line, or another board of the design has it.
    """
    plain = words(name, "The name", field, WORDS.most, 1)
    if any(b.name.casefold() == plain.casefold() for b in design.boards if b.id != own):
        raise EditError(f"Another board of this design is called “{plain}”. Choose another name.", field)
    return plain


def free_board_id(design: Design, name: str) -> str:
    """An id that no board of the design has or had: from words; counted on once there have been very many.

    Raises:
        EditError: they cannot be counted any further.
    """
    gone = design.gone or ()
    had = {*(b.id for b in design.boards), *gone}
    if len(gone) < GONE_BOARDS.most:
        return free_id(slug(name, longest=_LONGEST_ID, empty=_COUNTED), had)
    found = f"{_COUNTED}-{max((_number(each) for each in had), default=0) + 1}"
    if len(found) > _MOST_ID:  # only a file that was made up counts so far
        raise EditError("This design has run out of names for boards in its file. Begin a new design.", "board")
    return found


def gone_with(gone: Iterable[str], board_id: str) -> tuple[str, ...]:
    """Ids of deleted boards with one more.

    Of more than a design can list, the oldest go. None of them is given again, for from then on ids are counted on
    from the highest, which stays.
    """
    ids = (*gone, board_id)
    highest = max(range(len(ids)), key=lambda k: _number(ids[k]))
    drop = [k for k in range(len(ids)) if k != highest][: max(len(ids) - GONE_BOARDS.most, 0)]
    return tuple(each for k, each in enumerate(ids) if k not in set(drop))


def _number(board_id: str) -> int:
    """The number of an id that was counted; 0 of one from words."""
    found = _NUMBERED.fullmatch(board_id)
    return int(found[1]) if found else 0
