"""What a finding lacks, in words; and sentences that several rules say alike."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from app.fit.changes.advice import Advice
from app.fit.detail import PairDetail
from app.fit.finding import Finding, FindingOf
from app.fit.words.lengths import nothing, off, say_both
from app.fit.words.moves import moved
from app.model.resolved import ResolvedBoard
from app.units import Unit


def over(f: Finding, unit: Unit) -> str:
    """By how much something is overrun."""
    return off(f.measured or 0.0, unit)


def both(f: Finding, unit: Unit) -> tuple[str, str]:
    """What there is and what is needed."""
    return say_both(f.measured or 0.0, f.required or 0.0, unit)


def meets(f: Finding) -> bool:
    """Whether nothing at all is left, and nothing is overrun either."""
    return nothing(f.measured or 0.0)


def near(f: Finding, start: str, place: str, unit: Unit, needed: str) -> str:
    """“The hole of A comes within 2 mm of the left edge at worst; 3 mm is needed.”; or that it can reach it."""
    measured, required = both(f, unit)
    comes = "can reach" if meets(f) else f"comes within {measured} of"
    return f"{start} {comes} {place} at worst; {required} {needed}."


def lacking(findings: Sequence[Finding], unit: Unit) -> str:
    """“3.05 mm”, or “up to 3.05 mm” where they differ."""
    missing = [f.lack for f in findings]
    most = off(max(missing), unit)
    return most if off(min(missing), unit) == most else f"up to {most}"


def phrased(before: str, after: str) -> Callable[[Sequence[Finding], ResolvedBoard, Unit], str]:
    """A phrase that says what is lacking between two words."""
    return lambda findings, _board, unit: f"{before}{lacking(findings, unit)}{after}"


def further_apart(f: FindingOf[PairDetail], advice: Advice, unit: Unit) -> str:
    """The remedy for what two parts have too near each other; what is cut may be cut narrower."""
    cut = set(f.detail.things) & {"counterbore", "recess"}
    return moved(f, advice, unit, "further apart", "cut narrower, with smaller parts" if cut else "use smaller parts")


AS_MADE = "The part needs these holes where they are. Drill carefully and try it on scrap, or use another part."
"""The remedy for holes that one part has too near each other."""
