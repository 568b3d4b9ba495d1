"""One finding of the report as a page shows it: in words, measured against needed, with the way out of it."""

from __future__ import annotations

from typing import Final, Literal

from msgspec import Struct

from app.service.checks.checking import CheckResult
from app.service.screens.board.findings import WordedFinding
from app.service.screens.words import minus

SEVERITY_WORDS: Final = {"stop": "Stop", "caution": "Caution", "note": "Note"}
_BAR_ROOM = 1.25


class MarginBar(Struct, frozen=True):
    """Measured against needed, as parts of a bar 100 wide."""

    measured: float
    needed: float


class WayOut(Struct, frozen=True):
    """The way out of a finding, or of several at once.

    Args:
        name: what it is asked for by.
        of: what has that name: a ``finding`` or a ``group`` of them.
        words: what the change does that clears it; empty if that is not known yet, or a machine cannot.
        stays: the parts for which it does not do; empty if it does for all.
        findable: whether it is left to be worked out on request.
        none: whether it was worked out on request, and there is none.
        acceptable: whether it may be accepted with a reason.
    """

    name: str
    of: Literal["finding", "group"]
    words: str
    stays: str
    findable: bool
    none: bool
    acceptable: bool


class FindingSeen(Struct, frozen=True):
    """One finding.

    Args:
        worded: what is wrong, and what to do about it.
        severity_words: how grave it is, in words.
        rule: the rule in words.
        measured, limit: ``2 mm`` and ``needs 3 mm``, or ``at most 3 mm``; empty where it is no length.
        bar: the same drawn; None where it is no length.
        subjects: ids of the parts concerned that are on the board.
        woken: what was accepted of it once, in words, if it is worse now; else empty.
        way: the way out of it.
    """

    worded: WordedFinding
    severity_words: str
    rule: str
    measured: str
    limit: str
    bar: MarginBar | None
    subjects: tuple[str, ...]
    woken: str
    way: WayOut


def finding_seen(worded: WordedFinding, seen: CheckResult, woken: str, way: WayOut) -> FindingSeen:
    """A finding of a board, as a page shows it."""
    found = worded.figures
    return FindingSeen(
        worded=worded,
        severity_words=SEVERITY_WORDS[worded.severity],
        rule=rule_words(worded.rule),
        measured=minus(found.there) if found else "",
        limit=minus(found.limit) if found else "",
        bar=bar_of(found.there_mm, found.wanted_mm) if found else None,
        subjects=seen.present(worded.subjects),
        woken=woken,
        way=way,
    )


def rule_words(rule: str) -> str:
    """The name of a rule in words."""
    return rule.replace("-", " ")


def bar_of(measured: float, needed: float) -> MarginBar:
    """Two lengths as parts of one bar [mm]."""
    whole = max(measured, needed, 1e-9) * _BAR_ROOM
    return MarginBar(round(100 * max(measured, 0.0) / whole, 2), round(100 * max(needed, 0.0) / whole, 2))
