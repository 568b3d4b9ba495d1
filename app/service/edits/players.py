"""A further player at a deck: a station like the last one, where it fits best."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.arrange.change import Edit
from app.arrange.station.add_station import add_station, next_station
from app.arrange.station.stations import slots
from app.catalogue.load import catalogue
from app.document.outlines import outline_of
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import Design, StationEntry
from app.document.where import Where
from app.service.checks.checking import judged
from app.service.edits.changes import DesignChange

STEP: Final = 5.0
"""How far apart the places are that are tried for a station [mm]."""

MOST_TRIED: Final = 36
"""Places judged by the fit rules: some 10 ms each."""

_OWN: Final = 24.0  # mm: two parts whose centres are nearer cannot both be there, whatever they are


def station_added(where: Where, *, mirrored: bool = False, beside: bool = False) -> DesignChange:
    """Add a player's station on the other side of the centre line, or where it is least in the way.

    If no place is free of stops and cautions it goes to the one with the fewest, for the report to tell.

    Args:
        where: the board and arrangement.
        mirrored: whether it is for the other hand, as a mirror image of the last player's.
        beside: whether it stands in a further arrangement that shares the holes of this one, which stays as it is.
    """

    def change(design: Design) -> Edit:
        wanted = next_station(design, where.board, where.arrangement, catalogue(), mirrored=mirrored)
        before = _wrong(design, where.board, where.arrangement)
        best, least = wanted, None
        for station in _places(design, where, wanted):
            edit = add_station(design, where.board, where.arrangement, station, catalogue())
            found = _wrong(edit.design, where.board, where.arrangement)
            if least is None or found < least:
                best, least = station, found
            if found <= before:
                break
        return add_station(design, where.board, where.arrangement, best, catalogue(), beside=beside)

    return change


def _wrong(design: Design, board: str | None, arrangement: str | None) -> tuple[int, int]:
    """How many stops and cautions there are."""
    report = judged(resolve(design, board, arrangement, catalogue())).report
    return len(report.stops), len(report.cautions)


def _places(design: Design, where: Where, wanted: StationEntry) -> Iterator[StationEntry]:
    """The station as wanted, then moved sideways by steps, the nearest first, where its parts are clear of others."""
    yield wanted
    board = find_board(design, where.board)
    taken = [(p.x, p.y) for p in find_arrangement(board, where.arrangement).placements]
    x0, _, x1, _ = outline_of(board.outline.corners).bounds
    own = slots(wanted)
    left, right = min(s.x for s in own), max(s.x for s in own)
    shifts = [STEP * k for k in range(int((x0 - left) / STEP), int((x1 - right) / STEP) + 1) if k]
    tried = 1
    for shift in sorted(shifts, key=abs):
        inside = x0 + _OWN < left + shift and right + shift < x1 - _OWN
        if inside and all(max(abs(s.x + shift - x), abs(s.y - y)) > _OWN for s in own for x, y in taken):
            yield wanted.model_copy(update={"centre": wanted.centre + shift})
            tried += 1
        if tried >= MOST_TRIED:
            return


def newest_station(done: Edit, where: Where, *, beside: bool) -> tuple[str, str]:
    """Ids of the arrangement made for the player that was added last, empty if none was, and of his station."""
    board = find_board(done.design, where.board)
    within = board.arrangements[-1] if beside else find_arrangement(board, where.arrangement)
    return within.id if beside else "", within.stations[-1].id
