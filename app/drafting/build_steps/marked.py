"""What stands out in the picture of a step: what is made, cut or mounted in it, at its place on the board."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Final

from msgspec import Struct

from app.drafting.facing import Facing
from app.drafting.forms import outline_path, polyline, shape_item
from app.drafting.view.pattern_view import boundary_at
from app.geometry.outline import edge_of
from app.geometry.pieces import flattened_piece
from app.geometry.shapes import Shape
from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import LIGHT, TEAL_DEEP
from app.scene.primitives import Circle, Item, Point, Style
from app.shop.build_steps.board_steps import is_mounted
from app.shop.build_steps.build_step import BuildStep, Work
from app.shop.build_steps.design_steps import is_input, is_wired
from app.shop.screw_pilots import screw_pilots

MADE: Final = Style(stroke=TEAL_DEEP, width=0.35, fill=LIGHT["teal-pale"], role="step-made")
RIM: Final = Style(stroke=TEAL_DEEP, width=0.5, role="step-rim")
FACE: Final = Style(stroke=TEAL_DEEP, width=0.5, fill=LIGHT["teal-pale"], role="step-face")
JOINT: Final = Style(stroke=TEAL_DEEP, width=0.6, dash=(1.6, 0.8), role="step-joint")
DOT: Final = Style(stroke=None, fill=TEAL_DEEP, role="step-dot")

DRAWN_HOLES: Final = 300
"""Holes of a pattern that are drawn one by one; of more, their boundary."""

_SAG: Final = 0.1
_BELOW: Final = 2.2


class Marked(Struct, frozen=True):
    """What stands out.

    Args:
        items: on the board [mm].
        dots: centres that are shown by a cross or a dot of one size, whatever the scale [mm].
        letters: parts whose letter is shown, and where [mm]; and how far below that [mm of paper].
    """

    items: tuple[Item, ...] = ()
    dots: tuple[Point, ...] = ()
    letters: tuple[tuple[str, Point, float], ...] = ()


Marking = Callable[[BuildStep, ResolvedBoard, Facing], Marked]


def face_of(step: BuildStep) -> Face:
    """The face that is up in a step."""
    if step.work in ("counterbore", "screws-under", "rails", "wire"):
        return "under"
    if step.work == "mount" and step.placements[0].part.mount == "under":
        return "under"
    return "top"


def marked(step: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    """What stands out on a board in the picture of a step."""
    return _MARKS.get(step.work, _outline)(step, board, view)


def holes_drawn(placed: Placed, view: Facing, style: Style) -> Iterator[Item]:
    """The holes of a part; of a pattern with very many, its boundary."""
    pattern = placed.part.pattern
    if pattern is not None and len(placed.holes) > DRAWN_HOLES:
        yield outline_path(view.outline(boundary_at(pattern, placed)), style)
        return
    for hole in placed.holes:
        yield shape_item(view.shape(hole.shape), style)


def _outline(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    return Marked((outline_path(view.outline(board.outline), RIM),))


def _rims(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    """Every edge and every rim of a hole."""
    rims: list[Item] = [outline_path(view.outline(ring), RIM) for ring in (board.outline, *board.openings)]
    return Marked((*rims, *(item for placed in board.drilled for item in holes_drawn(placed, view, RIM))))


def _whole(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    """The whole face, its holes left as they are."""
    return Marked((outline_path(view.outline(board.outline), FACE),))


def _joints(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    return Marked((outline_path(view.outline(board.outline), JOINT),))


def _front(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    pieces = [piece for piece in board.outline.pieces if edge_of(piece.a, piece.b) == "front"]
    lines = ([view.point(p) for p in (*flattened_piece(piece, _SAG), piece.b)] for piece in pieces)
    return Marked(tuple(polyline(points, RIM) for points in lines))


def _slots(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    return Marked(tuple(shape_item(view.shape(strip.shape), MADE) for strip in board.slots))


def _rails(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    return Marked(tuple(shape_item(view.shape(strip.shape), MADE) for strip in board.rails))


def _centres(step: BuildStep, _: ResolvedBoard, view: Facing) -> Marked:
    """Every centre that is punched; of a pattern with very many holes, its boundary."""
    items: list[Item] = []
    dots: list[Point] = []
    for placed in step.placements:
        if len(placed.holes) > DRAWN_HOLES:
            items += holes_drawn(placed, view, RIM)
        else:
            dots += [view.point(hole.centre) for hole in placed.holes if hole.is_circle]
    return Marked(tuple(items), tuple(dots), _letters(step.placements, view))


def _template(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    dots = [view.point(h.centre) for p in board.drilled if len(p.holes) <= DRAWN_HOLES for h in p.holes if h.is_circle]
    return Marked((outline_path(view.outline(board.outline), JOINT),), tuple(dots))


def _sunk(step: BuildStep, _: ResolvedBoard, view: Facing) -> Marked:
    shapes = (shape for placed in step.placements for shape in (placed.pocket, placed.bore) if shape is not None)
    return Marked(_shapes(shapes, view), (), _letters(step.placements, view))


def _holes(step: BuildStep, _: ResolvedBoard, view: Facing) -> Marked:
    items = [
        item
        for placed in step.placements
        for item in holes_drawn(placed, view, MADE)
        if not placed.part.pattern or isinstance(item, Circle) or len(placed.holes) > DRAWN_HOLES
    ]
    return Marked(tuple(items), (), _letters(step.placements, view))


def _openings(step: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    shapes = (hole.shape for placed in step.placements for hole in placed.holes if not hole.is_circle)
    inner = (outline_path(view.outline(ring), MADE) for ring in board.openings)
    return Marked((*_shapes(shapes, view), *inner), (), _letters(step.placements, view))


def _screws(step: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    pilots = (screw_pilots(board, placed) for placed in step.placements)
    dots = tuple(view.point(at) for found in pilots if found is not None for at in found.at)
    return Marked((), dots, _letters(step.placements, view))


def _mounted(step: BuildStep, _: ResolvedBoard, view: Facing) -> Marked:
    return _bodies(step.placements, view)


def _wired(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    return _bodies([placed for placed in board.drilled if is_wired(placed)], view)


def _tested(_: BuildStep, board: ResolvedBoard, view: Facing) -> Marked:
    return _bodies([placed for placed in board.drilled if is_input(placed)], view)


def _bodies(found: Iterable[Placed], view: Facing) -> Marked:
    """What is seen of parts from a face: the flange from the top, what hangs below from the underside."""
    there = tuple(found)
    shapes = (_seen(placed, mirrored=view.mirrored) for placed in there)
    return Marked(_shapes(shapes, view), (), _letters(there, view))


def _seen(placed: Placed, *, mirrored: bool) -> Shape:
    if mirrored:
        return placed.plate if placed.plate is not None and placed.part.mount == "under" else placed.body
    return placed.flange or placed.plate or placed.body


def quiet_parts(board: ResolvedBoard, view: Facing, style: Style) -> Iterator[Item]:
    """Everything that is mounted, faint: for pictures of a board that is nearly done."""
    for placed in board.drilled:
        if is_mounted(placed):
            yield shape_item(view.shape(_seen(placed, mirrored=view.mirrored)), style)


def _shapes(shapes: Iterable[Shape], view: Facing) -> tuple[Item, ...]:
    return tuple(shape_item(view.shape(shape), MADE) for shape in shapes)


def _letters(found: Iterable[Placed], view: Facing) -> tuple[tuple[str, Point, float], ...]:
    """In the middle of each part; of a pattern below its holes."""
    letters: list[tuple[str, Point, float]] = []
    for placed in found:
        if not placed.label:
            continue
        pattern = placed.part.pattern
        if pattern is None:
            letters.append((placed.label, view.point((placed.x, placed.y)), 0.0))
        else:
            x0, y0, x1, _ = boundary_at(pattern, placed).bounds
            letters.append((placed.label, view.point(((x0 + x1) / 2, y0)), _BELOW))
    return tuple(letters)


_MARKS: Final[Mapping[Work, Marking]] = MappingProxyType(
    {
        "slot": _slots,
        "round": _front,
        "template": _template,
        "pilot": _centres,
        "counterbore": _sunk,
        "screws-under": _screws,
        "through": _holes,
        "openings": _openings,
        "screws-top": _screws,
        "ease": _rims,
        "rails": _rails,
        "fill": _joints,
        "caulk": _joints,
        "sand": _whole,
        "seal": _rims,
        "paint": _whole,
        "moulding": _slots,
        "mount": _mounted,
        "wire": _wired,
        "test": _tested,
    }
)
