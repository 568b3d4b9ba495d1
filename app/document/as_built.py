"""What was drilled, between the design file and the model; and what of a design is held where it is by that."""

from __future__ import annotations

from collections.abc import Iterable

from app.document.as_built_schema import MarkEntry
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry
from app.geometry.shapes import Point
from app.model.as_built import SORTS, AsBuilt, CutKey, Mark
from app.model.part import Face

_WHERE = ("part", "x", "y", "angle")
_PLACES = 4
"""Decimals of a millimetre of where a cut should have been: no rule or caliper tells more."""


def as_built_of(arrangement: ArrangementEntry) -> AsBuilt:
    """What was done to a board in an arrangement; of a cut marked twice with the same work the last counts."""
    if not arrangement.as_built:
        return AsBuilt()
    rows = {(row.placement, row.cut, row.work): row for row in arrangement.as_built}
    return AsBuilt(tuple(mark_of(row) for row in rows.values()))


def mark_of(row: MarkEntry) -> Mark:
    """A row of the file as the model has it."""
    sort, _, number = row.cut.partition("-")
    face: Face = "under" if row.under else "top"
    return Mark(
        key=CutKey(row.placement, next(s for s in SORTS if s == sort), int(number)),
        work=row.work,
        face=face,
        at=row.at,
        off=seen_from(face, row.off or (0.0, 0.0)),
        width=row.width,
        measured=row.measured,
        depth=row.depth,
        spoilt=bool(row.spoilt),
        name=row.name,
        when=row.when or "",
        within=row.within,
        by=row.by or "",
    )


def entry_of(mark: Mark) -> MarkEntry:
    """A mark as the file has it."""
    return MarkEntry(
        placement=mark.key.placement,
        cut=mark.key.cut,
        work=mark.work,
        under=True if mark.face == "under" else None,
        at=(round(mark.at[0], _PLACES) + 0.0, round(mark.at[1], _PLACES) + 0.0),
        off=seen_from(mark.face, mark.off) if mark.off != (0.0, 0.0) else None,
        width=mark.width,
        measured=mark.measured,
        depth=mark.depth,
        spoilt=True if mark.spoilt else None,
        name=mark.name,
        when=mark.when or None,
        within=None if mark.within is None else round(mark.within, _PLACES),
        by=mark.by or None,
    )


def seen_from(face: Face, shift: Point) -> Point:
    """A shift as somebody sees it who looks at ``face``, from one on the board from above; the same way back [mm]."""
    return (-shift[0] + 0.0, shift[1]) if face == "under" else shift


def begun(board: BoardEntry, arrangement: ArrangementEntry) -> frozenset[str]:
    """Ids of placements of an arrangement that are in a real board: drilled in it, or as the same hole in another.

    Arrangements of a board share holes, and what moves one moves it in all of them.
    """
    found = {row.placement for row in arrangement.as_built or ()}
    if len(board.arrangements) > 1 and any(a.as_built for a in board.arrangements):
        mine = {p.id: p for p in arrangement.placements}
        for other in board.arrangements:
            drilled = {row.placement for row in other.as_built or ()} if other.id != arrangement.id else set[str]()
            found |= {p.id for p in other.placements if p.id in drilled and p.id in mine and _same(p, mine[p.id])}
    return frozenset(found)


def _same(one: PlacementEntry, other: PlacementEntry) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in _WHERE)


def with_held(design: Design) -> Design:
    """The design with everything that is drilled held where it is, as what a builder locked; the same if nothing is."""
    if not any(a.as_built for b in design.boards for a in b.arrangements):
        return design
    boards = (b.model_copy(update={"arrangements": tuple(_held(b, a) for a in b.arrangements)}) for b in design.boards)
    return design.model_copy(update={"boards": tuple(boards)})


def _held(board: BoardEntry, arrangement: ArrangementEntry) -> ArrangementEntry:
    stay = begun(board, arrangement)
    if not stay:
        return arrangement
    rows = (p.model_copy(update={"locked": True}) if p.id in stay else p for p in arrangement.placements)
    return arrangement.model_copy(update={"placements": tuple(rows)})


def without_held(after: Design, before: Design) -> Design:
    """A design that was changed while what is drilled was held, with the locks the builder set, and no others.

    Args:
        after: the design after the change.
        before: the design before it, as it is stored.
    """
    held = with_held(before)
    if held is before:
        return after
    boards = []
    for board in after.boards:
        was = next((b for b in before.boards if b.id == board.id), None)
        loose = _loose(was) if was is not None else {}
        boards.append(board.model_copy(update={"arrangements": tuple(_loosed(a, loose) for a in board.arrangements)}))
    return after.model_copy(update={"boards": tuple(boards)})


def _loose(board: BoardEntry) -> dict[str, frozenset[str]]:
    """By arrangement the ids that are held though nobody locked them; of all together under the empty name."""
    found = {a.id: frozenset(p.id for p in a.placements if not p.locked) & begun(board, a) for a in board.arrangements}
    return {**found, "": frozenset().union(*found.values())}


def _loosed(arrangement: ArrangementEntry, loose: dict[str, frozenset[str]]) -> ArrangementEntry:
    ids = loose.get(arrangement.id, loose.get("", frozenset()))
    if not any(p.id in ids and p.locked for p in arrangement.placements):
        return arrangement
    rows = (p.model_copy(update={"locked": False}) if p.id in ids else p for p in arrangement.placements)
    return arrangement.model_copy(update={"placements": tuple(rows)})


def undrilled(arrangement: ArrangementEntry) -> ArrangementEntry:
    """The arrangement for another board, of which nothing is drilled yet."""
    return arrangement.model_copy(update={"as_built": None}) if arrangement.as_built else arrangement


def shifted(rows: Iterable[MarkEntry], dx: float, dy: float) -> tuple[MarkEntry, ...]:
    """Marks on a board whose datum edges have moved by ``(-dx, -dy)``: they stay where they are on the material."""
    return tuple(
        r.model_copy(update={"at": (round(r.at[0] + dx, 9) + 0.0, round(r.at[1] + dy, 9) + 0.0)}) for r in rows
    )
