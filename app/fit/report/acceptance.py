"""Accepted cautions against what the rules find now: which stand, which are awake again, which are stale."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from app.fit.finding import Finding
from app.fit.registry import RULES
from app.model.accepted import Accepted

_WORSE = 1e-6  # figures closer than this are the same [mm]
_FACTORS = {rule.name: rule.factor for rule in RULES if rule.factor}


class AcceptedFinding(Struct, frozen=True):
    """A finding that the builder has accepted at some time.

    Args:
        finding: as it is now.
        accepted: the acceptance it falls under.
        awake: whether it is worse than what was accepted, and so counts again.
    """

    finding: Finding
    accepted: Accepted
    awake: bool


class Acceptance(Struct, frozen=True):
    """What has become of everything accepted on a board.

    Args:
        standings: findings that fall under an acceptance, in their order.
        stale: acceptances of what is no longer there.
    """

    standings: tuple[AcceptedFinding, ...] = ()
    stale: tuple[Accepted, ...] = ()


def cause_of(finding: Finding) -> str:
    """What tells findings of one rule about the same subjects apart: the edge, the area, what is wrong."""
    return finding.detail.mark


def accepted_as(finding: Finding, reason: str) -> Accepted:
    """The acceptance of a finding as it is now."""
    needed = None if is_factor(finding.rule) else finding.required
    return Accepted(finding.rule, finding.subjects, figure_of(finding), reason, cause_of(finding), needed)


def is_factor(rule: str) -> bool:
    """Whether a rule's figure is a factor of safety, not a length."""
    return rule in _FACTORS


def figure_of(finding: Finding) -> float | None:
    """The figure that is accepted: what was measured [mm], or the factor of safety where strength is judged."""
    factor = _FACTORS.get(finding.rule)
    return finding.measured if factor is None else factor(finding)


def same_figure(one: Finding, other: Finding) -> bool:
    """Whether two findings say the same of what they are about: as much there is, and as much is needed."""
    pairs = ((figure_of(one), figure_of(other)), (one.required, other.required))
    return one.severity == other.severity and all(
        a is b if a is None or b is None else abs(a - b) < _WORSE for a, b in pairs
    )


def covers(accepted: Accepted, finding: Finding) -> bool:
    """Whether an acceptance is about a finding.

    What ails all placements of one part was accepted for each of them, so it also covers some of them; one
    more placement is news.
    """
    if (accepted.rule, accepted.cause) != (finding.rule, cause_of(finding)) or finding.severity == "note":
        return False
    if set(accepted.subjects) == set(finding.subjects):
        return True
    shared = bool(finding.detail.cause and finding.subjects)
    return shared and set(finding.subjects) < set(accepted.subjects)


def is_worse(finding: Finding, accepted: Accepted) -> bool:
    """Whether a finding is worse than what was accepted: a stop now, or its figure further from what is needed."""
    if finding.severity == "stop":
        return True
    now, then, required = figure_of(finding), accepted.measured, finding.required
    if is_factor(finding.rule):
        required = math.inf
    if now is None or then is None or required is None:
        return (now is None) != (then is None)
    if accepted.required is not None and abs(required - now) > abs(accepted.required - then) + _WORSE:
        return True  # the figure may be what it was, but more is needed now
    if now > required:
        return now > then + _WORSE
    return now < then - _WORSE


def stand(findings: Sequence[Finding], accepted: Sequence[Accepted]) -> Acceptance:
    """Every acceptance beside what the rules find now.

    A finding under several acceptances sleeps if one of them allows its figure.
    """
    if not accepted:
        return Acceptance()
    standings, met = [], set[int]()
    for finding in findings:
        under = [k for k, one in enumerate(accepted) if covers(one, finding)]
        met.update(under)
        if under:
            asleep = [k for k in under if not is_worse(finding, accepted[k])]
            standings.append(AcceptedFinding(finding, accepted[(asleep or under)[0]], not asleep))
    stale = tuple(one for k, one in enumerate(accepted) if k not in met)
    return Acceptance(tuple(standings), stale)


def acceptance_name(accepted: Accepted) -> str:
    """A name for an acceptance that stays the same while it stands: what it is about."""
    return f"{accepted.rule}:{','.join(accepted.subjects)}:{accepted.cause}"
