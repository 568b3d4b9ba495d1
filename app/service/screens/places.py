"""The boards and arrangements there are to look at, each with how it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from app.document.schema import ArrangementEntry, BoardEntry
from app.errors import HolewiseError
from app.service.checks.states import State, worst_of
from app.service.screens.words import counted
from app.service.sight import Sight

if TYPE_CHECKING:
    from app.service.workshop import Workshop


@dataclass(frozen=True, slots=True)
class Place:
    """A board, or an arrangement of the board in view.

    Args:
        id: of it.
        name: what it is called.
        current: whether it is in view.
        state: how it stands: ``stop``, ``caution``, ``fits``, ``unknown``; empty where that is not asked.
        says: the same in words, with how many.
    """

    id: str
    name: str
    current: bool
    state: str = ""
    says: str = ""


@dataclass(frozen=True, slots=True)
class BoardChoices:
    """The boards of a design, and the arrangements of the one in view, in the order of the document."""

    boards: tuple[Place, ...]
    arrangements: tuple[Place, ...]


def places_of(sight: Sight) -> BoardChoices:
    """What there is to look at instead; how each stands as far as the sight knows it."""
    from app.document.resolve import find_board

    design, states, board = sight.design, sight.states, find_board(sight.design, sight.checked.board)

    def stands(of: BoardEntry, arrangements: Sequence[ArrangementEntry]) -> tuple[str, str]:
        return said_of([states.get((of.id, a.id)) for a in arrangements] if states is not None else None)

    return BoardChoices(
        tuple(Place(b.id, b.name or b.id, b.id == board.id, *stands(b, b.arrangements)) for b in design.boards),
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


def is_there(shop: Workshop, design_id: str, board: str | None, arrangement: str) -> bool:
    """Whether a board has the arrangement; so if nobody can say, for the page itself then tells what is wrong."""
    from app.document.resolve import find_board

    try:
        found = find_board(shop.design(design_id)[1], board)
    except HolewiseError:
        return True
    return any(each.id == arrangement for each in found.arrangements)
