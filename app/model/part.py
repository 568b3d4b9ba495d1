"""Items of hardware: what they need cut, what shows on top, what hangs below, how they are held."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from app.errors import ModelError
from app.geometry.shapes import Point, Shape
from app.model.source import Source

if TYPE_CHECKING:  # the first page is there before numpy is
    from app.model.pattern import Pattern

Kind = Literal[
    "button",
    "stick",
    "rotary",
    "trackball",
    "toggle",
    "rocker",
    "lock",
    "socket",
    "fan",
    "speaker",
    "bracket",
    "encoder",
    "pattern",
]
Face = Literal["top", "under"]


class Cutout(Struct, frozen=True):
    """A hole right through the board, relative to the part's origin.

    Args:
        shape: nominal size and place [mm].
        smallest: least diameter (or width) that still lets the part in [mm].
        largest: largest diameter (or width) that the part still covers or grips [mm].
    """

    shape: Shape
    smallest: float
    largest: float

    def __post_init__(self) -> None:
        width = self.width
        if not self.smallest <= width + 1e-9 or not width <= self.largest + 1e-9:
            raise ModelError(
                f"A cut-out of {width:g} mm lies between its smallest and largest size, "
                f"got {self.smallest:g} to {self.largest:g} mm."
            )

    @property
    def width(self) -> float:
        """Nominal diameter of a circle, or the smaller side of another shape [mm]."""
        if len(self.shape.core) <= 2:
            return 2 * self.shape.radius
        return min(_side(self.shape.core, 0), _side(self.shape.core, 1)) + 2 * self.shape.radius

    @property
    def is_circle(self) -> bool:
        """Whether a bit makes it."""
        return self.shape.is_circle


def _side(core: tuple[Point, ...], first: int) -> float:
    (ax, ay), (bx, by) = core[first], core[first + 1]
    return float(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5)


class Flange(Struct, frozen=True):
    """The visible rim: outline relative to the origin and height above the board [mm]."""

    shape: Shape
    height: float


class NutFixing(Struct, frozen=True):
    """Held by a nut from below.

    Args:
        thread_length: thread under the flange [mm].
        nut_height: [mm].
        nut_width: across corners [mm].
        washer: washer thickness, 0 if none [mm].
        spare_thread: thread that should show beyond the nut [mm].
    """

    thread_length: float
    nut_height: float
    nut_width: float
    washer: float
    spare_thread: float

    @property
    def grip(self) -> float:
        """Thickest board the nut can still clamp with spare thread [mm]."""
        return self.thread_length - self.nut_height - self.washer - self.spare_thread


class SnapFixing(Struct, frozen=True):
    """Held by clips: the thinnest and thickest board they grip [mm]."""

    grip_min: float
    grip_max: float


class ScrewFixing(Struct, frozen=True):
    """Held by screws.

    Args:
        holes: screw positions relative to the origin [mm].
        screw_diameter: [mm].
        side: the face the screws are driven from.
        plate: mounting plate on that face, relative to the origin; None if the flange or body is the plate.
        plate_thickness: [mm].
        screw_length: under the head [mm]; None if not known.
    """

    holes: tuple[Point, ...]
    screw_diameter: float
    side: Face
    plate: Shape | None
    plate_thickness: float
    screw_length: float | None = None


Fixing = NutFixing | SnapFixing | ScrewFixing


class Body(Struct, frozen=True):
    """What hangs below: outline relative to the origin, and depth [mm].

    The depth is measured from the underside of the flange for a part mounted on top, from the
    underside of the board for one mounted below; terminals are in it.
    """

    shape: Shape
    depth: float


class Lever(Struct, frozen=True):
    """A stick's lever: length above its mounting plate, and the height wanted above the top face [mm]."""

    length: float
    height_min: float
    height_max: float
    knob: float


Signal = Literal["switch", "turning", "sound"]
"""What signal tabs carry: a switch that closes; a turning control's two that tell the way it turns; sound."""

Connection = Literal["screw", "pin", "tab"]
"""How wires end at an encoder board: under a screw, on a pin of a row, on a flat tab."""


class Wiring(Struct, frozen=True):
    """Terminals.

    Args:
        signal_tabs, ground_tabs: how many.
        tab_width: of each [mm].
        light_current: of its light [mA]; 0 where it has none.
        signal: what the signal tabs carry.
        supply_tabs: for its own 5 V, as a turning control's; those of a light are not counted.
        supply_current: what it draws there [mA].
        light_volts: over a bare light, which asks for a resistor in series [V]; 0 where one is built in.
    """

    signal_tabs: int
    ground_tabs: int
    tab_width: float
    light_current: float
    signal: Signal = "switch"
    supply_tabs: int = 0
    supply_current: float = 0.0
    light_volts: float = 0.0


class Encoder(Struct, frozen=True):
    """A board that reads switches and tells a computer of them.

    Args:
        inputs: pins for switches.
        turnings: pairs of pins for turning controls, two for each axis.
        grounds: ground pins.
        supplies: pins that give 5 V.
        connection: how wires end at it.
        current: what it draws itself [mA].
    """

    inputs: int
    turnings: int
    grounds: int
    supplies: int
    connection: Connection
    current: float


class Part(Struct, frozen=True):
    """An item of hardware, named by kind and measured size.

    Args:
        id: short name used in documents.
        name: the name on screen.
        kind: what it is.
        mount: the face its flange or plate lies on.
        cutouts: holes it needs, the main one first; none for what screws or glue hold without one.
        flange: visible rim, if any.
        fixing: how it is held; None for holes alone, and for what is glued.
        body: what hangs below.
        lever: a stick's lever, if any.
        wiring: terminals, if any.
        source: where the numbers come from.
        pattern: what its holes are, each drilled by itself, if it is holes alone.
        encoder: what it reads, if it is an encoder board.
    """

    id: str
    name: str
    kind: Kind
    mount: Face
    cutouts: tuple[Cutout, ...]
    flange: Flange | None
    fixing: Fixing | None
    body: Body
    lever: Lever | None
    wiring: Wiring | None
    source: Source
    pattern: Pattern | None = None
    encoder: Encoder | None = None

    def __hash__(self) -> int:
        """By name: a pattern has thousands of cut-outs, and what is worked out of a part is looked up by it."""
        return hash((self.id, self.name, len(self.cutouts)))

    @property
    def is_pattern(self) -> bool:
        """Whether it is holes alone, each drilled by itself."""
        return self.pattern is not None

    @property
    def has_body(self) -> bool:
        """Whether anything hangs below; of a pattern, which is holes alone, nothing does."""
        return self.body.depth > 0

    @property
    def extent(self) -> float:
        """Radius about its origin of all its cut-outs, as wide as they are drawn [mm]."""
        return _extent(self)

    @property
    def nut_circle(self) -> Shape | None:
        """The circle across the corners of its nut, about its origin; None if no nut holds it."""
        return Shape(((0.0, 0.0),), self.fixing.nut_width / 2) if isinstance(self.fixing, NutFixing) else None

    def depth_below(self, thickness: float, paint: float = 0.0) -> float:
        """How far the part reaches below the bare underside of a board ``thickness`` mm thick, at least 0 [mm].

        A film of ``paint`` mm on each face lifts what rests on the top face and lowers what is mounted from below.
        """
        return max(0.0, self.body.depth + (-thickness - paint if self.mount == "top" else paint))


@lru_cache(maxsize=256)
def _extent(part: Part) -> float:
    return max((math.hypot(x, y) + c.shape.radius for c in part.cutouts for x, y in c.shape.core), default=0.0)
