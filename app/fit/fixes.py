"""The smallest change that clears a finding: tried, checked again, and offered only if it makes nothing worse.

Checking again takes as long as a report, so a fix is worked out when somebody asks for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from app.catalogue.load import Catalogue
from app.fit.candidates import Single, candidates, outward
from app.fit.change import with_fix
from app.fit.finding import Finding
from app.fit.findings import findings_of
from app.fit.trial import Trial, is_fresh, known_of, still
from app.fit.words import move_steps
from app.model.fix import BuyBit, Fix, MoveBy, Several, SwapPart
from app.model.resolved import ResolvedBoard
from app.units import Unit

_TOGETHER = 16  # changes made as one; more take too long to work out while somebody waits


def find_fix(
    board: ResolvedBoard, catalogue: Catalogue, finding: Finding, before: Sequence[Finding] | None = None
) -> Single | None:
    """The smallest change that clears ``finding`` and adds no stop and no caution; None if no simple one does.

    Args:
        board: the board it was found on.
        catalogue: the rules' defaults, bits to buy and other parts.
        finding: what is to be cleared.
        before: everything found on the board; worked out if not given.
    """
    was = findings_of(board, catalogue) if before is None else before
    return fix_of(Trial(board, catalogue, tuple(was)), finding)


def fix_of(trial: Trial, finding: Finding) -> Single | None:
    """As :func:`find_fix`, on a board already tried; moves are on a step of a rule if such a one clears."""
    unit = Unit(trial.board.units)
    fix = smallest_of(trial, finding, unit)
    steps = [on_step(fix, step) for step in move_steps(unit)] if isinstance(fix, MoveBy) else []
    return next((said for said in steps if trial.clears(finding, said)), fix)


def smallest_of(trial: Trial, finding: Finding, unit: Unit) -> Single | None:
    """The smallest change that clears a finding and adds none, its figures as they come out."""
    return next((fix for fix in candidates(trial, finding, unit) if trial.clears(finding, fix)), None)


def on_step(move: MoveBy, step: float) -> MoveBy:
    """A move with both its figures up to the next step, away from zero [mm]."""
    return MoveBy(move.placement, outward(move.dx, step), outward(move.dy, step))


def fix_all(
    board: ResolvedBoard, catalogue: Catalogue, findings: Sequence[Finding], before: Sequence[Finding]
) -> Fix | None:
    """One change that clears all of ``findings`` and adds no stop and no caution; None if there is none.

    Each is mended on the board as the changes before it leave it, so that what mends two is made once.

    Args:
        board: the board they were found on.
        catalogue: the rules' defaults, bits to buy and other parts.
        findings: what is to be cleared.
        before: everything found on the board.
    """
    if len(findings) > _TOGETHER:
        return None
    steps: list[Single] = []
    mended, now = board, before
    for finding in findings:
        while left := still(finding, now):
            fix = find_fix(mended, catalogue, left[0], now) if len(steps) < _TOGETHER else None
            if fix is None:
                return None
            steps.append(fix)
            mended = with_fix(mended, fix, catalogue)
            now = findings_of(mended, catalogue)
    was = known_of(before)
    if any(is_fresh(f, was) for f in now):
        return None
    joined = _joined(steps)
    return joined[0] if len(joined) == 1 else Several(joined) if joined else None


def _joined(steps: Sequence[Single]) -> tuple[Single, ...]:
    """Counterbores and recesses of one size, and exchanges for one part, as one change each."""
    if len({type(step) is SwapPart for step in steps}) > 1:
        return tuple(steps)  # an exchange takes a counterbore away, so the order counts
    found: dict[object, Single] = {}
    for step in steps:
        if isinstance(step, MoveBy | BuyBit):
            found[step, len(found)] = step
            continue
        size = replace(step, placements=())
        other = found.get(size)
        before = () if other is None or isinstance(other, MoveBy | BuyBit) else other.placements
        found[size] = replace(step, placements=tuple(dict.fromkeys((*before, *step.placements))))
    return tuple(found.values())
