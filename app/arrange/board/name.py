"""What a board is called, and the id that nobody sees and that never changes."""

from __future__ import annotations

from typing import Final

from app.arrange.change import Edit, with_board, words
from app.arrange.letters import free_id
from app.document.resolve import find_board
from app.document.schema import Design
from app.document.slug import slug
from app.errors import EditError
from app.model.limits import WORDS

FIELD = "board-name"
"""Name of the field of a form, and of what a refusal is about."""

_LONGEST_ID: Final = 40  # of at most 64 characters: room for a number behind it


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
    """An id from words that no board of the design has or had."""
    wanted = slug(name, longest=_LONGEST_ID, empty="board")
    return free_id(wanted, {b.id for b in design.boards} | set(design.gone or ()))
