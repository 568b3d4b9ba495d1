"""How fast a bit turns: ranges by kind, width and material.

Twist bits in hardwood up to 4.8, 9.5 and 12.7 mm: 3000, 1500 and 750 turns a minute (a woodworking magazine's chart).
Brad-point, spade, Forstner bits and hole saws, and plastics: from memory. A slow start is never wrong.
"""

from __future__ import annotations

from typing import Final

from app.model.tooling import Bit

_RANGES: Final[dict[str, tuple[tuple[float, int, int], ...]]] = {
    "twist": ((4.8, 1500, 3000), (9.5, 750, 1500), (12.7, 500, 750)),
    "brad-point": ((13.0, 1200, 1800), (25.0, 500, 1200)),
    "spade": ((25.0, 1500, 1750), (38.0, 1000, 1500)),
    "forstner": ((16.0, 700, 2400), (25.0, 500, 1500), (32.0, 250, 1000), (50.0, 250, 500)),
    "hole-saw": ((38.0, 350, 500), (63.0, 250, 500)),
    "step": ((20.0, 500, 1000), (40.0, 250, 500)),
}
"""By kind: up to which width, and the slow and the fast end [turns a minute]."""

_SLOW: Final = 250
_SOFT: Final = ("acrylic", "plastic")


def speed_of(bit: Bit | None, family: str) -> str:
    """The range for a bit in a material; empty for a router, whose maker says it, and where there is no bit."""
    ranges = _RANGES.get(bit.kind) if bit is not None else None
    if bit is None or ranges is None:
        return ""
    low, high = next(((a, b) for width, a, b in ranges if bit.diameter <= width), (_SLOW // 2, _SLOW))
    if family in _SOFT:  # it melts before it cuts
        low, high = min(low, 500), min(high, 1500)
    return f"{low:,} to {high:,}"
