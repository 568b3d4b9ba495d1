"""Parts back into rows: for listing the catalogue and for copying a part into a document."""

from __future__ import annotations

import math

from app.geometry.shapes import Point, Shape
from app.model.part import Fixing, NutFixing, Part, SnapFixing

Row = dict[str, object]


def part_row(part: Part) -> Row:
    """The row that :func:`app.catalogue.records.part_from_row` reads back as the same part.

    All values are plain (text, numbers, lists and tables), lengths in mm true to 1e-9 mm; fields the part
    does not have are left out.
    """
    row: Row = {"id": part.id, "name": part.name, "kind": part.kind, "mount": part.mount}
    row["cutouts"] = [{**_shape(c.shape), "smallest": c.smallest, "largest": c.largest} for c in part.cutouts]
    if part.flange:
        row["flange"] = {**_shape(part.flange.shape), "rise": part.flange.height}
    row["fixing"] = _fixing(part.fixing)
    row["body"] = {**_shape(part.body.shape), "depth": part.body.depth}
    if part.lever:
        lever = part.lever
        row["lever"] = {
            "length": lever.length, "height_min": lever.height_min, "height_max": lever.height_max, "knob": lever.knob,
        }  # fmt: skip
    if part.wiring:
        wiring = part.wiring
        row["wiring"] = {
            "signal_tabs": wiring.signal_tabs, "ground_tabs": wiring.ground_tabs,
            "tab_width": wiring.tab_width, "light_current": wiring.light_current,
        }  # fmt: skip
    return {**row, "source": part.source.text, "basis": part.source.basis}


def _fixing(fixing: Fixing) -> Row:
    if isinstance(fixing, NutFixing):
        return {
            "type": "nut", "thread_length": fixing.thread_length, "nut_height": fixing.nut_height,
            "nut_width": fixing.nut_width, "washer": fixing.washer, "spare_thread": fixing.spare_thread,
        }  # fmt: skip
    if isinstance(fixing, SnapFixing):
        return {"type": "snap", "grip_min": fixing.grip_min, "grip_max": fixing.grip_max}
    row: Row = {
        "type": "screws", "holes": [list(hole) for hole in fixing.holes],
        "screw_diameter": fixing.screw_diameter, "side": fixing.side,
    }  # fmt: skip
    if fixing.plate:
        row["plate"] = _shape(fixing.plate)
    return {**row, "plate_thickness": fixing.plate_thickness}


def _shape(shape: Shape) -> Row:
    """The shape's fields; a core of one, two or four points is a circle, a slot or a rectangle."""
    x, y = (_clean(v) for v in shape.centre)
    across = 2 * shape.radius
    if shape.is_circle:
        return {"shape": "circle", "x": x, "y": y, "diameter": _clean(across)}
    first, second = shape.core[0], shape.core[1]
    length, angle = _clean(math.dist(first, second) + across), _angle(first, second)
    if len(shape.core) == 2:
        return {"shape": "slot", "x": x, "y": y, "length": length, "width": _clean(across), "angle": angle}
    return {
        "shape": "rectangle", "x": x, "y": y, "width": length,
        "height": _clean(math.dist(second, shape.core[2]) + across), "angle": angle, "corner": _clean(shape.radius),
    }  # fmt: skip


def _angle(start: Point, end: Point) -> float:
    return _clean(math.degrees(math.atan2(end[1] - start[1], end[0] - start[0])))


def _clean(value: float) -> float:
    """``value`` without the last binary digits of turning and halving; -0 becomes 0."""
    return round(value, 9) + 0.0
