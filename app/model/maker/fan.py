"""What the maker of a fan asks."""

from __future__ import annotations

from typing import Final

from app.model.maker.measure import Measure
from app.model.maker.patterning import OPENING, hole_measures

FAN: Final = "fan"
"""Its name."""

FRAMES: Final = ("40", "60", "80", "92", "120", "140")
"""Sides of the frames that the catalogue has [mm]."""

MEASURES: Final = (
    Measure(
        name="frame", label="Frame", kind="choice", default="120",
        choices=tuple((size, f"{size} mm") for size in FRAMES), hint="Over the side of the fan’s frame.",
    ),
    Measure(
        name="thickness", label="Thickness", kind="length", default=0.0, most=60,
        hint="Of the fan’s frame, from face to face; 0 for what is usual.",
    ),
    Measure(
        name="air", label="Air", kind="choice", default="out", choices=(("out", "blows out"), ("in", "blows in")),
    ),
    *hole_measures("holes", 6.0, 13.5, default=OPENING, opening="one opening", least=2),
    Measure(
        name="guard", label="Wire guard over it", kind="yes-no", default=True, only=("holes", (OPENING,)),
        hint="A bought guard that the same four screws hold.",
    ),
    Measure(
        name="width", label="Board, left to right", kind="length", default=180.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="height", label="Board, front to back", kind="length", default=180.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="free-depth", label="Free depth behind it", kind="length", default=60.0, most=2000, board=True,
        hint="How deep the cabinet is free behind this board.",
    ),
)  # fmt: skip
"""Its measures, in the order of a form."""
