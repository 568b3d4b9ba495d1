"""Some of what moving can clear, where no way was found that clears all: nothing new, and nothing worse.

From where the parts are, each step may only give a need more room than it has, or leave it; so every step on the
way is one that could be taken, and what is found is never lost by going on.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from app.fit.features.features import Floats
from app.fit.finding import Finding
from app.fit.report.report import Report, check
from app.room.constraint_set import ConstraintSet
from app.room.make import Attempt, Case, are_followed, key_of, shifted, shifts_of
from app.room.solve import step_of
from app.values import replace

_STEPS = 24
_REACH = 6.0  # mm: how far a part may go in one step
_SEEN = 3.0  # times that: two parts on a slant come so much nearer to each other
_STILL = 0.02  # mm
_STEP = 0.01  # mm: of a shift; a coarser one would leave too many needs a hair short
_MARGIN = 1.5 * _STEP  # mm: two parts each rounded lose up to 1.4 steps
_HAIR = 2 * _STEP  # mm: what stays may have lost so much by rounding, which is less than is ever read
_TRIES = 4


def partly(case: Case) -> Attempt:
    """As much as was found of what moving can clear, on a board where not all was cleared.

    Nothing is offered that brings a finding that was not there, makes one that stays worse by more than rounding, or
    touches what another arrangement needs.
    """
    none = Attempt(case.board, case.before, case.wanted, (), None, rigid=case.rigid)
    freedom = case.freedoms[-1]
    for _ in range(_TRIES):
        constraint_set = case.constraint_set(freedom)
        if not len(constraint_set.freedom):
            break
        bad = list[Finding]()
        for shift in _less_and_less(_given_room(constraint_set)):
            shifts = freedom.shifts(_rounded(shift))
            after = check(shifted(case.board, shifts), case.catalogue)
            worse, left = _compared(case.before, after, case.wanted)
            bad = bad or worse
            if worse or len(left) >= len(case.wanted) or not are_followed(case.followers, shifts, case.catalogue):
                continue
            loose = len(case.freedoms) > 1
            return replace(none, moves=shifts_of(shifts), after=after, left=left, loose=loose)
        held = {freedom.unit[i] for f in bad for i in f.subjects if i in freedom.unit}
        if not held or not case.more(1.0):
            break
        freedom = freedom.without(held)
    return none


def _given_room(constraint_set: ConstraintSet) -> list[Floats]:
    """Shifts of the units that give the needs more and more room, each of shape (m, 2) [mm]."""
    trail, reach = [np.zeros((len(constraint_set.freedom), 2))], _REACH
    for step in range(_STEPS):
        shift = trail[-1]
        rows = [g.rows(shift, _SEEN * reach) for g in constraint_set.members]
        trail.append(step_of(rows, constraint_set.freedom, shift, reach, _MARGIN, kept=True))
        if float(np.abs(trail[-1] - shift).max(initial=0.0)) < _STILL or not constraint_set.more(0.9):
            break
        if step >= _STEPS // 3:
            reach = max(reach / 2, 1.0)
    return trail


def _less_and_less(trail: list[Floats]) -> list[Floats]:
    """The end of a trail, and places half as far along it: what the whole board bears is not asked on the way."""
    last = len(trail) - 1
    return [trail[k] for k in sorted({last, last // 2, last // 4} - {0}, reverse=True)]


def _rounded(shift: Floats) -> Floats:
    found: Floats = np.round(np.round(shift / _STEP) * _STEP, 6) + 0.0
    return found


def _compared(before: Report, after: Report, wanted: Sequence[Finding]) -> tuple[list[Finding], tuple[Finding, ...]]:
    """What is new or worse on the changed board, and what stays of the wanted findings.

    Findings of one rule about the same features are told apart by how grave each is, and by how much it lacks.
    """
    had, has = _by_subject(before), _by_subject(after)
    worse, left = list[Finding](), list[Finding]()
    for key, now in has.items():
        then = had.get(key, [])
        worse += now[len(then) :]
        for old, new in zip(then, now, strict=False):
            milder = old.severity == "stop" and new.severity == "caution"
            if (old.severity, new.severity) == ("caution", "stop") or (new.lack > old.lack + _HAIR and not milder):
                worse.append(new)
            left.append(old)
    stays = {id(f) for f in left}
    return worse, tuple(f for f in wanted if id(f) in stays)


def _by_subject(report: Report) -> dict[tuple[str, tuple[str, ...], str], list[Finding]]:
    """Stops and cautions by what they are about, the gravest first."""
    found: dict[tuple[str, tuple[str, ...], str], list[Finding]] = defaultdict(list)
    for finding in sorted(report.open, key=lambda f: (f.severity != "stop", -f.lack)):
        if finding.severity != "note":
            rule, subjects, _, edge = key_of(finding)
            found[rule, subjects, edge].append(finding)
    return found
