"""The boards and arrangements there are to look at, each with how it stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from app.document.schema import ArrangementEntry, BoardEntry
from app.errors import HolewiseError
from app.service.checks.states import State, worst_of
from app.service.screens.board_list import board_lines
from app.service.screens.words import counted
from app.service.sight import Sight

if TYPE_CHECKING:
    from app.service.workshop import Workshop


class Place(Struct, frozen=True):
    """A board, or an arrangement of the board in view.

    Args:
        id: of it.
        name: what it is called.
        current: whether it is in view.
        state: how it stands: ``stop``, ``caution``, ``fits``, ``unknown``; empty where that is not asked.
        says: the same in words, with how many.
        size: of a board, in words.
        mark: of a board, which changes with what its picture shows.
        about: of a board, what it is for, and how many arrangements it has.
    """

    id: str
    name: str
    current: bool
    state: str = ""
    says: str = ""
    size: str = ""
    mark: str = ""
    about: str = ""


class BoardChoices(Struct, frozen=True):
    """The boards of a design, none where there is but one, and the arrangements of the one in view, in their order."""

    boards: tuple[Place, ...]
    arrangements: tuple[Place, ...]


def places_of(sight: Sight, *, alone: bool = False) -> BoardChoices:
    """What there is to look at instead, a board ``alone`` too; how each stands as far as the sight knows it."""
    from app.document.resolve import find_board

    design, states, board = sight.design, sight.states, find_board(sight.design, sight.checked.board)

    def stands(of: BoardEntry, arrangements: Sequence[ArrangementEntry]) -> tuple[str, str]:
        return said_of([states.get((of.id, a.id)) for a in arrangements] if states is not None else None)

    lines = board_lines(sight.checked.document, design, sight.unit) if alone or len(design.boards) > 1 else ()
    entries = {b.id: b for b in design.boards}
    return BoardChoices(
        tuple(
            Place(
                n.id,
                n.name,
                n.id == board.id,
                *stands(entries[n.id], entries[n.id].arrangements),
                n.size,
                n.mark,
                f"{'The deck' if n.deck else 'Companion'}, {counted(n.arrangements, 'arrangement')}",
            )
            for n in lines
        ),
        tuple(
            Place(a.id, a.name or a.id, a.id == sight.checked.arrangement, *stands(board, [a]))
            for a in board.arrangements
        ),
    )


def said_of(found: Sequence[State | None] | None) -> tuple[str, str]:
    """The kind and the words of how the worst of some arrangements stands; empty where nobody asks."""
    if found is None:
        return "", ""
    known = [state for state in found if state is not None]
    worst = worst_of(known) if known else None
    if worst is not None and worst.stops:
        return "stop", counted(worst.stops, "stop")
    if worst is None or len(known) < len(found):
        return "unknown", "not checked yet"
    return ("caution", counted(worst.cautions, "caution")) if worst.cautions else ("fits", "fits")


def is_there(shop: Workshop, design_id: str, board: str | None, arrangement: str = "") -> bool:
    """Whether a design has the board, and the board the arrangement if one is named.

    So too if nobody can say, for the page itself then tells what is wrong.
    """
    try:
        design = shop.design(design_id)[1]
    except HolewiseError:
        return True
    found = [each for each in design.boards if board is None or each.id == board]
    return any(not arrangement or any(a.id == arrangement for a in each.arrangements) for each in found[:1])
