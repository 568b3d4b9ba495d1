"""Patterns of holes: what a form asks for as the pattern it makes, and the steps that put one or change one."""

from __future__ import annotations

from typing import Final, Literal, get_args

from msgspec import Struct

from app.arrange.change import Edit, number
from app.arrange.maker.registry import MAKERS
from app.arrange.pattern import edit
from app.arrange.pattern.over_edge import refuse_over_edge
from app.arrange.pattern.solving import solved
from app.catalogue.load import catalogue
from app.document.board_patterns import board_boundary, pattern_on
from app.document.outlines import outline_of
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import pattern_part
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import BoardEntry, Design, PlacementEntry
from app.document.where import Where
from app.errors import EditError, NotFoundError
from app.geometry.lattices import Order
from app.model.limits import PATTERN_HOLES
from app.service.edits.changes import DesignChange
from app.service.edits.new_part_position import free_position
from app.units import LONGEST

Shape = Literal["circle", "rectangle", "board", "outline"]
"""What holes lie in; ``board`` is the board's outline, which they follow, ``outline`` one that the pattern has."""

By = Literal["pitch", "share", "many"]
"""What the pitch follows from: itself, a wanted open area, a wanted number of holes."""

ORDERS: Final[tuple[Order, ...]] = get_args(Order)
SHAPES: Final[tuple[Shape, ...]] = get_args(Shape)
BYS: Final[tuple[By, ...]] = get_args(By)
MIDDLES: Final = ("hole", "gap")
MOST_HOLE: Final = 200.0
MOST_HOLES: Final = PATTERN_HOLES.most


class PatternAsked(Struct, frozen=True):
    """A pattern as a form asks for it [mm, degrees].

    Args:
        entry: its measures; of the boundary all but the outline.
        shape: what the holes lie in.
        by: what the pitch follows from.
        share: wanted open area of a wide field [%].
        many: wanted number of holes.
        angle: how it is turned on the board.
        everywhere: whether it is changed where else it is placed as well.
    """

    entry: PatternEntry
    shape: Shape = "circle"
    by: By = "pitch"
    share: float = 30.0
    many: int = 60
    angle: float = 0.0
    everywhere: bool = True


def asked_at_first(design: Design, where: Where) -> PatternAsked:
    """What the page of a new pattern begins with: a circle of holes that has room on most boards."""
    x0, y0, x1, y1 = outline_of(find_board(design, where.board).outline.corners).bounds
    wide = max(20.0, min(80.0, float(round(min(x1 - x0, y1 - y0) / 2))))
    boundary = BoundaryEntry(width=wide, height=wide, corner=5.0)
    return PatternAsked(PatternEntry(id="new", hole=5.0, pitch=12.0, length=20.0, boundary=boundary))


def asked_of(entry: PatternEntry, board: BoardEntry, placement: PlacementEntry) -> PatternAsked:
    """What a pattern was asked for that is on a board."""
    slot = entry.length or 4 * entry.hole  # should it become one
    many = len(pattern_on(entry, board, placement).holes)
    return PatternAsked(
        entry.model_copy(update={"length": slot}), entry.boundary.shape, many=many, angle=placement.angle
    )


class PatternHeld(Struct, frozen=True):
    """A pattern of the design and the placement of it in view.

    Args:
        entry: its measures.
        board: the board it is on.
        placement: where it is on that.
        places: in how many places of the design.
        maker: id of the maker that made it; empty if it was drawn by hand.
        made_as: what that maker makes, in words within a sentence; empty where this program does not know it.
        shared: whether other placements of it follow a change; False where a maker placed one of them.
    """

    entry: PatternEntry
    board: BoardEntry
    placement: PlacementEntry
    places: int
    maker: str
    made_as: str
    shared: bool


def pattern_held(design: Design, where: Where, pattern_id: str, placement_id: str = "") -> PatternHeld:
    """A pattern, and its placement of that id, or its first in the arrangement.

    Raises:
        NotFoundError: there is no such pattern in the arrangement.
    """
    entry = edit.find_pattern(design, pattern_id)
    board = find_board(design, where.board)
    within = find_arrangement(board, where.arrangement)
    own = [p for p in within.placements if p.part == pattern_id]
    if not own:
        raise NotFoundError(f"The pattern “{pattern_id[:40]}” is not on this board. Add it from the list of hardware.")
    placement = next((p for p in own if p.id == placement_id), own[0])
    places = len(edit.places_of(design, pattern_id))
    shared = places > 1 and not edit.made_by_maker(design, pattern_id)
    makers = {m.id: m.maker for m in within.makers}
    known = {maker.name: maker.title.lower() for maker in MAKERS}
    made_as = known.get(makers.get(placement.maker or "", ""), "")
    return PatternHeld(entry, board, placement, places, placement.maker or "", made_as, shared)


def pattern_added(where: Where, asked: PatternAsked) -> DesignChange:
    """Put a new pattern on a board: where there is room, or, within the board's outline, in its middle."""

    def change(design: Design) -> Edit:
        board = find_board(design, where.board)
        x0, y0, x1, y1 = outline_of(board.outline.corners).bounds
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        entry = _entry_of(asked, board, x, y, design.units)
        if asked.shape != "board":
            part = pattern_part(entry)
            x, y = free_position(resolve(design, where.board, where.arrangement, catalogue()), part)
        done = edit.add_pattern(design, where.board, where.arrangement, entry, x, y, asked.angle, catalogue())
        return _on_the_board(design, done, where, asked)

    return change


def pattern_changed(where: Where, placement_id: str, pattern_id: str, asked: PatternAsked) -> DesignChange:
    """Give the pattern at a placement other measures, in one step."""

    def change(design: Design) -> Edit:
        held = pattern_held(design, where, pattern_id, placement_id)
        at = held.placement
        entry = _entry_of(asked, find_board(design, where.board), at.x, at.y, design.units)
        done = edit.change_pattern(
            design, where.board, where.arrangement, at.id, entry, asked.angle, catalogue(), everywhere=asked.everywhere
        )
        return _on_the_board(design, done, where, asked)

    return change


def _on_the_board(design: Design, done: Edit, where: Where, asked: PatternAsked) -> Edit:
    """The edit, if what was typed keeps the holes on the board.

    Raises:
        EditError: it does not, beside the field.
    """
    fields = {"circle": ("width", "width"), "rectangle": ("width", "height")}.get(asked.shape, ("shape", "shape"))
    refuse_over_edge(design, done.design, where.board, (done.placement,), fields)
    return done


def _entry_of(asked: PatternAsked, board: BoardEntry, x: float, y: float, units: str) -> PatternEntry:
    """The pattern asked for, at a place of a board.

    Raises:
        EditError: every measure that is out of range, or why it is not possible, by field.
    """
    entry, angle = _within(asked)
    boundary = entry.boundary
    if asked.shape == "board":
        there = board_boundary(board, x, y, angle, boundary.inset)
        found = solved(entry.model_copy(update={"boundary": there}), asked.by, asked.share, asked.many, units)
        own = BoundaryEntry(shape="board", width=there.width, height=there.height, inset=there.inset)
        return found.model_copy(update={"boundary": own})
    if asked.shape == "outline":
        if not boundary.corners:
            raise EditError("This pattern has no outline of its own. Choose another shape.", "shape")
        boundary = boundary.model_copy(update={"shape": "outline"})
    else:
        boundary = boundary.model_copy(update={"shape": asked.shape, "corners": ()})
    entry = entry.model_copy(update={"boundary": boundary})
    return solved(entry, asked.by, asked.share, asked.many, units)


def _within(asked: PatternAsked) -> tuple[PatternEntry, float]:
    """The same with every number in the range of its field, without a sign on a zero."""
    entry, shape = asked.entry, asked.entry.boundary
    problems: dict[str, str] = {}

    def ranged(value: float, what: str, field: str, high: float = LONGEST, *, above: bool = False) -> float:
        try:
            return number(value, what, field, 0, high, above=above)
        except EditError as error:
            problems.update(error.problems)
            return value

    changes = {
        "hole": ranged(entry.hole, "The hole", "hole", MOST_HOLE, above=True),
        "pitch": ranged(entry.pitch, "The pitch", "pitch", above=True) if asked.by == "pitch" else 1.0,
        "length": ranged(entry.length, "The length of a slot", "length"),
        "gap": ranged(entry.gap, "The distance", "gap"),
    }
    sizes = {
        "width": ranged(shape.width, "The width", "width", above=True),
        "height": ranged(shape.height, "The height", "height", above=True),
        "corner": ranged(shape.corner, "The corner radius", "corner"),
        "inset": ranged(shape.inset, "The distance from the boundary", "inset"),
    }
    angle = asked.angle
    try:
        angle = number(angle, "The angle", "angle", -360, 360)
    except EditError as error:
        problems.update(error.problems)
    if problems:
        raise EditError.of(problems)
    return entry.model_copy(update={**changes, "boundary": shape.model_copy(update=sizes)}), angle
