"""The measures of holes that a maker drills in an order, alike for all that do."""

from __future__ import annotations

from typing import Final

from app.model.maker.measure import Measure, Value

OPENING: Final = "opening"
"""One opening, where holes in an order are the other choices."""

MIDDLE: Final = "middle"
"""The measure of what is in the middle of the holes."""

MOST: Final = "most"
"""Whichever gives more holes."""

ORDERS: Final = (
    ("staggered-60", "staggered, 60°"),
    ("square", "square"),
    ("staggered-45", "staggered, 45°"),
    ("rings", "rings"),
    ("slots", "slots"),
)
"""Orders of holes, in words."""


def hole_measures(
    name: str, hole: float, pitch: float, *, default: str, opening: str, least: float = 0.5
) -> tuple[Measure, ...]:
    """Whether there is one opening or holes in an order, and the order's distances.

    Args:
        name: of the choice.
        hole: to begin with [mm].
        pitch: to begin with [mm].
        default: the choice to begin with.
        opening: the choice of one opening, in words.
        least: smallest hole [mm].
    """
    drilled: tuple[str, tuple[Value, ...]] = (name, tuple(order for order, _ in ORDERS))
    slots: tuple[str, tuple[Value, ...]] = (name, ("slots",))
    return (
        Measure(name=name, label="Holes", kind="choice", default=default, choices=(*ORDERS, (OPENING, opening))),
        Measure(
            name="hole", label="Hole", kind="length", default=hole, least=least, most=60, only=drilled,
            hint="Diameter of each hole, width of each slot.",
        ),
        Measure(
            name="pitch", label="Pitch", kind="length", default=pitch, least=1, most=200, only=drilled,
            hint="From centre to centre of nearest holes, or from row to row of slots.",
        ),
        Measure(
            name="open-area", label="Open area wanted", kind="share", default=0.0, most=90, only=drilled,
            hint="The pitch then follows from it; 0 to keep the pitch.",
        ),
        Measure(
            name=MIDDLE, label="In the middle", kind="choice", default=MOST, only=drilled,
            choices=((MOST, "whichever gives more holes"), ("hole", "a hole"), ("gap", "board, between holes")),
        ),
        Measure(
            name="slot", label="Slot length", kind="length", default=30.0, least=1, most=400, only=slots,
            hint="Over all.",
        ),
    )  # fmt: skip
