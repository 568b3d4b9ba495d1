"""Rows of hardware, declared once: the catalogue's tables and what a design carries itself are read by them.

All lengths in millimetres, angles in degrees, counter-clockwise.
"""

from typing import Annotated, Final, Literal

from pydantic import Field, StringConstraints

from app.catalogue.fields import Angle, Between, Id, Record, UpTo
from app.model import limits
from app.model.part import Connection, Face, Kind, Signal
from app.model.source import Basis

_LINE: Final = r"^[^\x00-\x1f\x7f]*[^\x00-\x20\x7f][^\x00-\x1f\x7f]*$"  # one line, not blank

LARGEST: Final = 5000.0
"""Largest number of millimetres in a row, either side of zero; no item of hardware is longer."""

Place = Annotated[float, Between(-LARGEST, LARGEST)]
Measure = Annotated[float, Between(0, LARGEST)]
Extent = Annotated[float, Between(0, LARGEST, above=True)]


class CircleEntry(Record):
    """A circle relative to the part's origin [mm]."""

    shape: Literal["circle"]
    x: Place = 0.0
    y: Place = 0.0
    diameter: Extent


class RectangleEntry(Record):
    """A rectangle relative to the part's origin [mm], corners rounded by ``corner``."""

    shape: Literal["rectangle"]
    x: Place = 0.0
    y: Place = 0.0
    width: Extent
    height: Extent
    angle: Angle = 0.0
    corner: Measure = 0.0


class SlotEntry(Record):
    """A slot with round ends relative to the part's origin [mm]."""

    shape: Literal["slot"]
    x: Place = 0.0
    y: Place = 0.0
    length: Extent
    width: Extent
    angle: Angle = 0.0


ShapeEntry = Annotated[CircleEntry | RectangleEntry | SlotEntry, Field(discriminator="shape")]


class CircleCutout(CircleEntry):
    """A drilled hole with the smallest and largest diameter that still work [mm]."""

    smallest: Extent
    largest: Extent


class RectangleCutout(RectangleEntry):
    """A cut rectangle with the smallest and largest smaller side that still work [mm]."""

    smallest: Extent
    largest: Extent


class SlotCutout(SlotEntry):
    """A cut slot with the smallest and largest width that still work [mm]."""

    smallest: Extent
    largest: Extent


CutoutEntry = Annotated[CircleCutout | RectangleCutout | SlotCutout, Field(discriminator="shape")]


def cut_sides(cutout: CircleCutout | RectangleCutout | SlotCutout) -> tuple[float, ...]:
    """Width and height, or length, of a cut-out; of a circle its diameter [mm]."""
    match cutout:
        case CircleEntry():
            return (cutout.diameter,)
        case RectangleEntry():
            return (cutout.width, cutout.height)
        case _:
            return (cutout.length, cutout.width)


class CircleFlange(CircleEntry):
    """A round flange standing ``rise`` above the board [mm]."""

    rise: Measure = 0.0


class RectangleFlange(RectangleEntry):
    """A rectangular flange standing ``rise`` above the board [mm]."""

    rise: Measure = 0.0


class SlotFlange(SlotEntry):
    """A flange with round ends standing ``rise`` above the board [mm]."""

    rise: Measure = 0.0


FlangeEntry = Annotated[CircleFlange | RectangleFlange | SlotFlange, Field(discriminator="shape")]


class CircleBody(CircleEntry):
    """A round body reaching ``depth`` down, terminals included [mm]."""

    depth: Measure


class RectangleBody(RectangleEntry):
    """A rectangular body reaching ``depth`` down, terminals included [mm]."""

    depth: Measure


class SlotBody(SlotEntry):
    """A body with round ends reaching ``depth`` down, terminals included [mm]."""

    depth: Measure


BodyEntry = Annotated[CircleBody | RectangleBody | SlotBody, Field(discriminator="shape")]


class NutEntry(Record):
    """Held by a nut from below [mm]."""

    type: Literal["nut"]
    thread_length: Extent
    nut_height: Extent
    nut_width: Extent
    washer: Measure = 0.0
    spare_thread: Measure = 1.0


class SnapEntry(Record):
    """Held by clips that grip boards from ``grip_min`` to ``grip_max`` thick [mm]."""

    type: Literal["snap"]
    grip_min: Measure
    grip_max: Extent


class ScrewsEntry(Record):
    """Held by screws at ``holes`` from one face [mm]; ``screw_length`` is under the head, left out if not known."""

    type: Literal["screws"]
    holes: Annotated[tuple[tuple[Place, Place], ...], UpTo(limits.SCREWS)]
    screw_diameter: Extent
    screw_length: Extent | None = None
    side: Face = "under"
    plate: ShapeEntry | None = None
    plate_thickness: Measure = 0.0


class GlueEntry(Record):
    """Glued, or held by what it hangs on: nothing of its own goes into the board."""

    type: Literal["glue"]


FixingEntry = Annotated[NutEntry | SnapEntry | ScrewsEntry | GlueEntry, Field(discriminator="type")]


class LeverEntry(Record):
    """A stick's lever: length above its plate, height wanted above the top face, knob diameter [mm]."""

    length: Extent
    height_min: Measure
    height_max: Measure
    knob: Extent


Tabs = Annotated[int, Field(strict=True, ge=0, le=64)]
Pins = Annotated[int, Field(strict=True, ge=0, le=200)]
Milliamps = Annotated[float, Between(0, 10_000)]


class WiringEntry(Record):
    """Terminals: signal and ground tabs, tab width [mm], current of its light [mA].

    ``signal`` is what signal tabs carry; a turning control has ``supply_tabs`` for its own 5 V, and draws
    ``supply_current`` [mA]. ``light_volts`` is over a bare light, which asks for a resistor [V]; 0 where one is built
    in.
    """

    signal_tabs: Tabs = 0
    ground_tabs: Tabs = 0
    tab_width: Annotated[float, Between(0, 50)] = 0.0
    light_current: Milliamps = 0.0
    signal: Signal = "switch"
    supply_tabs: Tabs = 0
    supply_current: Milliamps = 0.0
    light_volts: Annotated[float, Between(0, 5)] = 0.0


class EncoderEntry(Record):
    """A board that reads switches: pins for them, pairs for turning controls, for ground and 5 V, its current [mA]."""

    inputs: Pins = 0
    turnings: Pins = 0
    grounds: Annotated[int, Field(strict=True, ge=1, le=200)] = 1
    supplies: Pins = 0
    connection: Connection = "screw"
    current: Milliamps = 0.0


class PartEntry(Record, defer_build=False):
    """An item of hardware, named by kind and measured size, and where its numbers come from.

    Only what screws or glue hold can do without a cut-out. Put together at once: rows and designs are both read by it.
    """

    id: Id
    name: Annotated[str, StringConstraints(pattern=_LINE, max_length=120)]
    kind: Kind
    mount: Face = "top"
    source: Annotated[str, StringConstraints(pattern=_LINE, max_length=400), UpTo(limits.WORDS)]
    basis: Basis = "typical"
    cutouts: Annotated[tuple[CutoutEntry, ...], UpTo(limits.HOLES)]
    flange: FlangeEntry | None = None
    fixing: FixingEntry
    body: BodyEntry
    lever: LeverEntry | None = None
    wiring: WiringEntry | None = None
    encoder: EncoderEntry | None = None
