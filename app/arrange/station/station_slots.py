"""Which part belongs to which place of a station, and which of them were moved by hand."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.arrange.station.stations import Slot, slots
from app.document.schema import ArrangementEntry, PlacementEntry, StationEntry
from app.errors import NotFoundError

_SAME: Final = 1e-6
"""Places this near are the same [mm]: what is left of binary arithmetic."""

Key = tuple[int, int]
"""Row and column of a place of a station; (−1, −1) for the stick."""


class FilledSlot(Struct, frozen=True):
    """A place of a station and the part that belongs to it.

    Args:
        slot: where the station puts it.
        placement: the part; None if it was removed.
        by_hand: whether the part stands elsewhere, or is locked.
    """

    slot: Slot
    placement: PlacementEntry | None
    by_hand: bool


def find_station(arrangement: ArrangementEntry, station_id: str) -> StationEntry:
    """The station with that id.

    Raises:
        NotFoundError: there is none.
    """
    for station in arrangement.stations:
        if station.id == station_id:
            return station
    known = ", ".join(s.name or s.id for s in arrangement.stations) or "none"
    raise NotFoundError(f"There is no station “{station_id[:40]}” in this arrangement; there are: {known}.")


def standings(station: StationEntry, arrangement: ArrangementEntry) -> tuple[FilledSlot, ...]:
    """Every place of a station with its part: first those that stand where they were put, then the others in order.

    A part moved by hand belongs to a place that is left over; which one is told by the order of the letters.
    """
    left = [p for p in arrangement.placements if p.station == station.id]
    places = slots(station)
    found: dict[Key, PlacementEntry] = {}
    for slot in places:
        here = next((p for p in left if abs(p.x - slot.x) < _SAME and abs(p.y - slot.y) < _SAME), None)
        if here is not None:
            found[slot.row, slot.column] = here
            left.remove(here)
    put = set(found)
    for slot in places:
        key = (slot.row, slot.column)
        if key not in found:
            other = next((p for p in left if (p.part == station.stick_part) == slot.is_stick), None)
            if other is not None:
                found[key] = other
                left.remove(other)
    return tuple(
        FilledSlot(s, p, p is not None and (p.locked or (s.row, s.column) not in put))
        for s in places
        for p in [found.get((s.row, s.column))]
    )
