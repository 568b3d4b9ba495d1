"""A player's station copied to the other player: as the mirror image, or shifted as it is.

Where there is another player's station, its parts become what the copy wants: those it has go there under their own
letters, missing ones get the next letters, surplus ones go and retire theirs. Locked parts stay. Otherwise a station
is added. What was moved by hand is copied where it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from app.arrange.change import Edit, with_arrangement
from app.arrange.letters import free_id
from app.arrange.placement.mirror import centre_line, mirrored
from app.arrange.placement.several import added_copies, centre_of, names_of, tidy
from app.arrange.station.laying import ADMIN
from app.arrange.station.station_slots import Key, find_station, standings
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry, StationEntry
from app.errors import EditError

_COPIED: Final = ("part", "drill", "counterbore", "recess")


def copy_station(
    design: Design, board: str | None, arrangement: str | None, station: str, *, mirror: bool = True
) -> Edit:
    """Copy a station to the other player's side of the centre line.

    Args:
        design: the design.
        board: where it stands; None for the deck.
        arrangement: where it stands; None for the board's first.
        station: its id.
        mirror: whether as a mirror image; otherwise as it is, shifted so that its middle lies where the mirror image's
            would.

    Raises:
        NotFoundError: no such board, arrangement or station.
        EditError: the station has no parts, or stands so near to the middle that the copy would lie on it.
    """
    holder = find_board(design, board)
    within = find_arrangement(holder, arrangement)
    source = find_station(within, station)
    parts = [p for p in within.placements if p.station == station]
    name = source.name or source.id
    if not parts:
        raise EditError(f"{name} has no parts to copy. Choose another station.", "station")
    images = _images(parts, holder, mirror=mirror, name=name)
    other = other_player(within, station)
    entry = _entry(source, holder, parts, other, within, mirror=mirror)
    how = "as its mirror image" if mirror else "as it is"
    if other is None:
        after = with_arrangement(
            design, board, arrangement, lambda a: a.model_copy(update={"stations": (*a.stations, entry)})
        )
        rows = [image.model_copy(update={"station": entry.id}) for image in images.values()]
        return added_copies(after, board, arrangement, rows, f"Copied {name} {how} to {entry.name}: {{}}")
    return _onto(design, board, arrangement, source, other, entry, images, f"Copied {name} {how} to {entry.name}")


def other_player(within: ArrangementEntry, station: str) -> StationEntry | None:
    """The first other station that is a player's; None if there is none."""
    return next((s for s in within.stations if s.id not in (station, ADMIN)), None)


def _images(parts: list[PlacementEntry], board: BoardEntry, *, mirror: bool, name: str) -> dict[str, PlacementEntry]:
    """The copies, by id of what they were copied from."""
    axis = centre_line(board)
    left, right = min(p.x for p in parts), max(p.x for p in parts)
    if left <= axis <= right:
        raise EditError(
            f"{name} crosses the middle of the board, so its copy would overlap it. Move it to one side first.",
            "station",
        )
    if mirror:
        return {p.id: p.model_copy(update=mirrored(p, axis)) for p in parts}
    dx = 2 * (axis - centre_of(parts)[0])
    return {p.id: p.model_copy(update={"x": tidy(p.x + dx)}) for p in parts}


def _entry(
    source: StationEntry,
    board: BoardEntry,
    parts: list[PlacementEntry],
    other: StationEntry | None,
    within: ArrangementEntry,
    *,
    mirror: bool,
) -> StationEntry:
    """The parameters of the copy, under the other player's name."""
    axis = centre_line(board)
    new: dict[str, Any] = {"mirrored": not source.mirrored, "centre": tidy(2 * axis - source.centre)}
    if not mirror:
        new = {"centre": tidy(source.centre + 2 * (axis - centre_of(parts)[0]))}
    if other is not None:
        return source.model_copy(update={**new, "id": other.id, "name": other.name or "the other player"})
    number = 1 + sum(s.id != ADMIN for s in within.stations)
    ident = free_id(f"s{number}", {s.id for s in within.stations})
    return source.model_copy(update={**new, "id": ident, "name": f"Player {number}"})


def _onto(
    design: Design,
    board: str | None,
    arrangement: str | None,
    source: StationEntry,
    other: StationEntry,
    entry: StationEntry,
    images: Mapping[str, PlacementEntry],
    said: str,
) -> Edit:
    """The other station's parts brought to the copy's places."""
    within = find_arrangement(find_board(design, board), arrangement)
    theirs = _by_place(other, within)
    ours = _by_place(source, within)
    pairs = {ours[key]: theirs[key] for key in ours.keys() & theirs.keys()}
    mine = [p for p in within.placements if p.station == other.id]
    keep = set(pairs.values()) | {p.id for p in mine if p.locked}
    gone = [p for p in mine if p.id not in keep]
    target = {their: images[our] for our, their in pairs.items()}

    def change(a: ArrangementEntry) -> ArrangementEntry:
        rows = [_moved(p, target.get(p.id)) for p in a.placements if p not in gone]
        retired = tuple(p.label for p in gone if p.label and p.label not in a.retired)
        stations = tuple(entry if s.id == entry.id else s for s in a.stations)
        return a.model_copy(update={"placements": tuple(rows), "stations": stations, "retired": (*a.retired, *retired)})

    after = with_arrangement(design, board, arrangement, change)
    rest = [image.model_copy(update={"station": entry.id}) for our, image in images.items() if our not in pairs]
    done = added_copies(after, board, arrangement, rest, "")
    words = [f"{names_of(gone)} deleted"] * bool(gone) + [f"{len(rest)} added"] * bool(rest)
    return Edit(done.design, "; ".join([said, *words]))


def _moved(placement: PlacementEntry, image: PlacementEntry | None) -> PlacementEntry:
    if image is None or placement.locked:
        return placement
    to = {name: getattr(image, name) for name in (*_COPIED, "x", "y", "angle")}
    return placement.model_copy(update=to)


def _by_place(station: StationEntry, within: ArrangementEntry) -> dict[Key, str]:
    """Ids of a station's parts by row and column, which count from the stick on either hand."""
    return {(s.slot.row, s.slot.column): s.placement.id for s in standings(station, within) if s.placement is not None}
