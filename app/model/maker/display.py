"""What the maker of a display's mounting plate asks."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from app.model.maker.measure import Asked, Measure

DISPLAY: Final = "display"
"""Its name."""

PATTERNS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "50x20": (50.0, 20.0),
        "75": (75.0, 75.0),
        "100": (100.0, 100.0),
        "200x100": (200.0, 100.0),
        "200x200": (200.0, 200.0),
    }
)
"""Squares and oblongs of mounting holes, across and down [mm]: flat display mounting interface, types B, D, E and F."""

SCREWS: Final[Mapping[str, tuple[float, float, float, float]]] = MappingProxyType(
    {"M4": (4.0, 4.3, 4.5, 4.8), "M6": (6.0, 6.4, 6.6, 7.0), "M8": (8.0, 8.4, 9.0, 10.0)}
)
"""Screw, and its clearance hole fine, medium and coarse [mm]: ISO 273."""

BY_STANDARD: Final = "standard"
_CABLE: Final = ("cable", (True,))

MEASURES: Final = (
    Measure(
        name="pattern", label="Mounting holes", kind="choice", default="100",
        choices=tuple((name, f"{across:g} × {down:g} mm") for name, (across, down) in PATTERNS.items()),
        hint="Middle to middle, on the back of the display.",
    ),
    Measure(
        name="screw", label="Screw size", kind="choice", default=BY_STANDARD,
        choices=((BY_STANDARD, "by the standard: M4, M6 for 200 × 200"), *((name, name) for name in SCREWS)),
    ),
    Measure(
        name="screw-length", label="Screw length", kind="length", default=16.0, least=4, most=150,
        hint="Under the head.",
    ),
    Measure(
        name="washer", label="Washer", kind="length", default=1.0, most=20,
        hint="Under the head, how thick; 0 for none.",
    ),
    Measure(
        name="thread-depth", label="Thread depth", kind="length", default=10.0, least=2, most=60,
        hint="How deep the display’s holes are: feel with a wire. 10 mm is usual.",
    ),
    Measure(
        name="mass", label="Weight of the display, in grams", kind="count", default=4000.0, most=100_000,
        hint="Without its foot.",
    ),
    Measure(
        name="span", label="Between its supports", kind="length", default=450.0, least=20, most=5000,
        hint="What holds the plate at the left and at the right, from one to the other.",
    ),
    Measure(
        name="plate", label="Plate thickness", kind="length", default=9.0, least=1, most=60, board=True,
    ),
    Measure(name="cable", label="Cable slot", kind="yes-no", default=True),
    Measure(
        name="cable-length", label="Cable slot, length", kind="length", default=50.0, least=3, most=500, only=_CABLE,
        hint="Over all, left to right: the plug goes through too.",
    ),
    Measure(
        name="cable-width", label="Cable slot, width", kind="length", default=25.0, least=3, most=200, only=_CABLE,
    ),
    Measure(
        name="cable-down", label="Cable slot below the middle", kind="length", default=0.0, most=2000, only=_CABLE,
        hint="From the middle of the four holes toward the front edge: where the sockets are.",
    ),
    Measure(
        name="outer-width", label="Display, left to right", kind="length", default=440.0, least=20, most=3000,
        hint="Over its case, at the widest place.",
    ),
    Measure(
        name="outer-height", label="Display, front to back", kind="length", default=265.0, least=20, most=3000,
        hint="Over its case.",
    ),
    Measure(
        name="outer-depth", label="Display, depth", kind="length", default=45.0, least=3, most=500,
        hint="From the mounting holes to its front.",
    ),
    Measure(
        name="visible-width", label="Picture, left to right", kind="length", default=409.6, least=10, most=2990,
        hint="What lights up.",
    ),
    Measure(
        name="visible-height", label="Picture, front to back", kind="length", default=230.4, least=10, most=2990,
        hint="What lights up.",
    ),
    Measure(
        name="past", label="Display reaches past the plate", kind="yes-no", default=False,
        hint="Then only the part of it behind the holes counts as what hangs on the plate.",
    ),
    Measure(
        name="fit", label="It sits", kind="choice", default="loose",
        choices=(("loose", "with room round it"), ("press", "pressed between the sides")),
    ),
    Measure(
        name="room", label="Between the sides", kind="length", default=480.0, least=20, most=5000,
        hint="The smallest of three places, left to right.",
    ),
    Measure(
        name="opening-width", label="Opening before it, left to right", kind="length", default=406.0, most=3000,
        hint="What is cut into the board before the display; 0 for none.",
    ),
    Measure(
        name="opening-height", label="Opening before it, front to back", kind="length", default=227.0, most=3000,
        hint="What is cut into the board before the display; 0 for none.",
    ),
    Measure(
        name="width", label="Board, left to right", kind="length", default=470.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="height", label="Board, front to back", kind="length", default=290.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="free-depth", label="Free depth on the display’s side", kind="length", default=100.0, most=2000,
        board=True, hint="How deep the cabinet is free on the side of the board that the display is on.",
    ),
)  # fmt: skip
"""Its measures, in the order of a form."""

LOOK_FOR: Final = (
    "Mounting holes on the back, and how far apart they are: some displays have none.",
    "The depth of those holes, before you buy screws.",
    "How wide the bezel is on each side: it is seldom the same all round.",
    "That it comes on again by itself when its power comes back: some wait for a button.",
    "Which way the sockets point: plugs that stick out backwards need depth.",
    "Where its buttons are, and whether you can reach them once it is in.",
    "A power supply outside the case, bought and approved: never open a display’s own.",
)
"""What to look for before buying one; common practice, no source."""


def screw_of(asked: Asked) -> tuple[float, float, float, float]:
    """The screw and its clearance holes, fine, medium and coarse [mm].

    The standard has M4 up to 200 × 100 mm, and M6 or M8 from 200 × 200 mm.
    """
    name = asked.text("screw")
    if name == BY_STANDARD:
        name = "M6" if asked.text("pattern") == "200x200" else "M4"
    return SCREWS[name]
