"""The board of a new deck: set-back corners where nothing is in their way, rails, and depth enough below."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Final

from app.arrange.new_deck.clearances import Clearances
from app.arrange.placement.seat import BACK, LEFT, RIGHT, Seat
from app.document.schema import (
    ArrangementEntry,
    BoardEntry,
    CornerEntry,
    DepthBelowEntry,
    EdgeEntry,
    EdgesEntry,
    LayerEntry,
    OutlineEntry,
    PlacementEntry,
)

_SETBACK_STEP: Final = 5.0  # mm; corners are set back by round numbers


def board_of(
    width: float,
    front_to_back: float,
    room: Clearances,
    seats: tuple[Seat, ...],
    placements: tuple[PlacementEntry, ...],
    arrangements: tuple[ArrangementEntry, ...],
) -> BoardEntry:
    """A rectangular deck that carries the placements.

    Args:
        width: [mm].
        front_to_back: front to back [mm].
        room: what board and shop ask.
        seats: every part that stands on it.
        placements: where they stand, in all arrangements.
        arrangements: what the board gets.
    """
    setback = _set_back(width, front_to_back, room, {s.part.id: s for s in seats}, placements)
    corner = (setback, setback) if setback else None
    rule = room.catalogue.rule
    needed = math.ceil(max((room.depth_below(s) for s in seats), default=0.0))
    front, back = rule("deck-depth-front"), rule("deck-depth-back")
    rail = EdgeEntry(rail=room.rail)
    return BoardEntry(
        id="deck",
        name="Control deck",
        outline=OutlineEntry(
            corners=(
                CornerEntry(x=0, y=0),
                CornerEntry(x=width, y=0),
                CornerEntry(x=width, y=front_to_back, setback=corner),
                CornerEntry(x=0, y=front_to_back, setback=corner),
            )
        ),
        layers=tuple(LayerEntry(material=layer.material.id, thickness=layer.thickness) for layer in room.layers),
        edges=EdgesEntry(left=rail, right=rail),
        depth_below=DepthBelowEntry(front=max(front, needed), back=max(back, needed + back - front)),
        arrangements=arrangements,
    )


def _set_back(
    width: float, front_to_back: float, room: Clearances, seats: dict[str, Seat], placements: Iterable[PlacementEntry]
) -> float:
    """The largest set-back, in round numbers, at which every part keeps its margin from the curve [mm]."""
    placements = list(placements)
    setback = min(room.catalogue.rule("deck-setback"), width / 4, front_to_back / 4) // _SETBACK_STEP * _SETBACK_STEP
    while setback > 0:
        if all(_clear(setback, width, front_to_back, room, seats[p.part], p) for p in placements):
            return setback
        setback -= _SETBACK_STEP
    return 0.0


def _clear(
    setback: float, width: float, front_to_back: float, room: Clearances, seat: Seat, at: PlacementEntry
) -> bool:
    across = min(at.x, width - at.x)
    along = front_to_back - at.y
    if across >= setback or along >= setback:
        return True
    margin = max(room.margin(seat, side) for side in (LEFT, RIGHT, BACK))
    return setback - math.hypot(setback - across, setback - along) >= margin
