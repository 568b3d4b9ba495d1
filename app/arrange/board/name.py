"""What a board is called."""

from __future__ import annotations

from app.arrange.change import Edit, with_board, words
from app.document.resolve import find_board
from app.document.schema import Design
from app.errors import EditError
from app.model.limits import WORDS

FIELD = "board-name"
"""Name of the field of a form, and of what a refusal is about."""


def rename_board(design: Design, board_id: str | None, name: str) -> Edit:
    """Give a board another name; its id stays, so that addresses and files still find it.

    Raises:
        NotFoundError: no such board.
        EditError: it is empty, too long or not one line, or another board of the design has it.
    """
    board = find_board(design, board_id)
    name = words(name, "The name", FIELD, WORDS.most, 1)
    if name == board.name:
        return Edit(design, "Left the name as it was")
    if any(b.name.casefold() == name.casefold() for b in design.boards if b.id != board.id):
        raise EditError(f"Another board of this design is called “{name}”. Choose another name.", FIELD)
    after = with_board(design, board.model_copy(update={"name": name}))
    return Edit(after, f"Renamed the board “{board.name}” to “{name}”")
