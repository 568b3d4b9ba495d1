"""What the maker of a loudspeaker grille asks."""

from __future__ import annotations

from typing import Final

from app.model.maker.measure import Measure
from app.model.maker.patterning import OPENING, hole_measures

GRILLE: Final = "grille"
"""Its name."""

MEASURES: Final = (
    Measure(
        name="outer", label="Driver, over its rim", kind="length", default=125.0, least=20, most=500,
        hint="Across the widest point of the driver’s rim.",
    ),
    Measure(
        name="cone", label="Cone", kind="length", default=88.0, least=10, most=480,
        hint="Across the cone with its surround: what moves.",
    ),
    Measure(
        name="depth", label="Depth", kind="length", default=45.0, least=1, most=400,
        hint="From the face of the rim that lies on the board to the back of the magnet, terminals included.",
    ),
    Measure(
        name="magnet", label="Magnet", kind="length", default=70.0, least=5, most=500,
        hint="Across the magnet. Room is kept for the wider of magnet and rim, all the way down.",
    ),
    Measure(
        name="fixing", label="Held by", kind="choice", default="screws",
        choices=(("screws", "screws through the board"), ("glue", "glue")),
    ),
    Measure(
        name="screws", label="Screws", kind="count", default=4, least=2, most=12, only=("fixing", ("screws",)),
    ),
    Measure(
        name="bolt-circle", label="Screw circle", kind="length", default=115.0, least=12, most=520,
        only=("fixing", ("screws",)), hint="The circle through the middles of the screw holes.",
    ),
    Measure(
        name="screw", label="Screw size", kind="choice", default="M4", only=("fixing", ("screws",)),
        choices=(("M3", "M3"), ("M4", "M4"), ("M5", "M5")),
    ),
    *hole_measures("holes", 10.0, 17.5, default="staggered-60", opening="one opening with a ring"),
    Measure(
        name="field", label="Holes within", kind="length", default=0.0, most=600,
        only=("holes", ("staggered-60", "square", "staggered-45", "rings", "slots")),
        hint="Across the circle that the holes lie in; 0 for that of the cone.",
    ),
    Measure(
        name="ring", label="Ring", kind="length", default=8.0, least=1, most=100, only=("holes", (OPENING,)),
        hint="How wide the ring is that covers the edge of the opening.",
    ),
    Measure(
        name="width", label="Board, left to right", kind="length", default=180.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="height", label="Board, front to back", kind="length", default=180.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="free-depth", label="Free depth behind it", kind="length", default=100.0, most=2000, board=True,
        hint="How deep the cabinet is free behind this board.",
    ),
)  # fmt: skip
"""Its measures, in the order of a form."""
