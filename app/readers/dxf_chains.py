"""Lines of a DXF file by layer, blocks taken apart, in the units of the file."""

from __future__ import annotations

import io
import logging
import math
import re
from typing import TYPE_CHECKING, Any, Final

from app.errors import DocumentError
from app.geometry.shapes import Point
from app.readers.biarcs import cubic, fitted
from app.readers.chain import Chain, Lines, check_count, finest
from app.readers.dxf_checks import check_blocks, check_numbers
from app.readers.dxf_curves import ellipse_pieces, spline_pieces
from app.readers.faults import told_as
from app.readers.pieces import Piece, StraightPiece, bend, bulged

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_MM_PER_UNIT: Final = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 25.4e-6, 9: 0.0254, 13: 1e-3, 14: 100.0}
"""mm by ``$INSUNITS`` (the DXF reference): in, ft, mm, cm, m, µin, mil, µm, dm."""

_BINARY: Final = b" Binary DXF\r\n\x1a\x00"
_READ: Final = frozenset({"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "ELLIPSE", "SPLINE"})


def read_dxf(data: bytes, within: float) -> Lines:
    """The lines of the model space.

    Args:
        data: the file.
        within: how far a bend may be from a curve that is none, as a share of the drawing's size.

    Raises:
        DocumentError: it is no DXF file, is damaged, or holds more than an outline can.
    """
    from ezdxf import disassemble
    from ezdxf.lldxf.const import DXFError

    document = _document(data)
    with told_as(
        "Its blocks cannot be exploded here. Explode them in your drawing program and export it again.", DXFError
    ):
        check_blocks(document)
        entities = [e for e in disassemble.recursive_decompose(document.modelspace()) if e.dxftype() in _READ]
    mm = _mm(document)
    within = finest(within, max(_size(document), 1e-9), mm)
    chains: list[Chain] = []
    count, curves, worst = 0, 0, 0.0
    for entity in entities:
        kind, layer = entity.dxftype(), str(entity.dxf.layer)
        with told_as(f"Layer “{layer[:40]}”: a line of type {kind} cannot be read. Draw it again.", DXFError):
            pieces, off = _pieces(entity, kind, within)
        curves, worst, count = curves + (off > 0), max(worst, off), count + len(pieces)
        check_count(count)
        if pieces:
            chains.append(Chain(layer, tuple(pieces)))
    return Lines(tuple(chains), mm, curves, worst)


_LOG = logging.getLogger("ezdxf")
_LOG.addHandler(logging.NullHandler())
_LOG.propagate = False  # what it mends it says with the file's own words, which no log may hold


def _document(data: bytes) -> Drawing:
    from ezdxf import recover
    from ezdxf.document import Drawing
    from ezdxf.lldxf.const import DXFError
    from ezdxf.lldxf.tagger import binary_tags_loader

    wrong = "It is not a readable DXF. Export it again as DXF R2000 or newer."
    with told_as(wrong):
        try:
            if _BINARY in data[:30]:
                return Drawing.load(binary_tags_loader(data, errors="surrogateescape"))
            if b"SECTION" not in data.upper():
                raise DocumentError("It is neither a DXF nor an SVG drawing. Choose a file that ends in .dxf or .svg.")
            check_numbers(data)
            return recover.read(io.BytesIO(data))[0]
        except DXFError as error:
            line = re.search(r"\bline:? (\d+)", str(error))
            raise DocumentError(f"Line {line[1]}: i{wrong[1:]}" if line else wrong) from error


def _mm(document: Drawing) -> float | None:
    try:
        return _MM_PER_UNIT.get(int(document.header.get("$INSUNITS", 0) or 0))
    except (TypeError, ValueError):
        return None


def _size(document: Drawing) -> float:
    """How large the drawing is, roughly, in its units."""
    from ezdxf import bbox

    try:
        box = bbox.extents(document.modelspace(), fast=True)
        size = float(box.size.magnitude) if box.has_data else 1.0
        return size if math.isfinite(size) else 1.0
    except Exception:  # noqa: BLE001 - only a measure of how fine to be; what cannot be read is told later
        return 1.0


def _pieces(entity: Any, kind: str, within: float) -> tuple[list[Piece], float]:
    """The pieces of an entity, and how far they are from it at most."""
    dxf = entity.dxf
    if kind == "LINE":
        return [StraightPiece(_flat(dxf.start), _flat(dxf.end))], 0.0
    if kind in ("ARC", "CIRCLE") and _level(entity):
        start, end = (dxf.start_angle, dxf.end_angle) if kind == "ARC" else (0.0, 360.0)
        sweep = (float(end) - float(start)) % 360.0 or 360.0
        x, y = _flat(dxf.center)
        if _upright(entity):
            return [bend((x, y), float(dxf.radius), float(start), sweep)], 0.0
        return [bend((-x, y), float(dxf.radius), 180.0 - float(start), -sweep)], 0.0  # seen from behind
    if kind == "ELLIPSE":
        return ellipse_pieces(entity, within)
    if kind == "SPLINE":
        return spline_pieces(entity, within)
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

    made = path.make_path(entity)
    commands: list[Any] = list(made.commands())
    found: list[Piece] = []
    here, worst = _flat(made.start), 0.0
    for command in commands:
        end = _flat(command.end)
        if not hasattr(command, "ctrl1") and not hasattr(command, "ctrl"):
            found.append(StraightPiece(here, end))
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
        check_count(len(found))
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
