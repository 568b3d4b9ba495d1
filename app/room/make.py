"""Room made on a board: the smallest total shift that clears what moving can clear, judged by the rules.

The total is the sum of the distances that all parts move. Nothing is offered that the fit report does not find
clear. The search looks at every side on which parts can pass each other, as far as its budget goes: what it
could finish is proven, the rest is the best it found.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from propcache.api import cached_property

from app.catalogue.load import Catalogue
from app.fit.features.layout import layout_of
from app.fit.finding import Finding
from app.fit.registry import RULES
from app.fit.report.report import Report, check
from app.fit.rules.depth_below import DepthDetail
from app.geometry.shapes import Point
from app.model.resolved import ResolvedBoard
from app.room.constraint_set import ConstraintSet, constraint_set_of
from app.room.constraints import constraints_of
from app.room.degrees_of_freedom import DegreesOfFreedom, degrees_of_freedom
from app.room.rounding import rounded
from app.room.solve import Moves, Patience, endless
from app.room.strategies import clear_moves_of
from app.units import Unit
from app.values import replace

MOVING = frozenset(rule.name for rule in RULES if rule.moved)
"""Rules whose findings moving a part can clear."""


class Shift(Struct, frozen=True):
    """How far a placement moves [mm]."""

    placement: str
    dx: float
    dy: float


class Attempt(Struct, frozen=True):
    """What came of trying.

    Args:
        board: as it was.
        before: what the rules found on it.
        wanted: the findings that moving might clear.
        moves: what moves, in reading order of ids; empty if nothing has to, or nothing helps.
        after: what the rules find then; None if no way was found.
        proven: where no way was found, whether it is proven that there is none.
        least: where a way was found, whether it is proven to be the shortest but for 2 %, with what is kept alike.
        loose: whether parts are no longer alike that were, as there was no way that keeps them so.
        stuck: where no way was found, ids of the parts that are short of room together; empty if that is not known.
        rigid: whether stations moved as a whole.
        left: wanted findings that stay, none of them worse than before; empty if all are cleared or no way was found.
    """

    board: ResolvedBoard
    before: Report
    wanted: tuple[Finding, ...]
    moves: tuple[Shift, ...]
    after: Report | None
    proven: bool = False
    loose: bool = False
    stuck: frozenset[str] = frozenset()
    rigid: bool = False
    left: tuple[Finding, ...] = ()
    least: bool = False

    @property
    def cleared(self) -> tuple[Finding, ...]:
        """The wanted findings that are gone then; empty where no way was found."""
        return tuple(f for f in self.wanted if f not in self.left) if self.after is not None else ()

    @property
    def total(self) -> float:
        """Sum of the distances moved [mm]."""
        return float(sum(np.hypot(m.dx, m.dy) for m in self.moves))


class Follower(Struct, frozen=True):
    """Another arrangement of the board, and the ids of the holes it shares, which move there too."""

    board: ResolvedBoard
    shared: frozenset[str]


def shifted(board: ResolvedBoard, shifts: dict[str, tuple[float, float]]) -> ResolvedBoard:
    """The board with placements moved [mm]."""
    placements = tuple(
        p.moved(*shifts[p.id]) if shifts.get(p.id, (0.0, 0.0)) != (0.0, 0.0) else p for p in board.placements
    )
    return board.populated(placements)


def attempt(
    board: ResolvedBoard,
    catalogue: Catalogue,
    *,
    rigid: bool = False,
    followers: Sequence[Follower] = (),
    unit: Unit = Unit.MM,
    more: Patience = endless,
) -> Attempt:
    """The smallest total shift found that clears every stop and caution that moving can clear.

    What is alike stays alike if there is a way so; else what need not be kept is given up.

    Args:
        board: the board.
        catalogue: for the rules.
        rigid: whether stations keep their shape and move as a whole.
        followers: other arrangements, in which shared holes move as well and nothing may become worse.
        unit: in which the shifts are read.
        more: whether may be searched further; where it ends the search, nothing is proven.
    """
    case = Case(board, catalogue, followers, rigid, more)
    if not case.wanted:
        return Attempt(board, case.before, (), (), case.before, rigid=rigid)
    for freedom in case.freedoms:
        if len(wanted_of(case.before, freedom)) < len(case.wanted):
            continue  # what it holds is in the way itself
        constraint_set = case.constraint_set(freedom)
        clear = clear_moves_of(constraint_set)
        for place, moves in enumerate(clear.found):
            judged = case.judged(constraint_set, moves, unit)
            if judged is not None:
                found = Attempt(board, case.before, case.wanted, shifts_of(judged[0]), judged[1], rigid=rigid)
                return replace(found, loose=freedom is not case.freedoms[0], least=clear.proven and place == 0)
    stuck = frozenset(i for i, u in freedom.unit.items() if u in clear.stuck)
    proven = not followers and not clear.found and clear.proven
    return Attempt(board, case.before, case.wanted, (), None, proven=proven, stuck=stuck, rigid=rigid)


def shifts_of(shifts: dict[str, Point]) -> tuple[Shift, ...]:
    """What moves, of shifts of all placements that may [mm]."""
    return tuple(Shift(i, *by) for i, by in shifts.items() if by != (0.0, 0.0))


class Case(Struct, frozen=True, dict=True):
    """A board to make room on, what the rules find on it, and what may move."""

    board: ResolvedBoard
    catalogue: Catalogue
    followers: Sequence[Follower] = ()
    rigid: bool = False
    more: Patience = endless

    @cached_property
    def before(self) -> Report:
        """What the rules find."""
        return check(self.board, self.catalogue)

    @cached_property
    def freedoms(self) -> tuple[DegreesOfFreedom, ...]:
        """What may move: first with all kept alike that is, then with what need not be given up, if that is more."""
        kept, loose = (degrees_of_freedom(self.board, rigid=self.rigid, loose=given_up) for given_up in (False, True))
        same = kept.unit == loose.unit and kept.upright == loose.upright
        return (kept,) if same else (kept, loose)

    @cached_property
    def wanted(self) -> tuple[Finding, ...]:
        """The findings that moving might clear."""
        return wanted_of(self.before, self.freedoms[-1])

    def constraint_set(self, freedom: DegreesOfFreedom) -> ConstraintSet:
        """The needs of the board and of its other arrangements, which share their units."""
        accepted = {(s.finding.rule, frozenset(s.finding.subjects)) for s in self.before.accepted}

        def lenient(rule: str, one: str, other: str) -> bool:
            return (rule, frozenset((one, other) if other else (one,))) in accepted

        members = [constraints_of(layout_of(self.board, self.catalogue), freedom, lenient)]
        for follower in self.followers:
            unit = {i: u for i, u in freedom.unit.items() if i in follower.shared}
            if unit:
                less = replace(freedom, unit=unit)
                members.append(constraints_of(layout_of(follower.board, self.catalogue), less, lambda *_: True))
        return constraint_set_of(members, freedom, self.more)

    def judged(self, constraint_set: ConstraintSet, moves: Moves, unit: Unit) -> tuple[dict[str, Point], Report] | None:
        """Shifts in steps that a person would write down, and what the rules find then; None if that is not clear."""
        shift = rounded(constraint_set, moves, unit)
        if shift is None:
            return None
        shifts = constraint_set.freedom.shifts(shift)
        after = check(shifted(self.board, shifts), self.catalogue)
        clean = _is_clean(self.before, after, self.wanted) and are_followed(self.followers, shifts, self.catalogue)
        return (shifts, after) if clean else None


def wanted_of(report: Report, freedom: DegreesOfFreedom) -> tuple[Finding, ...]:
    """The open findings that moving might clear: not between parts that stay, or that keep to each other."""
    return tuple(f for f in report.open if f.severity != "note" and f.rule in MOVING and _moves(f, report, freedom))


def _moves(finding: Finding, report: Report, freedom: DegreesOfFreedom) -> bool:
    units = [freedom.unit.get(s, -1) for s in finding.subjects]
    if finding.detail.own or max(units, default=-1) < 0:
        return False
    if isinstance(finding.detail, DepthDetail):
        plane, lacking = report.board.free_depth, finding.lack
        if plane is None or (plane.slope_x, plane.slope_y) == (0.0, 0.0):
            return False
        deepest = max(plane.at(c.x, c.y) for c in report.board.outline.corners)
        return plane.at(*finding.where) + lacking <= deepest
    if len(units) > 1 and units[0] == units[1]:
        signs = {s in freedom.mirrored for s in finding.subjects}
        return len(signs) > 1 and not freedom.upright[units[0]]
    return True


def key_of(finding: Finding) -> tuple[str, tuple[str, ...], str, str]:
    """What a finding is about, told apart from others on one board: rule, subjects, severity, edge."""
    return finding.rule, finding.subjects, finding.severity, finding.detail.edge


def _is_clean(before: Report, after: Report, wanted: Sequence[Finding]) -> bool:
    """Whether nothing is left open but what was there before and moving cannot clear."""
    known = {key_of(f) for f in before.open if f not in wanted}
    return all(f.severity == "note" or key_of(f) in known for f in after.open)


def are_followed(followers: Sequence[Follower], shifts: dict[str, tuple[float, float]], catalogue: Catalogue) -> bool:
    """Whether nothing is new in the other arrangements."""
    for follower in followers:
        here = {i: by for i, by in shifts.items() if i in follower.shared}
        if any(by != (0.0, 0.0) for by in here.values()):
            before, after = check(follower.board, catalogue), check(shifted(follower.board, here), catalogue)
            if not _is_clean(before, after, ()):
                return False
    return True
