"""The drill template of one face at true size: what is drilled, where its centre is, what to drill it with."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.drafting.facing import Facing, facing
from app.drafting.forms import Box, outline_path, shape_item
from app.drafting.template.bare_centres import keep_bare
from app.drafting.template.pattern_marks import CentreMark, arm_beyond, pattern_marks, pattern_numbers
from app.drafting.template.template_bits import bore_bit, hole_made, pilot_bit, recess_bit
from app.drafting.words import bore_size, exact, hole_size, recess_size, unit_of
from app.model.part import Face
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.model.tooling import Bit
from app.scene.palette import COUNTERBORE, CROSS, DATUM_LINE, HOLE, OPENING, OUTLINE, PILOT, RECESS
from app.scene.primitives import Circle, Item, Line, Path, Point, Style, Text
from app.shop.screw_pilots import ScrewPilots, screw_pilots
from app.units import Unit

_NEAR: Final = 1e-6  # centres nearer than this are one [mm]


class Template(Struct, frozen=True):
    """True-size content of a drill template, in the coordinates of its face.

    Args:
        face: the face it is stuck on.
        view: how places on the board map to it; the underside is mirrored.
        box: rectangle round the board [mm].
        outline: rim and inner openings.
        holes: circles and other cut-outs, whole, not broken for centres.
        crosses: lines through the centres, which leave every centre bare.
        circles: (x, y, radius) of the largest circle about every centre that is cut away, for tiling and keeping clear.
        centres: every centre that is punched [mm].
        marks: words to set beside the holes.
        datum: left and front datum edge as lines that touch the rim, where it is round.
        numbers: of the holes of patterns, each in its hole.
        played: whether a player sits before its front edge: it is the deck.
    """

    face: Face
    view: Facing
    box: Box
    outline: tuple[Path, ...]
    holes: tuple[Item, ...]
    crosses: tuple[Item, ...]
    circles: tuple[tuple[float, float, float], ...]
    centres: tuple[Point, ...]
    marks: tuple[CentreMark, ...]
    datum: tuple[Line, ...] = ()
    numbers: tuple[Text, ...] = ()
    played: bool = True


def drill_template(
    board: ResolvedBoard, face: Face, *, unit: Unit | None = None, only: Bit | None = None, crossed: bool = True
) -> Template:
    """What is drawn on the template of ``face``; positions that are not drilled are not on it.

    Args:
        board: the board.
        face: ``top``, or ``under`` for the mirror image with counterbores and screw pilots from below.
        unit: unit of depths and of holes without a bit; None for the design's own.
        only: draw only what this bit makes from this face; None for everything.
        crossed: whether lines through the centres are wanted: for counting sheets they are not.
    """
    view = facing(board, face)
    unit = unit or unit_of(board)
    shapes: list[Item] = []
    reaches = _Reaches()
    marks: list[CentreMark] = []
    numbers: list[Text] = []
    beyond = catalogue().rule("cross-beyond")
    for placed in board.drilled:
        bore = placed.bore if only is None or (face == "under" and bore_bit(board, placed) == only) else None
        pocket = placed.pocket if only is None or (face == "under" and recess_bit(board, placed) == only) else None
        pattern = placed.part.pattern
        arm = arm_beyond(pattern, beyond) if pattern else beyond
        if pattern is None:
            marks += _hole_marks(board, placed, face, view, unit, only)
        elif hole_made(placed.holes[0], only, face):
            marks += pattern_marks(placed, view, unit)
            numbers += pattern_numbers(placed, pattern, view)
        for hole in placed.holes:
            if hole_made(hole, only, face):
                shapes.append(shape_item(view.shape(hole.shape), HOLE if face == "top" else HOLE_BELOW))
                reaches.note(view.point(hole.centre), _half(view, hole), arm)
        if bore is not None:
            shapes.append(shape_item(view.shape(bore), HOLE if face == "under" else COUNTERBORE))
            reaches.note(view.point(bore.centre), (bore.radius, bore.radius))
        if pocket is not None:
            shapes.append(shape_item(view.shape(pocket), HOLE if face == "under" else RECESS))
            if only is not None:  # with everything drawn, the part's own holes give the centre
                reaches.note(view.point((placed.x, placed.y)), (0.0, 0.0))
        pilots = screw_pilots(board, placed)
        if pilots is not None and pilots.face == face and only in (None, pilot_bit(board, pilots)):
            shapes += [Circle(view.point(p), pilots.diameter / 2, PILOT) for p in pilots.at]
            for p in pilots.at:
                reaches.note(view.point(p), (pilots.diameter / 2, pilots.diameter / 2))
            marks += _pilot_marks(pilots, view, unit, recessed=face == "under" and placed.recess is not None)
    circles = tuple((x, y, min(reach)) for (x, y), reach in reaches.found.items())
    centres = tuple(reaches.found)
    _note_recesses(board, view, reaches)
    bare = _crosses(reaches) if crossed else []
    return Template(
        face, view, board.outline.bounds, _rims(board, view), tuple(shapes), tuple(bare),
        circles, centres, tuple(marks), tuple(datum_lines(board, view)), tuple(numbers),
        played=board.role == "deck",
    )  # fmt: skip


def _crosses(reaches: _Reaches) -> list[Item]:
    """Lines through the centres, which leave every centre bare."""
    gap, beyond = catalogue().rule("centre-gap"), catalogue().rule("cross-beyond")
    lines = [line for at, reach in reaches.found.items() for line in _cross(at, reach, reaches.arms.get(at, beyond))]
    return keep_bare(lines, tuple(reaches.found), gap + CROSS.width + 0.05)


def _hole_marks(
    board: ResolvedBoard, placed: Placed, face: Face, view: Facing, unit: Unit, only: Bit | None
) -> list[CentreMark]:
    """Words beside the holes of a part; for one bit alone only those it makes."""
    below = face == "under" and only is not None and only in (bore_bit(board, placed), recess_bit(board, placed))
    marks = []
    for index, hole in enumerate(placed.holes):
        if not hole_made(hole, only, face) and not (below and index == 0):
            continue
        deep = index == 0 and (only is None or below)
        words = [] if below else [hole_size(hole, unit)]
        words += _bore_words(board, placed, face, unit) if deep else []
        bore = placed.bore
        clear = max(hole.shape.reach, bore.radius if bore and deep else 0.0)
        marks.append(CentreMark(view.point(hole.centre), clear, placed.label if index == 0 else "", tuple(words)))
    return marks


HOLE_BELOW = Style(stroke=HOLE.stroke, width=0.18, dash=(1.5, 1.0), role="hole-below")
"""A through hole on the underside: only a mark, because it is drilled from the top face."""


def _rims(board: ResolvedBoard, view: Facing) -> tuple[Path, ...]:
    rims = [outline_path(view.outline(board.outline), OUTLINE)]
    rims += [outline_path(view.outline(o), OPENING) for o in board.openings]
    return tuple(rims)


def datum_lines(board: ResolvedBoard, view: Facing) -> Iterator[Line]:
    """The datum edges of a board whose rim is round there: the lines that touch it, as long as the board."""
    x0, y0, x1, y1 = board.outline.bounds
    if "left" in board.round_edges:
        yield Line((view.x(x0), y0), (view.x(x0), y1), DATUM_LINE)
    if "front" in board.round_edges:
        yield Line((x0, y0), (x1, y0), DATUM_LINE)


class _Reaches:
    """Centres in the order they come, each with the largest reach along x and y of what is cut about it."""

    def __init__(self) -> None:
        self.found: dict[Point, tuple[float, float]] = {}
        self.arms: dict[Point, float] = {}
        self._squares: dict[tuple[int, int], Point] = {}

    def known(self, at: Point) -> Point | None:
        """The centre that is at a place already; near ones are one."""
        (x, y), held = at, self._squares.get
        i, j = floor(x / _NEAR), floor(y / _NEAR)
        for square in (
            (i, j), (i, j - 1), (i, j + 1), (i - 1, j), (i - 1, j - 1), (i - 1, j + 1), (i + 1, j), (i + 1, j - 1),
            (i + 1, j + 1),
        ):  # fmt: skip
            there = held(square)
            if there is not None and abs(there[0] - x) < _NEAR and abs(there[1] - y) < _NEAR:
                return there
        return None

    def note(self, at: Point, half: tuple[float, float], arm: float | None = None) -> None:
        """Remember a centre, or let its reach grow; its cross goes on for ``arm`` mm beyond, or as usual."""
        known = self.known(at)
        if known is None:
            self._squares[floor(at[0] / _NEAR), floor(at[1] / _NEAR)] = known = at
        rx, ry = self.found.get(known, half)
        self.found[known] = (max(rx, half[0]), max(ry, half[1]))
        if arm is not None:
            self.arms[known] = arm


def _note_recesses(board: ResolvedBoard, view: Facing, reaches: _Reaches) -> None:
    """Let the cross of a hole in a recess reach beyond it: what is routed away takes the centre with it."""
    for placed in board.drilled:
        if placed.pocket is not None:
            w, h = view.shape(placed.pocket).size
            at = view.point((placed.x, placed.y))
            if reaches.known(at) is not None:
                reaches.note(at, (w / 2, h / 2))


def _half(view: Facing, hole: Hole) -> tuple[float, float]:
    if hole.is_circle:
        return (hole.shape.radius, hole.shape.radius)
    w, h = view.shape(hole.shape).size
    return (w / 2, h / 2)


def _cross(at: Point, reach: tuple[float, float], beyond: float) -> tuple[Line, Line]:
    (x, y), (rx, ry) = at, reach
    return (
        Line((x - rx - beyond, y), (x + rx + beyond, y), CROSS),
        Line((x, y - ry - beyond), (x, y + ry + beyond), CROSS),
    )


def _bore_words(board: ResolvedBoard, placed: Placed, face: Face, unit: Unit) -> list[str]:
    """What is cut from the underside about a hole; there it comes before the hole, while the centre is wood."""
    words = []
    if placed.counterbore is not None:
        size = bore_size(placed.counterbore, board)
        words += [f"counterbore {size} deep first"] if face == "under" else [f"counterbore {size}"]
    if placed.recess is not None:
        deep = f"{exact(placed.recess.depth, unit)} deep"
        words.append(f"recess {recess_size(placed.recess, unit)}")
        words += [f"{deep} first", f"inside radius {exact(placed.recess.corner, unit)}"] if face == "under" else [deep]
    return [*words, "from the underside"] if words and face == "top" else words


def _pilot_marks(pilots: ScrewPilots, view: Facing, unit: Unit, *, recessed: bool) -> list[CentreMark]:
    """Words at every screw pilot: a pilot too deep would come out on the other face."""
    size = f"{exact(pilots.diameter, unit)}, {exact(pilots.depth, unit)} deep"
    words = (size, "from the recess") if recessed else (size,)
    return [CentreMark(view.point(p), pilots.diameter / 2, "", words) for p in pilots.at]
