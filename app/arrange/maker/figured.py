"""What follows from a maker's measures in a builder's hands: figures for a page, in the worst case where one counts."""

from __future__ import annotations

import math

from app.arrange.maker.made import Figure, Made
from app.document.patterns import pattern_of
from app.model.tooling import Allowance

_MINUTE = 60


def figures_of(made: Made, allowance: Allowance, hole_seconds: float) -> tuple[Figure, ...]:
    """The figures of what a maker makes: its own, then the thinnest web at worst, and how long its holes take.

    Args:
        made: what it makes.
        allowance: how far off its place a hole may be; two neighbours drift toward each other.
        hole_seconds: time for one hole [s].
    """
    patterns = [pattern_of(entry) for entry in made.patterns.values()]
    webs = [p.web - 2 * allowance.position for p in patterns if math.isfinite(p.web)]
    holes = sum(len(p.holes) for p in patterns) + sum(len(part.cutouts) for part in made.hardware.values())
    worst = (Figure("web-at-worst", "Thinnest web at worst", min(webs), "length"),) if webs else ()
    time = Figure("minutes", "Drilling takes about", holes * hole_seconds / _MINUTE, "minutes")
    return (*made.figures, *worst, *((time,) if holes else ()))
