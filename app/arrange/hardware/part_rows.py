"""Parts of the catalogue as rows of a design."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

from app.catalogue.hardware import EncoderEntry, PartEntry, WiringEntry
from app.geometry.shapes import Shape
from app.model.part import NutFixing, Part, SnapFixing


def entry_of(part: Part) -> PartEntry:
    """A part as a row of a design, the same in every measure to 1e-9 mm."""
    row: dict[str, Any] = {
        "id": part.id,
        "name": part.name,
        "kind": part.kind,
        "mount": part.mount,
        "source": part.source.text[:200],
        "basis": part.source.basis,
        "cutouts": [{**_row(c.shape), "smallest": c.smallest, "largest": c.largest} for c in part.cutouts],
        "flange": {**_row(part.flange.shape), "rise": part.flange.height} if part.flange else None,
        "fixing": _fixing_row(part),
        "body": {**_row(part.body.shape), "depth": part.body.depth},
        "lever": _fields(part.lever, "length", "height_min", "height_max", "knob"),
        "wiring": _fields(part.wiring, *WiringEntry.model_fields),
        "encoder": _fields(part.encoder, *EncoderEntry.model_fields),
    }
    return PartEntry.model_validate(row)


def _fixing_row(part: Part) -> dict[str, Any]:
    fixing = part.fixing
    if isinstance(fixing, NutFixing):
        names = ("thread_length", "nut_height", "nut_width", "washer", "spare_thread")
        return {"type": "nut", **(_fields(fixing, *names) or {})}
    if isinstance(fixing, SnapFixing):
        return {"type": "snap", "grip_min": fixing.grip_min, "grip_max": fixing.grip_max}
    if fixing is None:
        if part.is_pattern:
            raise AssertionError("a pattern is no hardware: it has no row")
        return {"type": "glue"}
    return {
        "type": "screws",
        **(_fields(fixing, "holes", "screw_diameter", "screw_length", "side", "plate_thickness") or {}),
        "plate": _row(fixing.plate) if fixing.plate else None,
    }


def _fields(thing: object, *names: str) -> dict[str, Any] | None:
    return None if thing is None else {name: getattr(thing, name) for name in names}


def _row(shape: Shape) -> dict[str, Any]:
    r, (x, y) = shape.radius, (round(v, 9) + 0.0 for v in shape.centre)
    if len(shape.core) == 1:
        return {"shape": "circle", "x": x, "y": y, "diameter": round(2 * r, 9)}
    first, second = shape.core[:2]
    angle = round(math.degrees(math.atan2(second[1] - first[1], second[0] - first[0])), 9) + 0.0
    sides = [round(math.dist(a, b) + 2 * r, 9) for a, b in pairwise(shape.core[:3])]
    if len(shape.core) == 2:
        return {"shape": "slot", "x": x, "y": y, "length": sides[0], "width": round(2 * r, 9), "angle": angle}
    return {"shape": "rectangle", "x": x, "y": y, "width": sides[0], "height": sides[1], "corner": r, "angle": angle}
