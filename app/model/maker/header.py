"""What the maker of a header asks: the lit panel above a display."""

from __future__ import annotations

from typing import Final

from app.model.maker.measure import Asked, Measure

HEADER: Final = "header"
"""Its name."""

MEASURES: Final = (
    Measure(
        name="opening-width", label="Opening that shows, left to right", kind="length", default=400.0, least=10,
        most=4900,
    ),
    Measure(
        name="opening-height", label="Opening that shows, front to back", kind="length", default=70.0, least=10,
        most=2000,
    ),
    Measure(
        name="corner", label="Its corners", kind="length", default=0.0, most=1000,
        hint="Radius; 0 for square ones.",
    ),
    Measure(
        name="lap", label="Diffuser behind the board", kind="length", default=12.0, least=3, most=200,
        hint="How far it reaches past the opening on each side: glue or tape holds it there.",
    ),
    Measure(
        name="diffuser", label="Diffuser thickness", kind="length", default=3.0, least=0.2, most=20,
        hint="Milky acrylic; a printed film may lie before it.",
    ),
    Measure(
        name="behind", label="From the strip to the diffuser", kind="length", default=35.0, least=1, most=500,
        hint="As far as lights are apart, or more, and no spots show.",
    ),
    Measure(name="strips", label="Strips of lights", kind="count", default=1, least=1, most=20),
    Measure(
        name="lights", label="Lights on a metre", kind="count", default=60, least=1, most=1000,
    ),
    Measure(
        name="cut", label="A strip is cut every", kind="length", default=50.0, least=1, most=500,
        hint="From mark to mark on the strip.",
    ),
    Measure(
        name="current", label="Each light takes, in mA", kind="count", default=20, least=1, most=1000,
        hint="At its brightest: the strip’s sheet says it, often as watts a metre.",
    ),
    Measure(
        name="volts", label="Strip for", kind="choice", default="12",
        choices=(("5", "5 V"), ("12", "12 V"), ("24", "24 V")),
    ),
    Measure(
        name="in-row", label="Lights that share a current", kind="count", default=3, least=1, most=12,
        hint="In series between two marks: 1 on most 5 V strips, 3 at 12 V, 6 at 24 V.",
    ),
    Measure(name="vents", label="Holes for air", kind="yes-no", default=True),
    Measure(
        name="vent-hole", label="Vent hole", kind="length", default=8.0, least=1, most=40, only=("vents", (True,)),
    ),
    Measure(
        name="vent-pitch", label="Vent pitch", kind="length", default=25.0, least=2, most=500, only=("vents", (True,)),
        hint="From hole to hole, in a row behind the diffuser’s back edge: warm air rises there.",
    ),
    Measure(
        name="width", label="Board, left to right", kind="length", default=470.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="height", label="Board, front to back", kind="length", default=160.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="free-depth", label="Free depth behind it", kind="length", default=80.0, most=2000, board=True,
        hint="How deep the cabinet is free behind this board.",
    ),
)  # fmt: skip
"""Its measures, in the order of a form."""

LOOK_FOR: Final = (
    "Where the strip may be cut: only at its marks.",
    "How warm it gets: a strip that is too hot to touch wants a metal rail behind it and more air.",
    "A bought, enclosed and approved supply of the strip’s own voltage, with current to spare; no mains in the header.",
    "A fuse in the lead to the strip, as the strip’s or the supply’s sheet says.",
)
"""What to look for before buying; common practice, no source."""


def strip_length(asked: Asked) -> float:
    """How long each strip is: whole pieces from mark to mark, no longer than the opening [mm]; 0 if none fits."""
    step = asked.number("cut")
    return (asked.number("opening-width") + 1e-9) // step * step


def light_count(asked: Asked) -> int:
    """Lights on all strips."""
    return round(strip_length(asked) / 1000 * asked.number("lights")) * int(asked.number("strips"))


def current(asked: Asked) -> float:
    """What all of them take together [mA]: those in series share one current."""
    return -(-light_count(asked) // int(asked.number("in-row"))) * asked.number("current")
