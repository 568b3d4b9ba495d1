"""Lines of a DXF file by layer, blocks taken apart, in the units of the file."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Final

from app.errors import DocumentError
from app.geometry.shapes import Point
from app.readers.biarcs import Curve, cubic, fitted
from app.readers.chain import Chain, Lines
from app.readers.pieces import Piece, Straight, bend, bulged

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_MM_PER_UNIT: Final = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 25.4e-6, 9: 0.0254, 13: 1e-3, 14: 100.0}
"""mm by ``$INSUNITS`` (the DXF reference): in, ft, mm, cm, m, µin, mil, µm, dm."""

_MOST: Final = 50_000
_READ: Final = frozenset({"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "ELLIPSE", "SPLINE"})


def read_dxf(data: bytes, within: float) -> Lines:
    """The lines of the model space.

    Args:
        data: the file.
        within: how far a bend may be from a curve that is none, as a share of the drawing's size.

    Raises:
        DocumentError: it is no DXF file, is damaged, or holds more than an outline can.
    """
    document = _document(data)
    chains: list[Chain] = []
    worst, fitted_curves = 0.0, 0
    size = max(_size(document), 1e-9)
    for count, entity in enumerate(_entities(document)):
        if count > _MOST:
            raise DocumentError(
                f"It holds more than {_MOST:,} lines, which no board's outline has. Export the outline alone."
            )
        kind = entity.dxftype()
        if kind not in _READ:
            continue
        pieces, off = _pieces(entity, kind, within * size)
        if off > 0:
            fitted_curves += 1
            worst = max(worst, off)
        if pieces:
            chains.append(Chain(str(entity.dxf.layer), tuple(pieces)))
    units = int(document.header.get("$INSUNITS", 0) or 0)
    return Lines(tuple(chains), _MM_PER_UNIT.get(units), fitted_curves, worst)


def _document(data: bytes) -> Drawing:
    from ezdxf import recover
    from ezdxf.lldxf.const import DXFError

    if b" Binary DXF" in data[:40]:
        raise DocumentError("It is a DXF file in binary. Export it as text (ASCII), R2000 or newer.")
    try:
        document, _ = recover.read(io.BytesIO(data))
    except (DXFError, OSError, ValueError, IndexError, KeyError, TypeError, AttributeError, RecursionError) as error:
        line = re.search(r"\bline (\d+)", str(error))
        at = f"Line {line[1]}: it" if line else "It"
        raise DocumentError(f"{at} is no DXF that can be read. Export it again as DXF R2000 or newer.") from error
    return document


def _entities(document: Drawing) -> Iterator[Any]:
    from ezdxf import disassemble
    from ezdxf.lldxf.const import DXFError

    try:
        yield from disassemble.recursive_decompose(document.modelspace())
    except (DXFError, ValueError, KeyError, TypeError, AttributeError, RecursionError, ZeroDivisionError) as error:
        raise DocumentError(
            f"A block of it cannot be taken apart ({type(error).__name__}). Explode the blocks, and export it again."
        ) from error


def _size(document: Drawing) -> float:
    """How large the drawing is, roughly, in its units."""
    from ezdxf import bbox

    try:
        box = bbox.extents(document.modelspace(), fast=True)
        return float(box.size.magnitude) if box.has_data else 1.0
    except Exception:  # noqa: BLE001 - only a measure of how fine to be; what cannot be read is told later
        return 1.0


def _pieces(entity: Any, kind: str, within: float) -> tuple[list[Piece], float]:
    """The pieces of an entity, and how far they are from it at most."""
    dxf = entity.dxf
    if kind == "LINE":
        return [Straight(_flat(dxf.start), _flat(dxf.end))], 0.0
    if kind in ("ARC", "CIRCLE") and _level(entity):
        start, end = (dxf.start_angle, dxf.end_angle) if kind == "ARC" else (0.0, 360.0)
        sweep = (float(end) - float(start)) % 360.0 or 360.0
        x, y = _flat(dxf.center)
        if _upright(entity):
            return [bend((x, y), float(dxf.radius), float(start), sweep)], 0.0
        return [bend((-x, y), float(dxf.radius), 180.0 - float(start), -sweep)], 0.0  # seen from behind
    if kind == "ELLIPSE":
        return _ellipse(entity, within)
    if kind == "LWPOLYLINE" and _upright(entity):
        vertices = [(float(x), float(y), float(b)) for x, y, b in entity.get_points("xyb")]
        return _polyline(vertices, bool(entity.closed)), 0.0
    if kind == "POLYLINE" and entity.is_2d_polyline and _upright(entity):
        vertices = [(*_flat(v.dxf.location), float(v.dxf.bulge)) for v in entity.vertices]
        return _polyline(vertices, bool(entity.is_closed)), 0.0
    if kind in ("LWPOLYLINE", "POLYLINE"):
        parts = [_pieces(part, part.dxftype(), within) for part in entity.virtual_entities()]
        return [piece for pieces, _ in parts for piece in pieces], max((off for _, off in parts), default=0.0)
    return _curve(entity, within)


def _ellipse(entity: Any, within: float) -> tuple[list[Piece], float]:
    """An ellipse or a part of one, by its own parameter, a quarter at a time."""
    tool = entity.construction_tool()
    (cx, cy), (ux, uy), (vx, vy) = _flat(tool.center), _flat(tool.major_axis), _flat(tool.minor_axis)
    first = float(tool.start_param)
    span = (float(tool.end_param) - first) % math.tau or math.tau
    count = max(1, math.ceil(span / (math.pi / 2) - 1e-9))
    found: list[Piece] = []
    worst = 0.0
    for k in range(count):
        low, part = first + span * k / count, span / count

        def at(t: float, low: float = low, part: float = part) -> Point:
            c, s = math.cos(low + part * t), math.sin(low + part * t)
            return (cx + c * ux + s * vx, cy + c * uy + s * vy)

        def along(t: float, low: float = low, part: float = part) -> Point:
            c, s = math.cos(low + part * t), math.sin(low + part * t)
            return (-s * ux + c * vx, -s * uy + c * vy)

        pieces, off = fitted(Curve(at, along), within)
        found, worst = [*found, *pieces], max(worst, off)
    return found, worst


def _polyline(vertices: list[tuple[float, float, float]], closed: bool) -> list[Piece]:
    count = len(vertices) if closed else len(vertices) - 1
    found: list[Piece] = []
    for k in range(count):
        (ax, ay, bulge), (bx, by, _) = vertices[k], vertices[(k + 1) % len(vertices)]
        if (ax, ay) != (bx, by):
            found.append(bulged((ax, ay), (bx, by), bulge))
    return found


def _curve(entity: Any, within: float) -> tuple[list[Piece], float]:
    """A curve of another sort, by the Béziers the library makes of it."""
    from ezdxf import path

    try:
        made = path.make_path(entity)
        commands: list[Any] = list(made.commands())
    except (TypeError, ValueError) as error:
        raise DocumentError(f"A {entity.dxftype()} of it cannot be read ({error}). Draw it anew.") from error
    found: list[Piece] = []
    here, worst = _flat(made.start), 0.0
    for command in commands:
        end = _flat(command.end)
        if not hasattr(command, "ctrl1") and not hasattr(command, "ctrl"):
            found.append(Straight(here, end))
        else:
            if hasattr(command, "ctrl1"):
                q, r = _flat(command.ctrl1), _flat(command.ctrl2)
            else:
                c = _flat(command.ctrl)
                q = (here[0] + 2 / 3 * (c[0] - here[0]), here[1] + 2 / 3 * (c[1] - here[1]))
                r = (end[0] + 2 / 3 * (c[0] - end[0]), end[1] + 2 / 3 * (c[1] - end[1]))
            pieces, off = fitted(cubic(here, q, r, end), within)
            found += pieces
            worst = max(worst, off)
        here = end
    return found, worst


def _level(entity: Any) -> bool:
    """Whether the entity lies in the drawing's plane."""
    x, y, _ = entity.dxf.extrusion
    return bool(abs(x) < 1e-9 and abs(y) < 1e-9)


def _upright(entity: Any) -> bool:
    """Whether the entity lies in the drawing's plane, seen from above."""
    return bool(_level(entity) and entity.dxf.extrusion.z > 0)


def _flat(point: Any) -> Point:
    return (float(point.x), float(point.y))
