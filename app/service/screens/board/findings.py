"""What the rules have found, told: in words and in numbers, for a screen, a terminal or a program."""

from __future__ import annotations

from msgspec import Struct

from app.drafting import words as drawn
from app.fit.finding import SEVERITIES, Finding, Severity
from app.fit.registry import rule_named
from app.fit.words.figures import figures
from app.fit.words.lengths import names
from app.fit.words.messages import message, remedy
from app.geometry.shapes import Point
from app.model.accepted import Accepted
from app.model.resolved import ResolvedBoard
from app.service.checks.checking import CheckResult
from app.units import Unit


class Figured(Struct, frozen=True):
    """Measured against needed: in words, and in mm."""

    there: str
    limit: str
    there_mm: float
    wanted_mm: float


class WordedFinding(Struct, frozen=True):
    """A finding.

    Args:
        rule: its name.
        severity: ``stop``, ``caution`` or ``note``.
        subjects: placement ids, most concerned first; empty if it is the board itself.
        where: the point it is about [mm].
        measured, required, margin: what there is, what is needed, and the first less the second [mm]; None where it is
            no length.
        sentence: what is wrong.
        remedy: what to do about it.
        meaning: what holds when the rule is kept.
        source: where the requirement comes from.
        trust: which measures of the hardware it is based on and how far to trust them; empty if on none.
        figures: measured against needed; None where it is no length.
    """

    rule: str
    severity: Severity
    subjects: tuple[str, ...]
    where: Point
    measured: float | None
    required: float | None
    margin: float | None
    sentence: str
    remedy: str
    meaning: str
    source: str
    trust: str
    figures: Figured | None


class AcceptedCaution(Struct, frozen=True):
    """Something that was accepted: the rule, the ids and the names of the parts, and why; what it is now, if it is."""

    rule: str
    subjects: tuple[str, ...]
    who: str
    reason: str
    sentence: str = ""


class Account(Struct, frozen=True):
    """A board as the rules find it.

    Args:
        name: of the board and the arrangement.
        open: what is open, the most severe first.
        counts: how many of each severity are open, those there are none of left out, in that order.
        accepted: cautions accepted as they are.
        woken: acceptances of what is worse now.
        stale: acceptances of what is no longer there.
    """

    name: str
    open: tuple[WordedFinding, ...]
    counts: tuple[tuple[str, int], ...]
    accepted: tuple[AcceptedCaution, ...]
    woken: tuple[AcceptedCaution, ...]
    stale: tuple[AcceptedCaution, ...]


def worded_finding(
    finding: Finding, seen: CheckResult, unit: Unit | None = None, *, tried: bool = True
) -> WordedFinding:
    """A finding told in a unit, the board's if it is None; where ways out are not ``tried``, it promises nothing."""
    from app.service.checks.trust import rest_words

    board = seen.resolved
    unit = unit or Unit(board.units)
    found = figures(finding, unit)
    return WordedFinding(
        rule=finding.rule,
        severity=finding.severity,
        subjects=finding.subjects,
        where=finding.where,
        measured=finding.measured,
        required=finding.required,
        margin=finding.margin,
        sentence=message(finding, board, unit),
        remedy=remedy(finding, seen.report, unit, tried=tried),
        meaning=rule_named(finding.rule).meaning,
        source=finding.source,
        trust=rest_words(finding, board),
        figures=Figured(found.there, found.limit, found.there_mm, found.wanted_mm) if found else None,
    )


def sentences(found: tuple[Finding, ...], seen: CheckResult) -> tuple[str, ...]:
    """What each of some findings says is wrong."""
    return tuple(message(finding, seen.resolved, Unit(seen.resolved.units)) for finding in found)


def account_of(seen: CheckResult, unit: Unit) -> Account:
    """A board that was judged, told in a unit."""
    board, report = seen.resolved, seen.report

    def of(accepted: Accepted, finding: Finding) -> AcceptedCaution:
        said = message(finding, board, unit)
        return AcceptedCaution(accepted.rule, accepted.subjects, who(board, accepted.subjects), accepted.reason, said)

    counts = ((s, sum(finding.severity == s for finding in report.open)) for s in SEVERITIES)
    return Account(
        name=f"{board.name}, {board.arrangement_name}",
        open=tuple(worded_finding(finding, seen, unit) for finding in report.open),
        counts=tuple((severity, count) for severity, count in counts if count),
        accepted=tuple(of(standing.accepted, standing.finding) for standing in report.accepted),
        woken=tuple(of(standing.accepted, standing.finding) for standing in report.woken),
        stale=stale_of(seen),
    )


def stale_of(seen: CheckResult) -> tuple[AcceptedCaution, ...]:
    """Acceptances of what is no longer there."""
    return tuple(
        AcceptedCaution(a.rule, a.subjects, who(seen.resolved, a.subjects), a.reason) for a in seen.report.stale
    )


def every_finding(seen: CheckResult, unit: Unit) -> tuple[tuple[WordedFinding, str], ...]:
    """Each finding told in a unit, open or not, with the reason for which it is accepted; empty if it is not."""
    standings = ((finding, seen.report.standing(finding)) for finding in seen.report.findings)
    return tuple(
        (worded_finding(finding, seen, unit), standing.accepted.reason if standing and not standing.awake else "")
        for finding, standing in standings
    )


def who(board: ResolvedBoard, subjects: tuple[str, ...]) -> str:
    """What the plan calls the parts concerned, or that it is the board."""
    return names(board, subjects) if subjects else "the board"


def stop_words(stops: int) -> str:
    """What stands on everything that is made of a board with so many stops."""
    return drawn.stop_words(stops)
