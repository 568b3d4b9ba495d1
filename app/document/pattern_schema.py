"""Patterns of holes and makers in the design file: what stands for many things, kept as the measures it is made of."""

from typing import Annotated, Literal

from app.catalogue.fields import Angle, Between, Coordinate, Flag, Id, Index, Length, Record, Size, UpTo, Words
from app.document.outline_schema import CornerEntry
from app.model import limits


class BoundaryEntry(Record):
    """Where the holes of a pattern lie, about its middle [mm]; each hole is inside, clear of the line by ``inset``.

    A circle is ``width`` across; a rectangle has its ``corner`` rounded; an outline is closed by its ``corners``;
    ``board`` is the outline of the board that the pattern is on, wherever it is there, and follows it.
    """

    shape: Literal["circle", "rectangle", "outline", "board"] = "circle"
    width: Size = 100.0
    height: Size = 100.0
    corner: Length = 0.0
    corners: Annotated[tuple[CornerEntry, ...], UpTo(limits.CORNERS)] = ()
    inset: Length = 0.0


class PatternEntry(Record):
    """Many holes from few numbers [mm], made where a placement names it as its part: one thing to move.

    Its holes are called by the letter of the placement and their number, as ``S1-14``.

    Args:
        id: what placements name; no item of hardware has it.
        order: ``square``; ``staggered-60`` and ``staggered-45``, named by the angle between rows of nearest holes;
            ``rings`` about the middle; ``slots``: rows of them along the pattern's own x.
        hole: diameter of each hole, width of each slot.
        pitch: centre to centre of nearest holes, and of those on a ring; from row to row of slots.
        length: over all of each slot; not used by the other orders.
        gap: from ring to ring, or the web between the ends of slots in a row; 0 for as much as the pitch gives.
        middle: whether a hole stands in the middle, or the middle lies between the nearest holes.
        boundary: what they lie in.
        numbers: which hole has which number, as column and row, or ring and place in it, in the order of their
            numbers; from the middle outwards where there are none.
    """

    id: Id
    name: Words = ""
    order: Literal["square", "staggered-60", "staggered-45", "rings", "slots"] = "staggered-60"
    hole: Annotated[float, Between(0, 200, above=True)]
    pitch: Size
    length: Length = 0.0
    gap: Length = 0.0
    middle: Literal["hole", "gap"] = "hole"
    boundary: BoundaryEntry = BoundaryEntry.model_construct()
    numbers: Annotated[tuple[tuple[Index, Index], ...], UpTo(limits.NUMBERS)] = ()


class MeasureEntry(Record):
    """One measure of a maker, by name: a number [mm unless the maker says otherwise], a choice, or yes or no."""

    name: Id
    value: Flag | Coordinate | Words


class MakerEntry(Record):
    """What a maker was asked for, so that its parts and patterns, and if told so the board, can be made anew.

    Args:
        maker: which maker.
        x, y, angle: where what it makes is on the board [mm, degrees].
        outline: whether the outline of the board is made by it too.
        measures: what was asked for; what is left out has its default.
    """

    id: Id
    maker: Id
    x: Coordinate = 0.0
    y: Coordinate = 0.0
    angle: Angle = 0.0
    outline: Flag = False
    measures: Annotated[tuple[MeasureEntry, ...], UpTo(limits.MEASURES)] = ()
