"""What the maker of a row of sockets asks."""

from __future__ import annotations

from typing import Final

from app.model.maker.measure import Measure

SOCKETS: Final = "sockets"
"""Its name."""

KINDS: Final = (
    ("socket-face-50x25", "face plate 50 × 25 mm"),
    ("socket-round-24", "round, 24 mm hole"),
    ("socket-plug-14x6", "flat, behind 13.6 × 6 mm"),
)
"""Sockets of the catalogue, in words."""

MEASURES: Final = (
    Measure(
        name="socket", label="Socket", kind="choice", default="socket-face-50x25", choices=KINDS,
        hint="Measure yours: there are others that look alike.",
    ),
    Measure(name="count", label="Sockets", kind="count", default=3, least=1, most=24),
    Measure(
        name="spacing", label="Spacing", kind="length", default=65.0, least=10, most=500,
        hint="From middle to middle: as far apart as their plugs need, not only their plates.",
    ),
    Measure(
        name="way", label="They stand", kind="choice", default="row",
        choices=(("row", "side by side"), ("column", "one behind the other")),
    ),
    Measure(
        name="plug", label="Plug, across", kind="length", default=20.0, most=200,
        hint="The widest plug body that goes in, cover included, along the row.",
    ),
    Measure(
        name="behind", label="Plug and bend behind", kind="length", default=40.0, most=500,
        hint="From the back of the socket: the plug in it and the bend of its cable. 0 where wires are soldered to it.",
    ),
    Measure(
        name="width", label="Board, left to right", kind="length", default=240.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="height", label="Board, front to back", kind="length", default=100.0, least=20, most=5000, board=True,
    ),
    Measure(
        name="free-depth", label="Free depth behind it", kind="length", default=80.0, most=2000, board=True,
        hint="How deep the cabinet is free behind this board.",
    ),
)  # fmt: skip
"""Its measures, in the order of a form."""
