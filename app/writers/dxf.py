"""Scenes as DXF (release 2010) for a router or a drill: real circles, closed outlines, a layer per operation.

Only items with a layer are written; the rest is annotation of a drawing for people. Coordinates are those of
the scene, so the origin is the datum corner; the header says millimetres (``$INSUNITS`` 4) and metric
(``$MEASUREMENT`` 1). Every layer holds something, apart from layer 0, which the format demands.

=====================  ==================================================================================
primitive              entity
=====================  ==================================================================================
Circle                 CIRCLE
Arc                    ARC, or CIRCLE for a full turn
Line                   LINE
Path                   LWPOLYLINE; arcs are bulges, Béziers are chords within 0.001 mm; closed if it is
Text                   TEXT on its baseline, as tall as its capitals
=====================  ==================================================================================

Two items that would cut the same line twice on one layer become one. The same scene gives the same bytes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import partial
from io import StringIO
from math import radians, tan
from threading import Lock
from typing import TYPE_CHECKING, Any, Final

from app.errors import WriterError
from app.scene.bounds import bounds
from app.scene.curves import arc_pieces, at_angle, flatten_cubic
from app.scene.metrics import CAP_HEIGHT
from app.scene.primitives import Arc, ArcTo, Circle, Group, Item, Line, LineTo, MoveTo, Path, Point, Scene, Text, walk
from app.writers.guard import check_scene, words

if TYPE_CHECKING:
    from ezdxf.document import Drawing

FLATNESS: Final = 0.001
"""How far a chord may be from the curve it stands for [mm]."""

MILLIMETRES: Final = 4
"""Value of ``$INSUNITS`` for millimetres."""

_METRIC = 1
_SAME = 6  # decimals of a mm within which two cuts are one
_COLOURS = (7, 1, 3, 5, 6, 4, 2, 30, 140, 94)  # colour indices; a layer's colour is only to tell layers apart
_LONGEST_NAME = 255

# The library's switch for fixed dates and identifiers is one for the whole process.
_lock = Lock()

_Cut = tuple[tuple[object, ...], Callable[[], object]]
"""What tells a cut from another, and how to add it."""

Vertex = tuple[float, float, float]
"""x, y [mm] and the bulge of the piece that begins there: tan(sweep / 4), anticlockwise positive."""


def write(scene: Scene) -> bytes:
    """A DXF file of the items of ``scene`` that have a layer.

    Raises:
        WriterError: no item has a layer; a group with a clip has such items, which DXF cannot clip; or the
            scene has a number that cannot be drawn.
    """
    # The package first: that waits while another thread imports it. A part of it that is there already would be had at
    # once, and the next import then meets that thread's half way: both fail.
    import ezdxf  # noqa: F401
    from ezdxf._options import options

    check_scene(scene)
    _refuse_clips(scene.items)
    items = [(item, shift) for item, shift in walk(scene.items) if _layer(item)]
    if not items:
        raise WriterError("Nothing in this drawing has a layer, so there is nothing to cut; give holes a layer.")
    with _lock:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            return _write(scene, items)
        finally:
            options.write_fixed_meta_data_for_testing = before


def _write(scene: Scene, items: list[tuple[Item, Point]]) -> bytes:
    from ezdxf.filemanagement import new

    document = new("R2010")
    document.header["$INSUNITS"] = MILLIMETRES
    document.header["$MEASUREMENT"] = _METRIC
    for tag, text in (("Title", scene.title), ("Note", scene.note)):
        if text:
            document.header.custom_vars.append(tag, words(text))
    document.layers.remove("Defpoints")
    names = layer_names(_layer(item) for item, _ in items)
    for index, name in enumerate(names.values()):
        document.layers.add(name, color=_COLOURS[index % len(_COLOURS)])
    seen: set[tuple[object, ...]] = set()
    space = document.modelspace()
    for item, shift in items:
        _add(space, item, shift, names[_layer(item)], seen)
    _set_extents(document, items)
    # The library takes the kinds of things it declares from a set, whose order is another in every process.
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)
    stream = StringIO()
    document.write(stream)
    return stream.getvalue().encode(document.output_encoding, "dxfreplace")


def layer_names(layers: Iterable[str]) -> dict[str, str]:
    """A valid and different DXF layer name for each of ``layers``, in order of their first use.

    Letters are made capital; what is not a letter, digit, ``_``, ``-`` or ``.`` becomes ``_``. Names that
    would then be the same are numbered, so that two operations never share a layer.
    """
    names: dict[str, str] = {}
    used = {"0"}
    for layer in layers:
        if layer in names:
            continue
        plain = re.sub(r"[^A-Z0-9_.-]", "_", layer.upper())[: _LONGEST_NAME - 6] or "_"
        name, count = plain, 1
        while name in used:
            count += 1
            name = f"{plain}_{count}"
        used.add(name)
        names[layer] = name
    return names


def _layer(item: Item) -> str:
    return "" if isinstance(item, Group) else item.layer


def _refuse_clips(items: Iterable[Item]) -> None:
    for item in items:
        if isinstance(item, Group):
            if item.clip is not None and any(_layer(inner) for inner, _ in walk(item.items)):
                raise WriterError(
                    f"The group “{words(item.name)}” is clipped, and DXF cannot clip what is cut. "
                    "Export the whole board, not a sheet of it."
                )
            _refuse_clips(item.items)


def _add(space: Any, item: Item, shift: Point, layer: str, seen: set[tuple[object, ...]]) -> None:
    """Add ``item``, moved by ``shift``, unless the same cut is in ``seen``."""
    where = {"layer": layer}
    key: tuple[object, ...]
    put: Callable[[], object]
    match item:
        case Line():
            a, b = _moved(item.a, shift), _moved(item.b, shift)
            key, put = ("line", *sorted((_rounded(*a), _rounded(*b)))), partial(space.add_line, a, b, where)
        case Circle():
            key, put = _circle(space, _moved(item.centre, shift), item.radius, where)
        case Arc():
            key, put = _arc(space, item, _moved(item.centre, shift), where)
        case Path():
            vertices = [(*_moved((x, y), shift), bulge) for x, y, bulge in path_vertices(item)]
            key = ("path", item.closed, *(_rounded(*vertex) for vertex in vertices))
            put = partial(space.add_lwpolyline, vertices, "xyb", close=item.closed, dxfattribs=where)
        case Text():
            at = _moved(item.at, shift)
            key, put = ("text", item.text, *_rounded(*at)), partial(_text, space, item, at, where)
        case Group():
            return
    if (layer, *key) not in seen:
        seen.add((layer, *key))
        put()


def _circle(space: Any, centre: Point, radius: float, where: dict[str, str]) -> _Cut:
    return ("circle", *_rounded(*centre, radius)), partial(space.add_circle, centre, radius, where)


def _arc(space: Any, arc: Arc, centre: Point, where: dict[str, str]) -> _Cut:
    if abs(arc.sweep) >= 360.0:
        return _circle(space, centre, arc.radius, where)
    # DXF arcs always run anticlockwise.
    low, high = sorted((arc.start, arc.start + arc.sweep))
    ends = at_angle(centre, arc.radius, low), at_angle(centre, arc.radius, high)
    key = ("arc", *_rounded(*centre, arc.radius, *ends[0], *ends[1]))
    return key, partial(space.add_arc, centre, arc.radius, low % 360.0, high % 360.0, dxfattribs=where)


def _text(space: Any, item: Text, at: Point, where: dict[str, str]) -> None:
    from ezdxf.enums import TextEntityAlignment as Alignment

    alignment = {"start": Alignment.LEFT, "middle": Alignment.CENTER, "end": Alignment.RIGHT}[item.anchor]
    height = item.size * CAP_HEIGHT
    text = space.add_text(words(item.text), height=height, rotation=item.angle, dxfattribs=where)
    text.set_placement(at, align=alignment)


def path_vertices(path: Path) -> list[Vertex]:
    """A path as vertices with bulges; a closed path does not repeat its first point.

    Arcs of more than half a turn are cut in two, because a bulge cannot tell a full turn from none.
    """
    vertices: list[Vertex] = []
    here = path.start
    for step in path.steps:
        match step:
            case LineTo():
                pieces = [(step.end, 0.0)]
            case ArcTo():
                pieces = arc_pieces(here, step.end, step.centre, step.sweep, 180.0)
            case MoveTo():
                raise WriterError("A line of several rings cannot be drawn in a DXF file. Please report it.")
            case _:
                curve = flatten_cubic(here, (step.control1, step.control2, step.end), FLATNESS)
                pieces = [(point, 0.0) for point in curve]
        for end, sweep in pieces:
            if _rounded(*end) != _rounded(*here):
                vertices.append((*here, tan(radians(sweep) / 4.0)))
                here = end
    if not path.closed or _rounded(*here) != _rounded(*path.start):
        vertices.append((*here, 0.0))
    return vertices


def _set_extents(document: Drawing, items: list[tuple[Item, Point]]) -> None:
    box = bounds([Group((item,), shift=shift) for item, shift in items])
    if box is None:
        return
    x0, y0, x1, y1 = box
    space = document.modelspace()
    space.reset_extents((x0, y0, 0.0), (x1, y1, 0.0))
    space.reset_limits((x0, y0), (x1, y1))
    # The library copies the extents into the header, but not a corner at the origin.
    document.header["$EXTMIN"] = (x0, y0, 0.0)
    document.header["$EXTMAX"] = (x1, y1, 0.0)
    # What a viewer shows first: everything, with a little room around it.
    height = max(y1 - y0, (x1 - x0) / 2.0, 1.0) * 1.1
    document.set_modelspace_vport(height, ((x0 + x1) / 2.0, (y0 + y1) / 2.0))


def _moved(point: Point, shift: Point) -> Point:
    return point[0] + shift[0], point[1] + shift[1]


def _rounded(*values: float) -> tuple[float, ...]:
    # Adding 0.0 makes a negative zero equal to zero in print as well.
    return tuple(round(value, _SAME) + 0.0 for value in values)
