"""The board for other programs: true circles and closed paths, one layer for each operation, size and depth."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from app.drafting.export.kerf import checked_kerf, parallel_path, shrunk
from app.drafting.export.notes import beside, note_lines, plain, size_words
from app.drafting.facing import Facing, facing
from app.drafting.forms import outline_path, shape_item
from app.geometry.outline import Outline
from app.geometry.shapes import Shape
from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.scene.bounds import bounds
from app.scene.curves import arc_pieces, cubic_point
from app.scene.palette import COUNTERBORE, HOLE, OPENING, OUTLINE, PILOT, RECESS
from app.scene.primitives import ArcTo, Circle, CubicTo, Group, Item, LineTo, Path, Scene, Style
from app.shop.screw_pilots import screw_pilots

_SAME = 6  # decimals of a mm within which two cuts are one


def export_scene(board: ResolvedBoard, face: Face, kerf: float = 0.0, stops: int = 0) -> Scene:
    """One face for exchange, in mm from the datum corner; positions not drilled are not in it.

    Layers: ``OUTLINE``, ``OPENING``, ``TOP_THROUGH_30``, ``TOP_THROUGH_27_BY_13``,
    ``UNDER_COUNTERBORE_32_DEPTH_9.5``, ``UNDER_RECESS_95_BY_53_DEPTH_9.5``, ``UNDER_PILOT_3_DEPTH_15``…,
    ``CHECK_SQUARE`` (50 mm and 2 in) and ``NOTES``. A layer stands for what is done from the face it names, and
    for the size before the kerf, of a round hole that of its bit: through holes are in both files, under the name
    of the face that is drawn; counterbores and recesses only in that of the underside, which is mirrored. What lies
    exactly on another cut of its layer is drawn once. The window is as large as the board, with the squares and
    notes behind it.

    Args:
        board: the board.
        face: the face drawn.
        kerf: full width of the cut of a tool that follows the lines [mm]. Holes and openings become half of it
            smaller on every side, the outline as much larger. What is cut to a depth has a bit of its own and
            stays as designed, and so do the check squares.
        stops: how many findings say that the board cannot be built as drawn; the notes then say so.

    Raises:
        WriterError: there is no such kerf, or it would make something vanish.
    """
    view, half = facing(board, face), checked_kerf(kerf) / 2
    items: list[Item] = [_rim(view.outline(board.outline), half, OUTLINE, "OUTLINE")]
    items += [_rim(view.outline(o), -half, OPENING, "OPENING") for o in board.openings]
    for placed in board.drilled:
        items += _through(placed, view, half)
        items += _to_a_depth(board, placed, view)
    lines = note_lines(board, face, kerf, stops)
    notes, box = beside(board, lines)
    # Nothing is cut off, not even a hole that should not be outside the board.
    x0, y0, x1, y1 = bounds(items) or box
    return Scene(
        min(x0, box[0]), y0, max(x1, box[2]), max(y1, box[3]), (*_once(items), *notes),
        title=f"{board.title}: {board.name}",
        note=", ".join((lines[1], size_words(board), *lines[3:])),
    )  # fmt: skip


def in_layers(scene: Scene) -> Scene:
    """The drawing with a group for each layer, for formats whose layers are groups; what has none is left out."""
    layers: dict[str, list[Item]] = {}
    for item in scene.items:
        if not isinstance(item, Group) and item.layer:
            layers.setdefault(item.layer, []).append(item)
    groups = tuple(Group(tuple(items), name=layer, data={"layer": layer}) for layer, items in layers.items())
    return Scene(scene.x0, scene.y0, scene.x1, scene.y1, groups, scene.title, scene.note)


def _rim(outline: Outline, by: float, style: Style, layer: str) -> Path:
    return parallel_path(outline, by, style, layer) if by else outline_path(outline, style, layer)


def _through(placed: Placed, view: Facing, half: float) -> Iterator[Circle | Path]:
    side = _side(view.face)
    for hole in placed.holes:
        shape = view.shape(hole.shape)
        yield shape_item(shrunk(shape, half) if half else shape, HOLE, f"{side}_THROUGH_{_size(hole.shape)}")


def _to_a_depth(board: ResolvedBoard, placed: Placed, view: Facing) -> Iterator[Circle | Path]:
    side = _side(view.face)
    if view.face == "under" and placed.bore is not None and placed.counterbore is not None:
        bore = placed.counterbore
        layer = f"{side}_COUNTERBORE_{plain(bore.diameter)}_DEPTH_{plain(bore.depth)}"
        yield shape_item(view.shape(placed.bore), COUNTERBORE, layer)
    if view.face == "under" and placed.pocket is not None and placed.recess is not None:
        layer = f"{side}_RECESS_{_size(placed.pocket)}_DEPTH_{plain(placed.recess.depth)}"
        yield shape_item(view.shape(placed.pocket), RECESS, layer)
    pilots = screw_pilots(board, placed)
    if pilots is not None and pilots.face == view.face:
        layer = f"{side}_PILOT_{plain(pilots.diameter)}_DEPTH_{plain(pilots.depth)}"
        for at in pilots.at:
            yield Circle(view.point(at), pilots.diameter / 2, PILOT, layer)


def _side(face: Face) -> str:
    return "TOP" if face == "top" else "UNDER"


def _size(shape: Shape) -> str:
    """A diameter, or the longer by the shorter side."""
    if shape.is_circle:
        return plain(2 * shape.radius)
    grown = 2 * shape.radius
    sides = [math.dist(a, b) + grown for a, b in pairwise((*shape.core, shape.core[0]))]
    longest = max(sides)
    shortest = grown if len(shape.core) == 2 else min(sides)
    return f"{plain(longest)}_BY_{plain(shortest)}"


def _once(items: list[Item]) -> Iterator[Item]:
    """The cuts without those that are there already: a tool would follow them twice."""
    seen: set[tuple[object, ...]] = set()
    for item in items:
        if isinstance(item, Circle):
            key: tuple[object, ...] = (item.layer, _near(*item.centre, item.radius))
        elif isinstance(item, Path):
            key = (item.layer, frozenset(_sides(item)))
        else:
            key = (id(item),)
        if key not in seen:
            seen.add(key)
            yield item


def _sides(path: Path) -> Iterator[tuple[object, ...]]:
    """The ends and the middle of each piece of a closed line, whatever it begins at and whichever way round it goes.

    The ends alone would not do: a bend and a chamfer have the same.
    """
    here = path.start
    for step in (*path.steps, LineTo(path.start)):
        middle = ((here[0] + step.end[0]) / 2, (here[1] + step.end[1]) / 2)
        if isinstance(step, ArcTo):
            middle = arc_pieces(here, step.end, step.centre, step.sweep, abs(step.sweep) / 2)[0][0]
        elif isinstance(step, CubicTo):
            middle = cubic_point(here, (step.control1, step.control2, step.end), 0.5)
        if _near(*here) != _near(*step.end):
            yield (frozenset((_near(*here), _near(*step.end))), _near(*middle))
        here = step.end


def _near(*values: float) -> tuple[float, ...]:
    return tuple(round(value, _SAME) + 0.0 for value in values)
