"""One finding of the report as shown: in words, measured against needed, with the way to it and out of it."""

from __future__ import annotations

from dataclasses import dataclass

from app.service import CheckResult
from app.service.screens.findings import Told
from app.service.screens.words import minus
from app.web.shared.view_state import ViewState

SEVERITY_WORDS = {"stop": "Stop", "caution": "Caution", "note": "Note"}
_BAR_ROOM = 1.25


@dataclass(frozen=True, slots=True)
class MarginBar:
    """Measured against needed, as parts of a bar 100 wide."""

    measured: float
    needed: float


@dataclass(frozen=True, slots=True)
class WayOut:
    """The way out of a finding, or of several at once.

    Args:
        name: what a form asks for it by.
        field: the form field of that name: ``finding`` or ``group``.
        words: what the button that mends it does; empty if that is not known yet, or a machine cannot.
        stays: the parts for which it does not do; empty if it does for all.
        find_url: address that works it out; empty if it is worked out.
        none: whether it was worked out on request, and there is none.
        accept: whether it may be accepted with a reason.
        reason: what was typed for the reason.
        problem: why that could not be taken; empty if nothing was wrong.
        ident: number of the form on the page.
    """

    name: str
    field: str
    words: str
    stays: str
    find_url: str
    none: bool
    accept: bool
    reason: str
    problem: str
    ident: int


@dataclass(frozen=True, slots=True)
class FindingCard:
    """One finding.

    Args:
        severity: ``stop``, ``caution`` or ``note``.
        severity_words: the same for people.
        rule: the rule in words.
        sentence: what is wrong.
        remedy: what to do about it.
        meaning: what holds when the rule is kept.
        measured, limit: ``2 mm`` and ``needs 3 mm``, or ``at most 3 mm``; empty where it is no length.
        bar: the same drawn; None where it is no length.
        source: where the requirement comes from.
        trust: which measures of the hardware it is based on and how far to trust them; empty if on none.
        show_url: address with the parts concerned selected; empty if it is the board itself.
        woken: what was accepted of it once, in words, if it is worse now; else empty.
        way: the way out of it.
        in_hand: whether it is about a selected part.
    """

    severity: str
    severity_words: str
    rule: str
    sentence: str
    remedy: str
    meaning: str
    measured: str
    limit: str
    bar: MarginBar | None
    source: str
    trust: str
    show_url: str
    woken: str
    way: WayOut
    in_hand: bool = False


def finding_card(shown: Told, seen: CheckResult, here: ViewState, woken: str, way: WayOut) -> FindingCard:
    """The card of a finding of a board."""
    found = shown.figures
    return FindingCard(
        severity=shown.severity,
        severity_words=SEVERITY_WORDS[shown.severity],
        rule=rule_words(shown.rule),
        sentence=shown.sentence,
        remedy=shown.remedy,
        meaning=shown.meaning,
        measured=minus(found.there) if found else "",
        limit=minus(found.limit) if found else "",
        bar=bar_of(found.there_mm, found.wanted_mm) if found else None,
        source=shown.source,
        trust=shown.trust,
        show_url=show_url(shown.subjects, seen, here),
        woken=woken,
        way=way,
        in_hand=not set(here.select).isdisjoint(shown.subjects),
    )


def rule_words(rule: str) -> str:
    """The name of a rule in words."""
    return rule.replace("-", " ")


def show_url(subjects: tuple[str, ...], seen: CheckResult, here: ViewState) -> str:
    """Address with the parts concerned selected; empty if none of them is on the board."""
    known = seen.present(subjects)
    return here.at(select=known).url() if known else ""


def bar_of(measured: float, needed: float) -> MarginBar:
    """Two lengths as parts of one bar [mm]."""
    whole = max(measured, needed, 1e-9) * _BAR_ROOM
    return MarginBar(round(100 * max(measured, 0.0) / whole, 2), round(100 * max(needed, 0.0) / whole, 2))
