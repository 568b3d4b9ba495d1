"""What was measured on the real board, many cuts at once, as one edit: ticks, centres, distances, widths."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, Literal

from msgspec import Struct

from app.arrange.as_built.marking import clear_marks, mark_cuts
from app.arrange.change import Edit
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.geometry.shapes import Point
from app.model.as_built import CutKey, Mark, MeasuredBy, Work
from app.model.limits import FARTHEST_OFF, NARROWEST_CUT, WIDEST_MEASURED
from app.model.resolved import ResolvedBoard
from app.service.edits.as_built import GONE
from app.service.edits.built_distances import KnownHoles, TwoDistances, Ways, worked_out
from app.service.edits.changes import DesignChange
from app.service.screens.words import length
from app.shop.board_steps import BoardCut, board_cuts
from app.units import Unit
from app.values import replace

BEFORE: Final[tuple[Work, ...]] = ("pilot", "halfway")
"""What is done to a hole before it is through."""

Tick = Literal["", "drilled", "not drilled"]


class TypedCut(Struct, frozen=True):
    """What is said of one cut.

    Args:
        code: its name.
        tick: that it is drilled, or is not after all; empty where its tick was left as it was.
        x, y: its centre from the left and the front datum edge [mm]; None where nothing was typed.
        between: its distances to two other holes; None where nothing was typed.
        measured: how wide it is [mm]; None where nothing was typed.
        within: how far the centre may be from there [mm]; None where it was measured by hand.
        by: what measured it; empty for a rule or a calliper.
    """

    code: str
    tick: Tick = ""
    x: float | None = None
    y: float | None = None
    between: TwoDistances | None = None
    measured: float | None = None
    within: float | None = None
    by: MeasuredBy = ""

    @property
    def says_something(self) -> bool:
        """Whether anything was typed or ticked."""
        return bool(self.tick) or self.measures

    @property
    def measures(self) -> bool:
        """Whether anything was measured."""
        return any(value is not None for value in (self.x, self.y, self.between, self.measured))


def cuts_typed(
    where: Where, rows: Sequence[TypedCut], when: str, *, ways: Ways = "centres", unit: Unit = Unit.MM
) -> DesignChange:
    """Note what was ticked and measured of some cuts, as one step; a hole that is through needs no pilot any more.

    Args:
        where: the board.
        rows: what is said of each; rows that say nothing are passed over.
        when: date and time in UTC, as ``2026-02-01T10:30:00Z``.
        ways: what distances between holes were measured from and to.
        unit: of the sentences.
    """

    def change(design: Design) -> Edit:
        board = resolve(design, where.board, where.arrangement, catalogue())
        typing = _Typing(board, when, ways, unit)
        for row in rows:
            typing.read(row)
        if typing.problems:
            raise EditError.of(typing.problems)
        return _edited(design, where, typing)

    return change


def rest_ticked(where: Where, placement: str, when: str) -> DesignChange:
    """Note that every cut that nobody marked is drilled where it should be: of one placement, or of the whole board."""

    def change(design: Design) -> Edit:
        board = resolve(design, where.board, where.arrangement, catalogue())
        left = [
            cut
            for cut in board_cuts(board)
            if board.as_built.of(cut.key, cut.work) is None and placement in ("", cut.key.placement)
        ]
        if not left:
            raise EditError("Everything is marked already. Untick what is not drilled.", "rows")
        return mark_cuts(design, where.board, where.arrangement, [cut.marked(when=when) for cut in left])

    return change


def last_cuts(board: ResolvedBoard) -> tuple[BoardCut, ...]:
    """Every cut of a board by what is done to it last: no pilots of holes, and none begun from below."""
    return tuple(cut for cut in board_cuts(board) if cut.work not in BEFORE)


class _Typing:
    """Rows read one after the other against a board: marks to make, marks to take back, and what is wrong."""

    def __init__(self, board: ResolvedBoard, when: str, ways: Ways, unit: Unit) -> None:
        self.board, self.when, self.ways, self.unit = board, when, ways, unit
        cuts = board_cuts(board)
        self._cuts = {cut.code: cut for cut in cuts if cut.work not in BEFORE}
        self._before: dict[CutKey, list[BoardCut]] = {}
        for cut in cuts:
            if cut.work in BEFORE:
                self._before.setdefault(cut.key, []).append(cut)
        self._holes = KnownHoles(board, tuple(self._cuts.values()))
        self.marks: list[Mark] = []
        self.before: list[Mark] = []
        self.cleared: list[tuple[CutKey, Work]] = []
        self.problems: dict[str, str] = {}

    def read(self, row: TypedCut) -> None:
        """Read one row."""
        cut = self._cuts.get(row.code)
        if not row.says_something:
            return
        if cut is None:
            self.problems.setdefault("rows", GONE)
            return
        if row.tick == "not drilled":
            self._untick(row, cut)
            return
        known = self.board.as_built.of(cut.key, cut.work)
        place = self._place(row, cut, known)
        if place is None or not self._is_wide(row):
            return
        off, within = place
        again = row.x is not None or row.y is not None or row.between is not None
        by = row.by if again or known is None else known.by
        measured = row.measured if row.measured is not None else (known.measured if known is not None else None)
        self.marks.append(replace(cut.marked(off, measured=measured, when=self.when), within=within, by=by))
        for first in self._before.get(cut.key, ()):
            if self.board.as_built.of(first.key, first.work) is None:
                self.before.append(first.marked(off, when=self.when))

    def _untick(self, row: TypedCut, cut: BoardCut) -> None:
        if row.measures:
            typed = (("x", row.x), ("y", row.y), ("m", row.measured), ("a", row.between))
            field = next(name for name, value in typed if value is not None)
            self.problems[f"{field}.{cut.code}"] = (
                "This is measured, and no longer ticked as drilled. Tick it, or empty what you typed."
            )
            return
        self.cleared.append((cut.key, cut.work))
        last = self.board.as_built.of(cut.key, cut.work)
        for work in BEFORE:
            first = self.board.as_built.of(cut.key, work)
            if first is not None and last is not None and first.when == last.when:  # they were ticked as one
                self.cleared.append((cut.key, work))

    def _place(self, row: TypedCut, cut: BoardCut, known: Mark | None) -> tuple[Point, float | None] | None:
        """How far off the cut came out, and how sure that is; None where that cannot be."""
        x0, y0, _, _ = self.board.outline.bounds
        within: float | None
        if row.between is not None:
            if row.x is not None or row.y is not None:
                self.problems[f"a.{cut.code}"] = "Type the centre or the two distances, not both."
                return None
            found = worked_out(self._holes, cut, row, self.ways, self.unit)
            if isinstance(found, dict):
                self.problems |= found
                return None
            real, within = found
        else:
            was = known.centre if known is not None and not known.spoilt else cut.at
            typed = row.x is not None or row.y is not None
            real = (was[0] if row.x is None else x0 + row.x, was[1] if row.y is None else y0 + row.y)
            within = row.within if typed or known is None else known.within
        off = (real[0] - cut.at[0], real[1] - cut.at[1])
        for name, value, words in (("x", off[0], "the left edge"), ("y", off[1], "the front edge")):
            if abs(value) > FARTHEST_OFF:
                field = "a" if row.between is not None else name
                self.problems[f"{field}.{cut.code}"] = (
                    f"That is {length(abs(value), self.unit)} from where {cut.name} should be; at most "
                    f"{length(FARTHEST_OFF, self.unit)} is. Is it another hole, or not measured from {words}?"
                )
                return None
        return (_tidy(off[0]), _tidy(off[1])), within

    def _is_wide(self, row: TypedCut) -> bool:
        if row.measured is None or NARROWEST_CUT <= row.measured <= WIDEST_MEASURED:
            return True
        least, most = length(NARROWEST_CUT, self.unit), length(WIDEST_MEASURED, self.unit)
        self.problems[f"m.{row.code}"] = (
            f"A hole is {least} to {most} wide, got {length(row.measured, self.unit)}. Measure it again."
        )
        return False


def _tidy(mm: float) -> float:
    """A shift to a ten-thousandth of a millimetre: less is only how numbers are rounded."""
    return round(mm, 4) + 0.0


def _edited(design: Design, where: Where, typing: _Typing) -> Edit:
    """The design with the marks, as one step; what was done is said of holes, not of their pilots."""
    said: list[str] = []
    if typing.before:
        design = mark_cuts(design, where.board, where.arrangement, typing.before).design
    if typing.marks:
        done = mark_cuts(design, where.board, where.arrangement, typing.marks)
        design, said = done.design, [done.summary]
    known: Mapping[tuple[CutKey, Work], object] = {(m.key, m.work): m for m in typing.board.as_built.marks}
    gone = [one for one in typing.cleared if one in known]
    if gone:
        done = clear_marks(design, where.board, where.arrangement, gone)
        design, said = done.design, [*said, done.summary]
    if not said:
        raise EditError("Nothing is new here. Tick what is drilled, or type what you measured.", "rows")
    return Edit(design, "; ".join(said))
