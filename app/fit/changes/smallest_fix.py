"""The smallest change that clears a finding: tried, checked again, and offered only if it makes nothing worse.

Checking again takes as long as a report, so a fix is worked out when somebody asks for it.
"""

from __future__ import annotations

from collections.abc import Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Single
from app.fit.changes.candidates import candidates
from app.fit.changes.trial import Trial
from app.fit.finding import Finding
from app.fit.limits.cut_depths import outward
from app.fit.report.findings import findings_of
from app.fit.words.lengths import move_steps
from app.model.fix import MoveBy
from app.model.resolved import ResolvedBoard
from app.units import Unit


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
