"""Changes that may clear a finding: moves, then what its rule knows. None is tried here as a whole."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.fit.changes.advice import Single
from app.fit.changes.trial import Trial
from app.fit.finding import Finding
from app.fit.limits.cut_depths import TINY, outward, rounded_up
from app.fit.registry import rule_named
from app.geometry.shapes import Point
from app.model.fix import MoveBy
from app.units import Unit

_STEPS = 6  # a move is lengthened this often before its direction is given up
_TIDY = 0.01  # moves are first rounded up to this, to see which is shortest [mm]


def candidates(trial: Trial, finding: Finding, unit: Unit) -> Iterator[Single]:
    """Changes that may clear ``finding``, those first that change least; bits as they are sold in that unit."""
    if finding.detail.toward is not None:
        yield from moves(trial, finding)
    yield from rule_named(finding.rule).fixes(finding, trial.board, trial.catalogue, unit)


def moves(trial: Trial, finding: Finding) -> Iterator[MoveBy]:
    """Moves of either subject, each as long as it takes by itself: straight out, then along x or y, the shorter first.

    Those along x or y are worked out only if no move straight out will do: it is hardly ever the longer one.
    """
    toward = finding.detail.toward
    if finding.margin is None or toward is None or toward == (0.0, 0.0):
        return
    alone = trial.alone(finding.subjects)
    aways = {}
    for subject, sign in zip(finding.subjects, (1.0, -1.0), strict=False):
        placed = trial.board.placed(subject)
        if placed is not None and not placed.locked:
            aways[subject] = (sign * toward[0], sign * toward[1])
    for subject, away in aways.items():
        move = _long_enough(alone, finding, subject, away, 1.0)
        if move:
            yield move
    square = []
    for subject, away in aways.items():
        for way in ((math.copysign(1.0, away[0]), 0.0), (0.0, math.copysign(1.0, away[1]))):
            along = way[0] * away[0] + way[1] * away[1]
            if 0.1 < along < 1 - TINY:  # less, and it would have to go more than ten times as far
                square.append(_long_enough(alone, finding, subject, way, along))
    yield from sorted((move for move in square if move), key=lambda m: math.hypot(m.dx, m.dy))


def _long_enough(alone: Trial, finding: Finding, subject: str, way: Point, along: float) -> MoveBy | None:
    """The move along ``way`` after which the subjects by themselves show neither the finding nor a new one."""
    rate = along * finding.detail.gain
    lacking, length = -(finding.margin or 0.0), 0.0
    for _ in range(_STEPS):
        length = rounded_up(length + lacking / rate, _TIDY)
        move = MoveBy(subject, outward(way[0] * length, _TIDY), outward(way[1] * length, _TIDY))
        outcome = alone.outcome(finding, move)
        if outcome.clears:
            return move
        lacking = max(-(f.margin or 0.0) for f in (*outcome.left, *outcome.fresh))
    return None
