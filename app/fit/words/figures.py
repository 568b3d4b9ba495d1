"""The figures of a finding as they stand beside its sentence: what there is, and what is wanted."""

from __future__ import annotations

from msgspec import Struct

from app.fit.finding import Finding
from app.fit.limits.cut_depths import TINY
from app.fit.registry import rule_named
from app.fit.words.lengths import say_both
from app.units import Unit


class FindingFigures(Struct, frozen=True):
    """Two lengths of a finding, rounded as in its sentence.

    Args:
        there: what there is, in words.
        wanted: what is needed, or may be at most, in words.
        at_most: whether ``wanted`` is a most; if not, it is a least.
        there_mm, wanted_mm: the same [mm].
    """

    there: str
    wanted: str
    at_most: bool
    there_mm: float
    wanted_mm: float

    @property
    def limit(self) -> str:
        """“needs 18 mm”, “at most 5 mm”."""
        return f"{'at most' if self.at_most else 'needs'} {self.wanted}"


def figures(finding: Finding, unit: Unit) -> FindingFigures | None:
    """The figures of a finding; None where they are no lengths, or there is nothing they fall short of."""
    pair = rule_named(finding.rule).lengths(finding)
    if pair is None or abs(pair[0] - pair[1]) <= 3 * TINY:
        return None
    there, wanted = pair
    return FindingFigures(*say_both(there, wanted, unit), there > wanted, there, wanted)
