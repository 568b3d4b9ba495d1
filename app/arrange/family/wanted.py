"""What of a design is to be brought to others, and how."""

from __future__ import annotations

from typing import Final, Literal, cast

from msgspec import Struct

from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design
from app.errors import EditError, NotFoundError
from app.model.limits import BOARDS

Sort = Literal["board", "arrangement", "cut-outs"]

_STEPS: Final = {"board": 1, "arrangement": 2, "cut-outs": 3}

MOST_WANTED: Final = 2 * BOARDS.most
"""Things that are brought in one step."""


class Wanted(Struct, frozen=True):
    """One thing to bring, by its ids in the design it is of.

    Args:
        sort: ``board``, with everything on it; ``arrangement`` of one; or ``cut-outs``, what a maker put on one.
        board: id of the board.
        arrangement: id of the arrangement; empty of a whole board.
        maker: id of the maker; empty of all but cut-outs.
    """

    sort: Sort
    board: str
    arrangement: str = ""
    maker: str = ""

    @property
    def text(self) -> str:
        """The same as an address or a command has it: ``board:grille``, ``arrangement:deck/one``."""
        return f"{self.sort}:{'/'.join(step for step in (self.board, self.arrangement, self.maker) if step)}"


class BringWays(Struct, frozen=True):
    """How things are brought.

    Args:
        replace: whether they take the place of what bears the same id there, though that came from nowhere.
        centred: whether what is put on a board is as far from its middle line as it was, not from its left edge.
    """

    replace: bool = False
    centred: bool = False


class BringSource(Struct, frozen=True):
    """The design that things are brought from; ``id`` is its own on the shelf, empty of a file."""

    design: Design
    id: str = ""


def wanted_of(text: str) -> Wanted:
    """What a text names.

    Raises:
        EditError: it names nothing that can be brought.
    """
    sort, _, rest = text.strip().partition(":")
    steps = rest.split("/")
    if _STEPS.get(sort) != len(steps) or not all(steps):
        raise EditError(
            f"“{text[:80]}” cannot be brought. Write board:ID, arrangement:BOARD/ID or cut-outs:BOARD/ARRANGEMENT/ID.",
            "what",
        )
    return Wanted(cast("Sort", sort), *steps)


def checked_wanted(design: Design, asked: tuple[Wanted, ...]) -> tuple[Wanted, ...]:
    """Those that are there, each once, without what comes with a board that is brought anyway.

    Raises:
        EditError: there are none, or too many.
        NotFoundError: one is not in the design.
    """
    if not asked:
        raise EditError("Choose at least one board, arrangement or set of cut-outs to bring.", "what")
    if len(asked) > MOST_WANTED:
        raise EditError(f"Up to {MOST_WANTED} things are brought at once, got {len(asked)}. Choose fewer.", "what")
    for each in asked:
        board = find_board(design, each.board)
        if each.sort == "board":
            continue
        arrangement = find_arrangement(board, each.arrangement)
        if each.sort == "cut-outs" and all(m.id != each.maker for m in arrangement.makers):
            raise NotFoundError(f"There are no cut-outs “{each.maker[:40]}” in that arrangement. Reload the page.")
    whole = {each.board for each in asked if each.sort == "board"}
    populated = {(each.board, each.arrangement) for each in asked if each.sort == "arrangement"}
    rest = (
        each
        for each in dict.fromkeys(asked)
        if each.sort == "board"
        or (each.board not in whole and (each.sort == "arrangement" or (each.board, each.arrangement) not in populated))
    )
    order = ("board", "arrangement", "cut-outs")
    return tuple(sorted(rest, key=lambda each: order.index(each.sort)))
