"""What follows from a pattern in a builder's hands: holes, open area, webs, and how long they take."""

from __future__ import annotations

import math
from typing import Final

from app.arrange.maker.made import Figure
from app.document.pattern_schema import PatternEntry
from app.document.patterns import pattern_of
from app.geometry.boundary import Boundary
from app.model.tooling import Allowance

_MINUTE: Final = 60


def pattern_figures(entry: PatternEntry, allowance: Allowance, hole_seconds: float) -> tuple[Figure, ...]:
    """Figures of a pattern that is possible.

    Args:
        entry: the pattern.
        allowance: how far off its place a hole may be; two neighbours drift toward each other.
        hole_seconds: time for one hole [s].
    """
    pattern = pattern_of(entry)
    many = len(pattern.holes)
    field = Boundary(pattern.boundary).polygon.area
    figures = [
        Figure("holes", "Slots" if entry.order == "slots" else "Holes", float(many), "count"),
        Figure("pitch", "Pitch", entry.pitch, "length"),
        Figure("open-share", "Open", 100 * pattern.open_area / field, "share"),
        Figure("open-area", "Open area", pattern.open_area, "area"),
    ]
    if math.isfinite(pattern.web):
        worst = pattern.web - 2 * allowance.position
        figures += [
            Figure("web", "Web, as drawn", pattern.web, "length"),
            Figure("web-at-worst", "Web at worst", worst, "length"),
        ]
    return (*figures, Figure("minutes", "Drilling takes about", many * hole_seconds / _MINUTE, "minutes"))
