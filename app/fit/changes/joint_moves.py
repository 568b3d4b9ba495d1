"""Moving many parts at once, so that what ails each of them is gone: every part is tried in each judgement.

A finding has a few ways out: this part or that one, straight away from what it is too near, or along x or y. All
findings try theirs at the same time, on the whole board; one judgement tells which moves are too short, and which do
harm. So it takes a dozen judgements for two parts and for three hundred.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from msgspec import Struct

from app.fit.changes.joint_spread import spread
from app.fit.changes.moved_board import Key, Shifted, cover, key_of
from app.fit.changes.trial import Trial
from app.fit.features.layout import natural
from app.fit.finding import Finding
from app.fit.limits.cut_depths import TINY, outward
from app.fit.words.lengths import move_steps
from app.geometry.shapes import Point
from app.model.fix import MoveBy
from app.units import Unit

_ROUNDS = 10  # judgements, each of the whole board
_WORK = 6_000  # findings that these may come to: where there are thousands, each takes longer
_PATIENCE = 4  # of these without any gain, after which no more are made
_WITHDRAWN = 5  # further judgements, to take back moves that do harm
_STEPS = 4  # a move is lengthened this often before its way is given up
_LEAST_ALONG = 0.1  # less of the way out, and a part would have to go more than ten times as far


class _Option(Struct, frozen=True):
    """A way out: which of the subjects moves, along which axis (None: straight away), on which step [mm]."""

    subject: int
    axis: Point | None
    step: float


class _Plan(Struct):
    """How a finding is being mended: by its next option, along which way, lengthened so often."""

    key: Key
    subjects: tuple[str, ...]
    options: list[_Option]
    toward: Point
    grown: int = 0

    @property
    def mover(self) -> str:
        """The part that moves; empty where nothing is left to try."""
        return self.subjects[self.options[0].subject] if self.options else ""

    def give_up(self) -> None:
        """Try the next way."""
        self.options, self.grown = self.options[1:], 0


def moves_for(trial: Trial, findings: Sequence[Finding]) -> tuple[MoveBy, ...]:
    """Moves that together clear as many of ``findings`` as were found, and add no stop and no caution.

    Args:
        trial: the board they were found on.
        findings: of one cause; those that no move mends are passed over.
    """
    unit = Unit(trial.board.units)
    crowd = Counter(s for f in findings for s in f.subjects)
    plans: dict[Key, _Plan] = {}
    for finding in findings:
        options = list(_options(trial, finding, crowd, unit))
        if options:
            plans[key_of(finding)] = _Plan(key_of(finding), finding.subjects, options, _toward(finding))
    if not plans:
        return ()
    work = Shifted(trial, frozenset(plans), spread(trial, findings, move_steps(unit)[0]))
    fewest, idle = math.inf, 0
    for _ in range(min(_ROUNDS, max(_PATIENCE, _WORK // len(trial.before)))):
        left, harm = work.judged()
        if not left and not harm:
            break
        fewest, idle = (len(left), 0) if len(left) < fewest else (fewest, idle + 1)
        if idle == _PATIENCE:
            break
        _go_on(work, plans, left, harm)
    return _settled(work, plans)


def _options(trial: Trial, finding: Finding, crowd: Counter[str], unit: Unit) -> Iterator[_Option]:
    """Ways out of a finding, the likeliest first: of two parts the one moves that stands in fewer findings."""
    toward = _toward(finding)
    if toward == (0.0, 0.0) or finding.margin is None:
        return
    free = [k for k, s in enumerate(finding.subjects[:2]) if (p := trial.board.placed(s)) and not p.locked]
    free.sort(key=lambda k: (crowd[finding.subjects[k]], -k))
    coarse, *_, fine = move_steps(unit)[:3]
    for step in (coarse, fine):
        yield from (_Option(k, None, step) for k in free)
    for axis, along in (((1.0, 0.0), toward[0]), ((0.0, 1.0), toward[1])):
        if _LEAST_ALONG < abs(along) < 1 - TINY:
            yield from (_Option(k, axis, coarse) for k in free)


def _toward(finding: Finding) -> Point:
    return finding.detail.toward or (0.0, 0.0)


def _go_on(work: Shifted, plans: dict[Key, _Plan], left: dict[Key, Finding], harm: Sequence[Finding]) -> None:
    """Move each part further by what the worst of its findings still lacks; where it harms others, the next way."""
    by_mover: dict[str, list[_Plan]] = {}
    for key, plan in plans.items():
        if plan.options and (key in left or plan.grown):
            by_mover.setdefault(plan.mover, []).append(plan)
    # What a part does to itself, being moved too little, is cleared by moving it on; as from over an edge to near it.
    own = [f for f in harm if len(f.subjects) == 1 and f.subjects[0] in by_mover and f.detail.toward is not None]
    blocked = cover([f for f in harm if f not in own], work.offsets)
    lacks: dict[str, float] = {}
    for finding in own:
        lacks[finding.subjects[0]] = max(lacks.get(finding.subjects[0], 0.0), finding.lack)
    wanted: dict[str, Point] = {}
    for mover, mine in by_mover.items():
        if mover in blocked or any(plan.grown == _STEPS for plan in mine if _is_short(plan, left, lacks)):
            work.offsets.pop(mover, None)
            for plan in mine:
                plan.give_up()
            continue
        at, longest = work.offsets.get(mover, (0.0, 0.0)), 0.0
        for plan in mine:
            if not _is_short(plan, left, lacks):
                continue
            plan.toward = _toward(left[plan.key]) if plan.key in left else plan.toward
            plan.grown += 1
            lack = max(lacks.get(mover, 0.0), _lack(left[plan.key]) if plan.key in left else 0.0)
            by = _further(plan, lack)
            if math.hypot(*by) > longest:
                longest, step = math.hypot(*by), plan.options[0].step
                wanted[mover] = outward(at[0] + by[0], step), outward(at[1] + by[1], step)
    for one in blocked:
        work.offsets.pop(one, None)
    work.offsets.update(wanted)


def _is_short(plan: _Plan, left: dict[Key, Finding], lacks: dict[str, float]) -> bool:
    return plan.key in left or plan.mover in lacks


def _lack(finding: Finding) -> float:
    """How much further a part has to go, straight away [mm]."""
    return -(finding.margin or 0.0) / finding.detail.gain


def _further(plan: _Plan, lack: float) -> Point:
    """What is lacking as a move of the part [mm]; nothing along an axis that leads nowhere."""
    option = plan.options[0]
    sign = -1.0 if option.subject else 1.0
    x, y = (sign * v for v in plan.toward)
    if option.axis is None:
        return x * lack, y * lack
    along = x * option.axis[0] + y * option.axis[1]
    if abs(along) <= _LEAST_ALONG:
        return 0.0, 0.0
    return option.axis[0] * lack / along, option.axis[1] * lack / along


def _is_little(plans: dict[Key, _Plan], left: dict[Key, Finding]) -> bool:
    """Whether most of what parts do to each other would stay: that takes more than a button."""
    return any(len(plan.subjects) > 1 for plan in plans.values()) and 2 * len(left) > len(plans)


def _settled(work: Shifted, plans: dict[Key, _Plan]) -> tuple[MoveBy, ...]:
    """The moves that clear what they are for, once those that do not, and those that do harm, are taken back."""
    serves: dict[str, set[Key]] = {}
    for key, plan in plans.items():
        for one in plan.subjects:
            serves.setdefault(one, set()).add(key)
    for _ in range(_WITHDRAWN):
        left, _ = work.judged()
        fresh = work.fresh
        if _is_little(plans, left):
            return ()
        useless = {one for one in work.offsets if serves.get(one, set()) <= left.keys()}
        idle = useless | cover(fresh, work.offsets)
        if not idle:
            moves = sorted((one for one, by in work.offsets.items() if any(by)), key=natural)
            return () if fresh else tuple(MoveBy(one, *work.offsets[one]) for one in moves)
        work.offsets = {one: by for one, by in work.offsets.items() if one not in idle}
    return ()
