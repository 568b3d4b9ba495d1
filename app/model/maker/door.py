"""What the maker of an access door asks, and the two sizes that follow: of the door, and of its opening."""

from __future__ import annotations

from typing import Final

from app.model.maker.measure import Asked, Measure

DOOR: Final = "door"
"""Its name."""

SIXTEENTH: Final = 25.4 / 16
"""Gap a side to begin with [mm]: 1/16 in, so a door 1/8 in smaller both ways. Common practice, no source."""

LEAST: Final = 20.0
"""Smallest side of a door [mm]."""

_BOTH: Final = "both"
_OPENING: Final = ("sized", ("opening", _BOTH))
_DOOR: Final = ("sized", ("door", _BOTH))
_GAP: Final = ("sized", ("opening", "door"))
_LOCK: Final = ("held", ("lock",))
_TURNS: Final = {"left": 0.0, "front": 90.0, "right": 180.0, "back": 270.0}

MEASURES: Final = (
    Measure(
        name="sized", label="You have", kind="choice", default="opening",
        choices=(("opening", "the opening"), ("door", "a door at hand"), (_BOTH, "both")),
        hint="The other one is worked out from it, with the gap.",
    ),
    Measure(
        name="opening-width", label="Opening, left to right", kind="length", default=300.0, least=30, most=5000,
        only=_OPENING, hint="The smallest of three places: bare wood, before paint.",
    ),
    Measure(
        name="opening-height", label="Opening, front to back", kind="length", default=220.0, least=30, most=5000,
        only=_OPENING, hint="The smallest of three places: bare wood, before paint.",
    ),
    Measure(
        name="width", label="Door, left to right", kind="length", default=290.0, least=20, most=5000, only=_DOOR,
        hint="The largest of three places.",
    ),
    Measure(
        name="height", label="Door, front to back", kind="length", default=210.0, least=20, most=5000, only=_DOOR,
        hint="The largest of three places.",
    ),
    Measure(
        name="gap", label="Gap a side", kind="length", default=SIXTEENTH, most=20, only=_GAP,
        hint="Once all is painted. 1/16 in (1.6 mm) is usual.",
    ),
    Measure(
        name="paint", label="Paint on each face", kind="length", default=0.0, most=2,
        hint="How thick it is once dry. It lies on the edge of the door and on that of the opening.",
    ),
    Measure(
        name="opens", label="It opens", kind="choice", default="out", choices=(("out", "outwards"), ("in", "inwards")),
        hint="Its hinges lie on the face that it opens to.",
    ),
    Measure(
        name="hinged", label="Hinged at the", kind="choice", default="left",
        choices=(("left", "left edge"), ("right", "right edge"), ("front", "front edge"), ("back", "back edge")),
    ),
    Measure(
        name="hinges", label="Hinges", kind="count", default=2, most=8, hint="0 for a door that lifts out.",
    ),
    Measure(
        name="hinge", label="Hinge length", kind="length", default=50.0, least=10, most=2000,
        hint="Along the edge of the door.",
    ),
    Measure(
        name="inset", label="Hinge from the corner", kind="length", default=30.0, most=1000,
        hint="From the corner of the door to the near end of the hinge.",
    ),
    Measure(
        name="leaf", label="Leaf width", kind="length", default=25.0, least=5, most=300,
        hint="From the middle of the pin to the far edge of one leaf.",
    ),
    Measure(
        name="leaf-thickness", label="Leaf thickness", kind="length", default=1.5, least=0.3, most=10,
    ),
    Measure(
        name="screw-line", label="Screws from the pin", kind="length", default=17.0, least=3, most=290,
        hint="From the middle of the pin to the middles of the screw holes.",
    ),
    Measure(name="screws", label="Screws a leaf", kind="count", default=2, least=1, most=12),
    Measure(
        name="screw", label="Screw diameter", kind="length", default=3.0, least=1.5, most=8,
    ),
    Measure(
        name="screw-length", label="Screw length", kind="length", default=10.0, least=4, most=100,
        hint="Under the head.",
    ),
    Measure(
        name="frame", label="Board round the opening", kind="length", default=12.0, least=1, most=200,
        hint="How thick the board is that the other leaves are screwed to.",
    ),
    Measure(
        name="room", label="Room to swing", kind="length", default=400.0, most=5000,
        hint="From the face that it opens to, to the nearest thing that stands before it.",
    ),
    Measure(
        name="held", label="Held shut by", kind="choice", default="lock",
        choices=(("lock", "a key lock, 19 mm hole"), ("catch", "a catch or magnet inside")),
    ),
    Measure(
        name="lock-in", label="Lock from the free edge", kind="length", default=30.0, least=5, most=1000, only=_LOCK,
    ),
    Measure(
        name="finger-hole", label="Finger hole", kind="length", default=0.0, most=60,
        hint="Diameter; 25 mm (1 in) suits a finger. 0 for none.",
    ),
    Measure(name="vents", label="Holes for air", kind="yes-no", default=False),
    Measure(name="vent-hole", label="Vent hole", kind="length", default=6.0, least=1, most=40, only=("vents", (True,))),
    Measure(
        name="vent-pitch", label="Vent pitch", kind="length", default=14.0, least=2, most=200, only=("vents", (True,)),
        hint="From centre to centre of nearest holes.",
    ),
    Measure(
        name="vent-width", label="Vents within, left to right", kind="length", default=120.0, least=2, most=4000,
        only=("vents", (True,)),
    ),
    Measure(
        name="vent-height", label="Vents within, front to back", kind="length", default=60.0, least=2, most=4000,
        only=("vents", (True,)),
    ),
    Measure(
        name="free-depth", label="Free depth behind it", kind="length", default=100.0, most=2000, board=True,
        hint="How deep the cabinet is free behind this board.",
    ),
)  # fmt: skip
"""Its measures, in the order of a form."""


def margin(asked: Asked) -> float:
    """Bare wood from the edge of the door to that of the opening, on each side, where a gap is asked for [mm].

    Paint lies on both edges, a coat each: the gap is what is left once all is painted.
    """
    return asked.number("gap") + 2 * asked.number("paint")


def door_sides(asked: Asked) -> tuple[float, float]:
    """The bare door, left to right and front to back [mm]; not above 0 where no door is left."""
    if asked.text("sized") != "opening":
        return asked.number("width"), asked.number("height")
    off = 2 * margin(asked)
    return asked.number("opening-width") - off, asked.number("opening-height") - off


def opening_sides(asked: Asked) -> tuple[float, float]:
    """The bare opening, left to right and front to back [mm]."""
    if asked.text("sized") != "door":
        return asked.number("opening-width"), asked.number("opening-height")
    off = 2 * margin(asked)
    return asked.number("width") + off, asked.number("height") + off


def hinge_turn(asked: Asked) -> float:
    """How far the door is turned from one that is hinged at its left edge, anticlockwise [degrees]."""
    return _TURNS[asked.text("hinged")]


def upright(asked: Asked) -> bool:
    """Whether the pins run from front to back, so that the door's width is what swings."""
    return asked.text("hinged") in ("left", "right")


def pin_gap(asked: Asked) -> float:
    """From the middle of a hinge's pin, over the middle of the gap, to the edge of the bare door [mm]."""
    wide, narrow = (sides[0 if upright(asked) else 1] for sides in (opening_sides(asked), door_sides(asked)))
    return (wide - narrow) / 4
