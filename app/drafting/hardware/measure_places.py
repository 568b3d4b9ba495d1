"""Where on a drawing of a part each of its measures is taken."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Literal

from msgspec import Struct

from app.geometry.shapes import Point, Shape
from app.model.part import NutFixing, Part, ScrewFixing
from app.values import replace

Zone = Literal["top", "middle", "bottom", "left", "right"]


class MeasurePlace(Struct, frozen=True):
    """Where a measure is taken.

    Args:
        a, b: from where to where [mm].
        at: where its outer lines begin: a height for a measure across, an abscissa for one upright [mm].
        zone: where its figure stands; ``left`` and ``right`` are upright, the others across.
        plan: whether it is taken on the view from above.
    """

    a: float
    b: float
    at: float
    zone: Zone
    plan: bool

    @property
    def upright(self) -> bool:
        """Whether it is taken from bottom to top."""
        return self.zone in {"left", "right"}

    @property
    def span(self) -> float:
        """How long it is [mm]."""
        return abs(self.b - self.a)

    def raised(self, up: float) -> MeasurePlace:
        """The place in a drawing whose view from above lies ``up`` higher [mm]."""
        if not self.plan:
            return self
        if self.upright:
            return replace(self, a=self.a + up, b=self.b + up)
        return replace(self, at=self.at + up)


def place_of(name: str, value: float, part: Part, thickness: float) -> MeasurePlace:
    """Where a measure of a part is taken: seen from above about its origin, from the front about the top face.

    Args:
        name: of the measure.
        value: of the measure [mm].
        part: the part.
        thickness: of the board it is in [mm].
    """
    if name in _ALONG:
        return _ALONG[name](_Taken(part, value, thickness))
    base, _, side = name.rpartition("_")
    if side in {"smallest", "largest"}:
        shape = _hole(part) if base == "hole" else _screw_holes(part)[0]
        return _about(shape, value, "middle" if base == "hole" else "top")
    if side in {"width", "height"} and base in _OUTLINES:
        name = base
    shape = _OUTLINES[name](part)
    x0, y0, x1, y1 = shape.bounds
    if side == "height" and name == base:
        return MeasurePlace(y0, y1, x1, "right", plan=True)
    if name == "body":
        return MeasurePlace(x0, x1, _level(part, thickness) - part.body.depth, "bottom", plan=False)
    return MeasurePlace(x0, x1, shape.centre[1], "middle" if name == "hole" else "top", plan=True)


def _level(part: Part, thickness: float) -> float:
    """Height of the face a part lies against [mm]."""
    return 0.0 if part.mount == "top" else -thickness


def _hole(part: Part) -> Shape:
    return part.cutouts[0].shape


def _about(shape: Shape, value: float, zone: Zone) -> MeasurePlace:
    """So much about the middle of a shape, along its smaller side."""
    (x, y), (wide, high) = shape.centre, shape.size
    if wide <= high + 1e-9:
        return MeasurePlace(x - value / 2, x + value / 2, y, zone, plan=True)
    return MeasurePlace(y - value / 2, y + value / 2, shape.bounds[2], "right", plan=True)


def _screws(part: Part) -> tuple[Point, ...]:
    return part.fixing.holes if isinstance(part.fixing, ScrewFixing) else ()


def _screw_holes(part: Part) -> list[Shape]:
    return [
        c.shape for c in part.cutouts if c.is_circle and any(math.dist(c.shape.centre, s) < 1e-6 for s in _screws(part))
    ]


def _plate(part: Part) -> Shape:
    plate = part.fixing.plate if isinstance(part.fixing, ScrewFixing) else None
    return plate or part.body.shape


_OUTLINES: Mapping[str, Callable[[Part], Shape]] = MappingProxyType(
    {
        "hole": _hole,
        "screw_hole": lambda part: _screw_holes(part)[0],
        "flange": lambda part: part.flange.shape if part.flange else _hole(part),
        "plate": _plate,
        "body": lambda part: part.body.shape,
    }
)


class _Taken(Struct, frozen=True):
    """A measure that is taken along the part, in a board of some thickness [mm]."""

    part: Part
    value: float
    thickness: float

    @property
    def level(self) -> float:
        return _level(self.part, self.thickness)

    @property
    def nut(self) -> NutFixing:
        nut = self.part.fixing
        return nut if isinstance(nut, NutFixing) else NutFixing(0.0, 0.0, 0.0, 0.0, 0.0)

    def down(self, start: float, at: float) -> MeasurePlace:
        return MeasurePlace(start - self.value, start, at, "left", plan=False)

    def up(self, start: float, at: float, zone: Zone = "right") -> MeasurePlace:
        return MeasurePlace(start, start + self.value, at, zone, plan=False)


def _thread(taken: _Taken) -> MeasurePlace:
    return taken.down(0.0, _hole(taken.part).bounds[0])


def _washer(taken: _Taken) -> MeasurePlace:
    return taken.down(-taken.thickness, -taken.nut.nut_width / 2)


def _nut_height(taken: _Taken) -> MeasurePlace:
    return taken.down(-taken.thickness - taken.nut.washer, -taken.nut.nut_width / 2)


def _spare(taken: _Taken) -> MeasurePlace:
    return taken.down(-taken.thickness - taken.nut.washer - taken.nut.nut_height, -taken.nut.nut_width / 2)


def _nut_width(taken: _Taken) -> MeasurePlace:
    middle = -taken.thickness - taken.nut.washer - taken.nut.nut_height / 2
    return MeasurePlace(-taken.value / 2, taken.value / 2, middle, "bottom", plan=False)


def _plate_thickness(taken: _Taken) -> MeasurePlace:
    start = taken.value if taken.part.mount == "top" else taken.level
    return taken.down(start, _plate(taken.part).bounds[0])


def _screw(taken: _Taken) -> MeasurePlace:
    x, y = max(_screws(taken.part))
    return MeasurePlace(x - taken.value / 2, x + taken.value / 2, y, "top", plan=True)


def _screw_length(taken: _Taken) -> MeasurePlace:
    fixing, part = taken.part.fixing, taken.part
    at = min(_screws(part))[0]
    plate = fixing.plate_thickness if isinstance(fixing, ScrewFixing) else 0.0
    if isinstance(fixing, ScrewFixing) and fixing.side == "under":
        return taken.up(-taken.thickness - (plate if part.mount == "under" else 0.0), at, "left")
    rim = part.flange.height if part.flange and part.mount == "top" else 0.0
    return taken.down(max(rim, plate if part.mount == "top" else 0.0), at)


def _across(taken: _Taken) -> MeasurePlace:
    xs, ys = zip(*_screws(taken.part), strict=True)
    return MeasurePlace(min(xs), max(xs), max(ys), "top", plan=True)


def _along(taken: _Taken) -> MeasurePlace:
    xs, ys = zip(*_screws(taken.part), strict=True)
    return MeasurePlace(min(ys), max(ys), max(xs), "right", plan=True)


def _depth(taken: _Taken) -> MeasurePlace:
    level = taken.level
    return MeasurePlace(level - taken.value, level, taken.part.body.shape.bounds[2], "right", plan=False)


def _rise(taken: _Taken) -> MeasurePlace:
    return taken.up(0.0, taken.part.flange.shape.bounds[2] if taken.part.flange else 0.0)


def _knob(taken: _Taken) -> MeasurePlace:
    return MeasurePlace(-taken.value / 2, taken.value / 2, 0.0, "top", plan=True)


def _lever(taken: _Taken) -> MeasurePlace:
    return taken.up(taken.level, 0.0, "left")


def _height(taken: _Taken) -> MeasurePlace:
    return taken.up(0.0, taken.part.lever.knob / 2 if taken.part.lever else 0.0)


_ALONG: Mapping[str, Callable[[_Taken], MeasurePlace]] = MappingProxyType(
    {
        "thread_length": _thread,
        "grip_min": _thread,
        "grip_max": _thread,
        "washer": _washer,
        "nut_height": _nut_height,
        "spare_thread": _spare,
        "nut_width": _nut_width,
        "plate_thickness": _plate_thickness,
        "screw_diameter": _screw,
        "screw_length": _screw_length,
        "screw_across": _across,
        "screw_along": _along,
        "body_depth": _depth,
        "flange_rise": _rise,
        "knob": _knob,
        "lever_length": _lever,
        "height_min": _height,
        "height_max": _height,
    }
)
