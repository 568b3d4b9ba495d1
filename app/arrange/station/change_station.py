"""Stations as things: change what one is laid out by, and its parts follow.

A part that stands where its station puts it moves with the station. One that was moved by hand, or is locked,
keeps its place until it is asked back. Positions that are new get new letters, those that are gone retire theirs.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from msgspec import Struct

from app.arrange.change import Edit, with_board
from app.arrange.held import refuse_held
from app.arrange.letters import free_id, next_letter, taken_letters
from app.arrange.station.station_seats import Cuts, cuts_for, seated
from app.arrange.station.station_slots import FilledSlot, find_station, standings
from app.arrange.station.stations import Slot, slots
from app.catalogue.load import Catalogue
from app.document.as_built import begun
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry, StationEntry
from app.errors import EditError


def lay_out_station(
    design: Design,
    board_id: str | None,
    arrangement_id: str | None,
    station_id: str,
    changes: Mapping[str, Any],
    catalogue: Catalogue,
    *,
    said: str,
    reset: bool = False,
    everywhere: bool = True,
) -> Edit:
    """Lay a station out anew with other parameters.

    Args:
        design: the design.
        board_id: of what is in view; None for the deck.
        arrangement_id: of what is in view; None for its first arrangement.
        station_id: the station.
        changes: fields of the :class:`StationEntry` to change; checked by whoever read them.
        catalogue: for the parts and how they sit.
        said: what was changed, in words.
        reset: whether parts that were moved by hand are put back where the station wants them.
        everywhere: whether the same station of the board's other arrangements follows. If not, what moves here
            and stands there as well becomes a hole of its own, under a new letter.

    Raises:
        NotFoundError: no such board, arrangement, station or part.
        EditError: there is nothing left of the station, or the arrangement would be too full.
    """
    board = find_board(design, board_id)
    arrangement = find_arrangement(board, arrangement_id)
    old = find_station(arrangement, station_id)
    new = old.model_copy(update=dict(changes))
    if not slots(new):
        raise EditError("The station would have neither a stick nor a button. Keep at least one.", "buttons")
    cuts = cuts_for(design, board.id, arrangement.id, new, catalogue)
    laid = _Layout(board, arrangement, old, new, cuts, reset)
    after = laid.arrangement()
    if everywhere:
        rows = tuple(
            after if a.id == arrangement.id else _follow(a, arrangement, after, old, new) for a in board.arrangements
        )
    else:
        apart = _with_own_letters(board, arrangement, after)
        rows = tuple(apart if a.id == arrangement.id else a for a in board.arrangements)
    changed = board.model_copy(update={"arrangements": rows})
    where = "" if everywhere or len(rows) == 1 else f" in {arrangement.name or arrangement.id} only"
    return Edit(with_board(design, changed), f"{new.name or new.id}: {said}{where}")


class _Layout(Struct, frozen=True):
    board: BoardEntry
    within: ArrangementEntry
    old: StationEntry
    new: StationEntry
    cuts: Mapping[str, Cuts]
    reset: bool

    def arrangement(self) -> ArrangementEntry:
        """The arrangement with the station laid out anew."""
        stood = {(s.slot.row, s.slot.column): s for s in standings(self.old, self.within)}
        places = {(s.row, s.column): s for s in slots(self.new)}
        moved = {
            s.placement.id: self._moved(s.placement, s, places[key])
            for key, s in stood.items()
            if s.placement is not None and key in places
        }
        gone = {
            s.placement.id: s.placement
            for key, s in stood.items()
            if s.placement is not None and key not in places and not s.placement.locked
        }
        kept = [moved.get(p.id, p) for p in self.within.placements if p.id not in gone]
        # A place whose part was removed by hand stays empty; only places that are new get a part.
        wanted = [slot for key, slot in places.items() if key not in stood or self._asked_back(stood[key])]
        retired = tuple(p.label for p in gone.values() if p.label and p.label not in self.within.retired)
        return self.within.model_copy(
            update={
                "placements": (*kept, *self._added(wanted, kept)),
                "stations": tuple(self.new if s.id == self.new.id else s for s in self.within.stations),
                "retired": (*self.within.retired, *retired),
            }
        )

    def _asked_back(self, stood: FilledSlot) -> bool:
        return self.reset and stood.placement is None

    def _moved(self, placement: PlacementEntry, stood: FilledSlot, slot: Slot) -> PlacementEntry:
        update: dict[str, object] = {}
        if not placement.locked and (self.reset or not stood.by_hand):
            update = {"x": round(slot.x, 6), "y": round(slot.y, 6)}
        before = self.old.stick_part if slot.is_stick else self.old.button_part
        if placement.part == before and before != slot.part:
            cut = self.cuts[slot.part]
            update |= {"part": slot.part, "counterbore": cut.counterbore, "recess": cut.recess}
        return placement.model_copy(update=update)

    def _added(self, wanted: list[Slot], kept: list[PlacementEntry]) -> list[PlacementEntry]:
        return seated(wanted, self.new.id, self.cuts, taken_letters(self.board), {p.id for p in kept})


def _follow(
    other: ArrangementEntry, before: ArrangementEntry, after: ArrangementEntry, old: StationEntry, new: StationEntry
) -> ArrangementEntry:
    """Another arrangement after the same change: the same holes moved, the same positions added and removed."""
    if old not in other.stations:
        return other
    was, now = {p.id: p for p in before.placements}, {p.id: p for p in after.placements}
    rows = []
    for placement in other.placements:
        if placement.id in was and placement.station == old.id and placement.id not in now:
            continue
        same = placement.id in was and placement.id in now and _one_hole(placement, was[placement.id])
        rows.append(_taken_over(placement, now[placement.id]) if same else placement)
    ids, labels = {p.id for p in rows}, {p.label for p in rows}
    added = [p for p in after.placements if p.id not in was and p.id not in ids and p.label not in labels]
    gone = tuple(p.label for p in other.placements if p.label and p.id not in ids and p.label not in other.retired)
    return other.model_copy(
        update={
            "placements": (*rows, *added),
            "stations": tuple(new if s == old else s for s in other.stations),
            "retired": (*other.retired, *gone),
        }
    )


_HOLE: Final = ("part", "x", "y", "angle", "label", "counterbore", "recess", "locked")


def _one_hole(a: PlacementEntry, b: PlacementEntry) -> bool:
    return all(getattr(a, name) == getattr(b, name) for name in _HOLE)


def _taken_over(placement: PlacementEntry, now: PlacementEntry) -> PlacementEntry:
    return placement.model_copy(update={name: getattr(now, name) for name in _HOLE})


def _with_own_letters(board: BoardEntry, before: ArrangementEntry, after: ArrangementEntry) -> ArrangementEntry:
    """What moved here and stands in another arrangement as well gets a letter and an id of its own."""
    was = {p.id: p for p in before.placements}
    elsewhere = {p.label for a in board.arrangements if a.id != before.id for p in a.placements if p.label}
    everything = {p.id for a in board.arrangements for p in a.placements} | {p.id for p in after.placements}
    letters = set(taken_letters(board)) | {p.label.upper() for p in after.placements if p.label}
    rows, left = [], []
    for placement in after.placements:
        if placement.id in was and placement.label in elsewhere and not _one_hole(placement, was[placement.id]):
            label = next_letter(letters)
            letters.add(label)
            ident = free_id(label.lower(), everything)
            everything.add(ident)
            left.append(placement.label)
            placement = placement.model_copy(update={"label": label, "id": ident})
        rows.append(placement)
    return after.model_copy(update={"placements": tuple(rows), "retired": (*after.retired, *left)})


def remove_station(
    design: Design, board_id: str | None, arrangement_id: str | None, station_id: str, *, everywhere: bool = False
) -> Edit:
    """Take a station and its parts out of an arrangement; their letters are retired.

    Args:
        design: the design.
        board_id: None for the deck.
        arrangement_id: None for the first.
        station_id: the station.
        everywhere: whether it goes out of the board's other arrangements as well.

    Raises:
        NotFoundError: no such board, arrangement or station.
        EditError: a part of it is locked or drilled.
    """
    board = find_board(design, board_id)
    arrangement = find_arrangement(board, arrangement_id)
    station = find_station(arrangement, station_id)
    own = [p for p in arrangement.placements if p.station == station.id]
    gone = [a for a in board.arrangements if a.id == arrangement.id or everywhere]
    drilled = {ident for a in gone for ident in begun(board, a)}
    refuse_held([p for a in gone for p in a.placements if p.station == station.id], drilled, "delete the station")
    rows = tuple(_without(a, station.id) if a in gone else a for a in board.arrangements)
    after = with_board(design, board.model_copy(update={"arrangements": rows}))
    where = " from every arrangement" if everywhere and len(rows) > 1 else ""
    return Edit(after, f"Deleted {station.name or station.id} with its {len(own)} parts{where}")


def _without(arrangement: ArrangementEntry, station: str) -> ArrangementEntry:
    """An arrangement without a station and its parts."""
    own = [p for p in arrangement.placements if p.station == station]
    retired = tuple(p.label for p in own if p.label and p.label not in arrangement.retired)
    return arrangement.model_copy(
        update={
            "placements": tuple(p for p in arrangement.placements if p.station != station),
            "stations": tuple(s for s in arrangement.stations if s.id != station),
            "retired": (*arrangement.retired, *retired),
        }
    )
