"""The board for other programs: true circles and closed paths, one layer for each operation and size."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.drafting.facing import facing
from app.drafting.forms import box_path, outline_path, shape_item
from app.drafting.screws import screw_pilots
from app.drafting.words import exact
from app.model.part import Face
from app.model.resolved import Hole, ResolvedBoard
from app.scene.palette import COUNTERBORE, DIMENSION, HOLE, OPENING, OUTLINE, PILOT, RECESS, TEXT
from app.scene.primitives import Circle, Item, Scene, Text
from app.units import Unit, format_exact

_SIZE = 6.0


def export_scene(board: ResolvedBoard, face: Face) -> Scene:
    """One face for exchange, in mm from the datum corner; positions not drilled are not in it.

    Layers: ``OUTLINE``, ``OPENING``, ``TOP_THROUGH_30``, ``UNDER_COUNTERBORE_32_DEPTH_9.5``,
    ``UNDER_RECESS_DEPTH_9.5``, ``UNDER_PILOT_3_DEPTH_15``…, ``CHECK_SQUARE`` (50 mm and 2 in, beside the
    board) and ``NOTES``. A layer stands for what is done from the face it names: through holes are in both
    files, under the name of the face that is drawn; counterbores and recesses only in that of the underside,
    which is mirrored.
    """
    view, name = facing(board, face), "TOP" if face == "top" else "UNDER"
    items: list[Item] = [outline_path(view.outline(board.outline), OUTLINE, "OUTLINE")]
    items += [outline_path(view.outline(o), OPENING, "OPENING") for o in board.openings]
    for placed in board.drilled:
        items += [shape_item(view.shape(h.shape), HOLE, f"{name}_THROUGH_{_number_of(h)}") for h in placed.holes]
        if placed.bore is not None and placed.counterbore is not None and face == "under":
            bore = placed.counterbore
            layer = f"UNDER_COUNTERBORE_{_plain(bore.diameter)}_DEPTH_{_plain(bore.depth)}"
            items.append(shape_item(view.shape(placed.bore), COUNTERBORE, layer))
        if placed.pocket is not None and placed.recess is not None and face == "under":
            layer = f"UNDER_RECESS_DEPTH_{_plain(placed.recess.depth)}"
            items.append(shape_item(view.shape(placed.pocket), RECESS, layer))
        pilots = screw_pilots(board, placed)
        if pilots is not None and pilots.face == face:
            layer = f"{name}_PILOT_{_plain(pilots.diameter)}_DEPTH_{_plain(pilots.depth)}"
            items += [Circle(view.point(p), pilots.diameter / 2, PILOT, layer) for p in pilots.at]
    return _scene(board, face, items)


def _scene(board: ResolvedBoard, face: Face, items: list[Item]) -> Scene:
    x0, y0, x1, y1 = board.outline.bounds
    rule = catalogue().rule
    mm, inch = rule("reference-square-mm"), rule("reference-square-inch")
    left, top = x0, y0 - 12.0
    squares = ((left, mm, f"{_plain(mm)} mm"), (left + mm + 12.0, inch, f"{_plain(inch / 25.4)} in"))
    for x, side, words in squares:
        items.append(box_path((x, top - side, x + side, top), DIMENSION, "CHECK_SQUARE"))
        items.append(Text((x + 3.0, top - side + 3.0), f"{words} square", _SIZE * 0.7, TEXT, layer="NOTES"))
    size = f"{_plain(board.width)} x {_plain(board.depth_front_to_back)} mm"
    metric = f"{exact(board.width, Unit.INCH)} x {exact(board.depth_front_to_back, Unit.INCH)}"
    shown = "top face" if face == "top" else "UNDERSIDE, mirrored"
    lines = (f"{board.title}: {board.name}, {board.arrangement_name}", shown, f"{size} ({metric})", "drawn in mm")
    x = left + mm + inch + 24.0
    for k, line in enumerate(lines):
        items.append(Text((x, top - 1.5 * _SIZE * (k + 1)), line, _SIZE, TEXT, layer="NOTES"))
    right = max(x1, x + 130.0)
    return Scene(
        x0 - 5.0, top - inch - 5.0, right + 5.0, y1 + 5.0, tuple(items),
        title=f"{board.title}: {board.name}", note=f"{shown}, {size}, 1:1, datum corner at 0, 0",
    )  # fmt: skip


def _number_of(hole: Hole) -> str:
    return _plain(hole.diameter) if hole.is_circle else f"{_plain(hole.cutout.width)}_WIDE"


def _plain(value: float) -> str:
    """A size for a layer's name: at most three decimals, no needless zeros."""
    return format_exact(round(value, 3))
