"""Parts a design carries itself: the same row shape as the catalogue's."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from app.document.fields import Angle, Coordinate, Id, Length, Record, Size, UpTo, Words
from app.model import limits


class CircleEntry(Record):
    """A circle relative to the part's origin [mm]."""

    shape: Literal["circle"]
    x: Coordinate = 0.0
    y: Coordinate = 0.0
    diameter: Size


class RectangleEntry(Record):
    """A rectangle relative to the part's origin [mm], corners rounded by ``corner``."""

    shape: Literal["rectangle"]
    x: Coordinate = 0.0
    y: Coordinate = 0.0
    width: Size
    height: Size
    angle: Angle = 0.0
    corner: Length = 0.0


class SlotEntry(Record):
    """A slot with round ends relative to the part's origin [mm]."""

    shape: Literal["slot"]
    x: Coordinate = 0.0
    y: Coordinate = 0.0
    length: Size
    width: Size
    angle: Angle = 0.0


ShapeEntry = Annotated[CircleEntry | RectangleEntry | SlotEntry, Field(discriminator="shape")]


class CircleCutout(CircleEntry):
    """A drilled hole with the smallest and largest diameter that still work [mm]."""

    smallest: Size
    largest: Size


class RectangleCutout(RectangleEntry):
    """A cut rectangle with the smallest and largest smaller side that still work [mm]."""

    smallest: Size
    largest: Size


class SlotCutout(SlotEntry):
    """A cut slot with the smallest and largest width that still work [mm]."""

    smallest: Size
    largest: Size


CutoutEntry = Annotated[CircleCutout | RectangleCutout | SlotCutout, Field(discriminator="shape")]


class CircleFlange(CircleEntry):
    """A round flange standing ``rise`` above the board [mm]."""

    rise: Length = 0.0


class RectangleFlange(RectangleEntry):
    """A rectangular flange standing ``rise`` above the board [mm]."""

    rise: Length = 0.0


class SlotFlange(SlotEntry):
    """A flange with round ends standing ``rise`` above the board [mm]."""

    rise: Length = 0.0


FlangeEntry = Annotated[CircleFlange | RectangleFlange | SlotFlange, Field(discriminator="shape")]


class CircleBody(CircleEntry):
    """A round body reaching ``depth`` down, terminals included [mm]."""

    depth: Length


class RectangleBody(RectangleEntry):
    """A rectangular body reaching ``depth`` down, terminals included [mm]."""

    depth: Length


class SlotBody(SlotEntry):
    """A body with round ends reaching ``depth`` down, terminals included [mm]."""

    depth: Length


BodyEntry = Annotated[CircleBody | RectangleBody | SlotBody, Field(discriminator="shape")]


class NutEntry(Record):
    """Held by a nut from below [mm]."""

    type: Literal["nut"]
    thread_length: Size
    nut_height: Size
    nut_width: Size
    washer: Length = 0.0
    spare_thread: Length = 1.0


class SnapEntry(Record):
    """Held by clips that grip boards from ``grip_min`` to ``grip_max`` thick [mm]."""

    type: Literal["snap"]
    grip_min: Length
    grip_max: Size


class ScrewsEntry(Record):
    """Held by screws at ``holes`` from one face [mm]; ``screw_length`` is under the head, left out if not known."""

    type: Literal["screws"]
    holes: Annotated[tuple[tuple[Coordinate, Coordinate], ...], UpTo(limits.SCREWS)]
    screw_diameter: Size
    screw_length: Size | None = None
    side: Literal["under", "top"] = "under"
    plate: ShapeEntry | None = None
    plate_thickness: Length = 0.0


FixingEntry = Annotated[NutEntry | SnapEntry | ScrewsEntry, Field(discriminator="type")]


class LeverEntry(Record):
    """A stick's lever: length above its plate, height wanted above the top face, knob diameter [mm]."""

    length: Size
    height_min: Length
    height_max: Length
    knob: Size


class WiringEntry(Record):
    """Terminals: signal and ground tabs, tab width [mm], current of its light [mA]."""

    signal_tabs: Annotated[int, Field(strict=True, ge=0, le=100)] = 0
    ground_tabs: Annotated[int, Field(strict=True, ge=0, le=100)] = 0
    tab_width: Length = 0.0
    light_current: Length = 0.0


class PartEntry(Record):
    """An item of hardware, named by kind and measured size, and where its numbers come from."""

    id: Id
    name: Words
    kind: Literal[
        "button", "stick", "rotary", "trackball", "toggle", "rocker", "lock", "socket", "fan", "speaker", "bracket"
    ]
    mount: Literal["top", "under"] = "top"
    source: Words
    basis: Literal["measured", "data sheet", "typical"] = "typical"
    cutouts: Annotated[tuple[CutoutEntry, ...], Field(min_length=1), UpTo(limits.HOLES)]
    flange: FlangeEntry | None = None
    fixing: FixingEntry
    body: BodyEntry
    lever: LeverEntry | None = None
    wiring: WiringEntry | None = None
