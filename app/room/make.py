"""Room made on a board: the smallest total shift that clears what moving can clear, judged by the rules.

The total is the sum of the distances that all parts move. Nothing is offered that the fit report does not find
clear; the search itself is a descent from several starts, which finds a smallest shift nearby, not a proof
that no smaller one exists.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from app.catalogue.load import Catalogue
from app.fit.change import moved
from app.fit.finding import Finding
from app.fit.layout import Floats, layout_of
from app.fit.report import Report, check
from app.model.resolved import ResolvedBoard
from app.room.freedom import Freedom, freedom_of
from app.room.ground import Ground, ground_of
from app.room.rounding import rounded
from app.room.solve import Moves, descend

MOVING = frozenset(
    (
        "outside-board",
        "edge-distance",
        "edge-slot",
        "web",
        "flange-overlap",
        "flange-overhang",
        "under-clash",
        "rail-clash",
        "depth-below",
    )
)
"""Rules whose findings moving a part can clear."""

_FEW = 3  # parts short of room: so few are tried from many starts
_JITTERS = (4.0, 8.0, 16.0, 30.0)  # mm: how far from where they are the starts of the search lie
_WILD = (12.0, 16.0, 24.0, 30.0, 40.0, 60.0) * 2  # mm: the same where the usual ones find no way
_OFFERED = 3  # of the ways found, those that are rounded and judged


@dataclass(frozen=True, slots=True)
class Shift:
    """How far a placement moves [mm]."""

    placement: str
    dx: float
    dy: float


@dataclass(frozen=True)
class Attempt:
    """What came of trying.

    Args:
        board: as it was.
        before: what the rules found on it.
        wanted: the findings that moving might clear.
        moves: what moves, in reading order of ids; empty if nothing has to, or nothing helps.
        after: what the rules find then; None if no way was found.
    """

    board: ResolvedBoard
    before: Report
    wanted: tuple[Finding, ...]
    moves: tuple[Shift, ...]
    after: Report | None

    @property
    def total(self) -> float:
        """Sum of the distances moved [mm]."""
        return float(sum(np.hypot(m.dx, m.dy) for m in self.moves))


@dataclass(frozen=True, slots=True)
class Follower:
    """Another arrangement of the board, and the ids of the holes it shares, which move there too."""

    board: ResolvedBoard
    shared: frozenset[str]


def shifted(board: ResolvedBoard, shifts: dict[str, tuple[float, float]]) -> ResolvedBoard:
    """The board with placements moved [mm]."""
    placements = tuple(
        moved(p, *shifts[p.id]) if shifts.get(p.id, (0.0, 0.0)) != (0.0, 0.0) else p for p in board.placements
    )
    return replace(board, placements=placements)


def attempt(
    board: ResolvedBoard,
    catalogue: Catalogue,
    *,
    rigid: bool = False,
    followers: Sequence[Follower] = (),
    thorough: bool = True,
) -> Attempt:
    """The smallest total shift found that clears every stop and caution that moving can clear.

    Args:
        board: the board.
        catalogue: for the rules.
        rigid: whether stations keep their shape and move as a whole.
        followers: other arrangements, in which shared holes move as well and nothing may become worse.
        thorough: whether to start from more than where the parts are.
    """
    before = check(board, catalogue)
    freedom = freedom_of(board, rigid=rigid)
    wanted = wanted_of(before, freedom)
    if not wanted:
        return Attempt(board, before, (), (), before)
    grounds = _grounds(board, before, freedom, followers, catalogue)
    for moves in _ways(grounds, freedom, thorough=thorough):
        shift = rounded(grounds, freedom, moves)
        if shift is None:
            continue
        shifts = freedom.shifts(shift)
        after = check(shifted(board, shifts), catalogue)
        if _is_clean(before, after, wanted) and _followed(followers, shifts, catalogue):
            done = tuple(Shift(i, *by) for i, by in shifts.items() if by != (0.0, 0.0))
            return Attempt(board, before, wanted, done, after)
    return Attempt(board, before, wanted, (), None)


def wanted_of(report: Report, freedom: Freedom) -> tuple[Finding, ...]:
    """The open findings that moving might clear: not between parts that stay, or that keep to each other."""
    return tuple(f for f in report.open if f.severity != "note" and f.rule in MOVING and _moves(f, report, freedom))


def _moves(finding: Finding, report: Report, freedom: Freedom) -> bool:
    units = [freedom.unit.get(s, -1) for s in finding.subjects]
    if "own" in finding.detail or max(units, default=-1) < 0:
        return False
    if finding.rule == "depth-below":
        plane, lacking = report.board.depth, finding.lack
        if plane is None or (plane.slope_x, plane.slope_y) == (0.0, 0.0):
            return False
        deepest = max(plane.at(c.x, c.y) for c in report.board.outline.corners)
        return plane.at(*finding.where) + lacking <= deepest
    if len(units) > 1 and units[0] == units[1]:
        signs = {s in freedom.mirrored for s in finding.subjects}
        return len(signs) > 1 and not freedom.upright[units[0]]
    return True


def _grounds(
    board: ResolvedBoard, before: Report, freedom: Freedom, followers: Sequence[Follower], catalogue: Catalogue
) -> list[Ground]:
    accepted = {(s.finding.rule, frozenset(s.finding.subjects)) for s in before.accepted}

    def lenient(rule: str, one: str, other: str) -> bool:
        return (rule, frozenset((one, other) if other else (one,))) in accepted

    grounds = [ground_of(layout_of(board, catalogue), freedom, lenient)]
    for follower in followers:
        unit = {i: u for i, u in freedom.unit.items() if i in follower.shared}
        if unit:
            less = replace(freedom, unit=unit)
            grounds.append(ground_of(layout_of(follower.board, catalogue), less, lambda *_: True))
    return grounds


def _ways(grounds: Sequence[Ground], freedom: Freedom, *, thorough: bool) -> list[Moves]:
    """What the search finds, the least shift first; where the usual starts find no way, more and wilder ones."""
    m = len(freedom)
    hit = _short_of_room(grounds, m)
    few = len(hit) <= _FEW
    starts = [np.zeros((m, 2))]
    if thorough:
        starts += _starts(freedom, hit, _JITTERS * 4 if few else _JITTERS[:2])
    found = [descend(grounds, freedom, start) for start in starts]
    if thorough and not any(f.clear for f in found):
        found += [descend(grounds, freedom, start) for start in _starts(freedom, hit, _WILD)]
    return sorted((f for f in found if f.clear), key=lambda f: round(f.cost, 4))[:_OFFERED]


def _short_of_room(grounds: Sequence[Ground], m: int) -> list[int]:
    """The units that something is too near to."""
    short = set[int]()
    for ground in grounds:
        rows = ground.rows(np.zeros((m, 2)), 0.0)
        short |= set(rows.first.tolist()) | set(rows.second.tolist())
    return sorted(short - {-1})


def _starts(freedom: Freedom, hit: list[int], jitters: Sequence[float]) -> list[Floats]:
    """Places from where tangents point elsewhere: what is short of room, thrown about by a fixed die."""
    rng = np.random.default_rng(len(hit))
    upright = np.array(freedom.upright, np.bool_)
    starts = []
    for jitter in jitters:
        start = np.zeros((len(freedom), 2))
        start[hit] = rng.normal(0.0, jitter, (len(hit), 2))
        start[upright, 0] = 0.0
        starts.append(start)
    return starts


def _key(finding: Finding) -> tuple[str, tuple[str, ...], str, str]:
    return finding.rule, finding.subjects, finding.severity, str(finding.detail.get("edge", ""))


def _is_clean(before: Report, after: Report, wanted: Sequence[Finding]) -> bool:
    """Whether nothing is left open but what was there before and moving cannot clear."""
    known = {_key(f) for f in before.open if f not in wanted}
    return all(f.severity == "note" or _key(f) in known for f in after.open)


def _followed(followers: Sequence[Follower], shifts: dict[str, tuple[float, float]], catalogue: Catalogue) -> bool:
    """Whether nothing is new in the other arrangements."""
    for follower in followers:
        here = {i: by for i, by in shifts.items() if i in follower.shared}
        if any(by != (0.0, 0.0) for by in here.values()):
            before, after = check(follower.board, catalogue), check(shifted(follower.board, here), catalogue)
            if not _is_clean(before, after, ()):
                return False
    return True
