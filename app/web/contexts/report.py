"""The fit report as shown: each finding in words, measured against needed, with the way to it and out of it."""

from __future__ import annotations

from dataclasses import dataclass

from app.catalogue.load import catalogue
from app.drafting.words import length
from app.fit.finding import Finding
from app.fit.messages import fix_label, message, remedy
from app.fit.registry import rule_named
from app.model.resolved import ResolvedBoard
from app.service.checking import CheckResult, named_findings
from app.units import Unit
from app.web.contexts.here import Here
from app.web.contexts.words import counted

MOST_SHOWN = 60
"""More findings than this are counted, not listed: nobody reads them, and the page would be slow."""

MOST_FIXES = 3
"""Fixes worked out before they are asked for: each is tried on the whole board, which takes time."""

_SEVERITY_WORDS = {"stop": "Stop", "caution": "Caution", "note": "Note"}
_BAR_ROOM = 1.25


@dataclass(frozen=True, slots=True)
class Bar:
    """Measured against needed, as parts of a bar 100 wide."""

    measured: float
    needed: float


@dataclass(frozen=True, slots=True)
class FindingCard:
    """One finding.

    Args:
        name: stays the same while the board does; a fix is asked for by it.
        severity: ``stop``, ``caution`` or ``note``.
        severity_words: the same for people.
        rule: the rule in words.
        sentence: what is wrong.
        remedy: what to do about it.
        meaning: what holds when the rule is kept.
        measured, needed: lengths in words; empty where it is no length.
        bar: the same drawn; None where it is no length.
        source: where the requirement comes from.
        show_url: address with the parts concerned selected; empty if it is the board itself.
        fix: what the button that mends it says; empty if a machine cannot.
    """

    name: str
    severity: str
    severity_words: str
    rule: str
    sentence: str
    remedy: str
    meaning: str
    measured: str
    needed: str
    bar: Bar | None
    source: str
    show_url: str
    fix: str


@dataclass(frozen=True, slots=True)
class Tally:
    """How many findings of each severity, and the words for it."""

    stops: int
    cautions: int
    notes: int

    @property
    def fits(self) -> bool:
        """Whether nothing stops it and nothing calls for care."""
        return not self.stops and not self.cautions

    @property
    def words(self) -> str:
        """``fits``, or ``1 stop, 2 cautions``."""
        parts = [counted(self.stops, "stop")] if self.stops else []
        parts += [counted(self.cautions, "caution")] if self.cautions else []
        return ", ".join(parts) or "fits"


@dataclass(frozen=True, slots=True)
class ReportBlock:
    """The fit report.

    Args:
        tally: counts.
        findings: stops, then cautions, at most :data:`MOST_SHOWN`.
        notes: what is only worth knowing.
        more: how many are not listed.
    """

    tally: Tally
    findings: tuple[FindingCard, ...]
    notes: tuple[FindingCard, ...]
    more: int


def tally_of(seen: CheckResult) -> Tally:
    """Counts of a report."""
    severities = [finding.severity for finding in seen.report.findings]
    return Tally(severities.count("stop"), severities.count("caution"), severities.count("note"))


def report_block(seen: CheckResult, here: Here, *, fixes: bool = True) -> ReportBlock:
    """The report of the board in view, with or without the fixes, which take longest to work out."""
    board = seen.resolved
    order = {"stop": 0, "caution": 1, "note": 2}
    named = sorted(named_findings(seen.report), key=lambda pair: order[pair[1].severity])
    cards = tuple(
        _card(name, finding, board, here, _fix_words(seen, name, finding, known=place < MOST_FIXES) if fixes else "")
        for place, (name, finding) in enumerate(named[:MOST_SHOWN])
    )
    notes = tuple(card for card in cards if card.severity == "note")
    return ReportBlock(tally_of(seen), tuple(c for c in cards if c not in notes), notes, len(named) - len(cards))


def _card(name: str, finding: Finding, board: ResolvedBoard, here: Here, fix: str) -> FindingCard:
    unit = Unit(board.units)
    measured, needed = finding.measured, finding.required
    known = tuple(s for s in finding.subjects if board.placed(s) is not None)
    return FindingCard(
        name=name,
        severity=finding.severity,
        severity_words=_SEVERITY_WORDS[finding.severity],
        rule=finding.rule.replace("-", " "),
        sentence=message(finding, board, unit),
        remedy=remedy(finding, board, unit),
        meaning=rule_named(finding.rule).meaning,
        measured="" if measured is None else length(measured, unit),
        needed="" if needed is None else length(needed, unit),
        bar=None if measured is None or needed is None else _bar(measured, needed),
        source=finding.source,
        show_url=here.at(select=known).url() if known else "",
        fix=fix,
    )


def _fix_words(seen: CheckResult, name: str, finding: Finding, *, known: bool) -> str:
    if finding.severity == "note":
        return ""
    if not known:
        return "Find a fix"
    fix = seen.fix_for(name, finding)
    return fix_label(fix, seen.resolved, Unit(seen.resolved.units), catalogue()) if fix is not None else ""


def _bar(measured: float, needed: float) -> Bar:
    whole = max(measured, needed, 1e-9) * _BAR_ROOM
    return Bar(round(100 * max(measured, 0.0) / whole, 2), round(100 * max(needed, 0.0) / whole, 2))
