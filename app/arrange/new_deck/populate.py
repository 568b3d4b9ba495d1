"""From stations to placements: parts at their places, lettered in reading order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict

from app.arrange.letters import letter
from app.arrange.placement.seat import Seat
from app.arrange.station.stations import slots
from app.document.schema import CounterboreEntry, PlacementEntry, RecessEntry, StationEntry


def populate(
    stations: Sequence[StationEntry], seats: Mapping[str, Seat], drilled: int | None = None
) -> tuple[PlacementEntry, ...]:
    """Placements of the stations, lettered by station, then the stick, then rows back to front, left to right.

    Args:
        stations: placed on the board.
        seats: by part id; their counterbores and recesses go with the parts.
        drilled: how many buttons of each station are drilled; the positions beyond are kept on the plan and
            switched off. All of them if left out.
    """
    found: list[PlacementEntry] = []
    for station in stations:
        kept = _kept(station, drilled)
        for slot in slots(station):
            label = letter(len(found))
            bore, recess = seats[slot.part].bore, seats[slot.part].recess
            found.append(
                PlacementEntry(
                    id=label.lower(),
                    part=slot.part,
                    x=slot.x,
                    y=slot.y,
                    label=label,
                    station=station.id,
                    drill=slot.is_stick or (slot.row, slot.column) in kept,
                    counterbore=CounterboreEntry(diameter=bore.diameter, depth=bore.depth) if bore else None,
                    recess=RecessEntry(**asdict(recess)) if recess else None,
                )
            )
    return tuple(found)


def _kept(station: StationEntry, drilled: int | None) -> set[tuple[int, int]]:
    """Rows and columns of the positions that a field of ``drilled`` buttons would have."""
    fewer = station
    positions = [slot for slot in slots(station) if not slot.is_stick]
    if drilled is not None and drilled < len(positions):
        fewer = station.model_copy(update={"buttons": drilled})
    return {(slot.row, slot.column) for slot in slots(fewer) if not slot.is_stick}
