"""A board with its holes where they came out, as far as that is known; and where a cut will come out, from its pilot.

A part in one hole sits where its hole is, and all of it moves with the hole. A part in several holes, one held by wood
screws and a pattern stay where they are drawn, and only the holes move, each by itself: their part is one of its own
then, with its cut-outs and screws elsewhere about its origin.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.geometry.shapes import Point, Shape, circle, rotate
from app.model.as_built import CutKey, Mark
from app.model.cuts import Counterbore, Recess
from app.model.part import Body, Cutout, Part, ScrewFixing
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.model.source import Source
from app.model.tooling import Bit
from app.values import replace

_SAME: Final = 1e-3
"""Less than this a cut is where it is drawn [mm]: a mark keeps its place to a ten-thousandth, and no rule sees it."""
_WIDEST_BIT: Final = 200.0  # mm, that there is
_NOWHERE: Final = (0.0, 0.0)


def hole_numbers(part: Part) -> tuple[int, ...]:
    """What each cut-out of a part is called by: of a pattern the number of its hole, else its place from 1."""
    pattern = part.pattern
    return tuple(pattern.holes.numbers.tolist()) if pattern is not None else tuple(range(1, len(part.cutouts) + 1))


def as_built_board(board: ResolvedBoard) -> ResolvedBoard:
    """The board as it was really made, where anything was; the same board where nothing was.

    What was drilled of placements that are gone is there as bare holes: it is in the board, whatever the design says.
    A cut that has only its pilot is where the pilot is, for its bit follows it.
    """
    built = board.as_built
    if not built:
        return board
    by_placement: dict[str, dict[CutKey, Mark]] = {}
    for mark in built.within(p.id for p in board.drilled):
        by_placement.setdefault(mark.key.placement, {})[mark.key] = mark
    rows = tuple(_built(p, by_placement[p.id]) if p.id in by_placement else p for p in board.placements)
    left = old_holes(board)
    if not left and all(new is old for new, old in zip(rows, board.placements, strict=True)):
        return board
    return board.populated((*rows, *left))


def old_holes(board: ResolvedBoard) -> tuple[Placed, ...]:
    """What is in the board and no more drilled in the design, as placements of bare holes."""
    left = board.as_built.without(p.id for p in board.drilled)
    return tuple(_old_hole(mark) for mark in left if mark.key.sort == "hole")


def _old_hole(mark: Mark) -> Placed:
    width = mark.diameter
    name = f"old hole {mark.name or mark.key.placement}"
    part = Part(
        id=f"~{mark.key.placement}/{mark.key.cut}",
        name=name,
        kind="bracket",
        mount="top",
        cutouts=(Cutout(circle(width), width / 2, 2 * width),),
        flange=None,
        fixing=None,
        body=Body(circle(width), 0.0),
        lever=None,
        wiring=None,
        source=Source("As drilled.", "measured"),
    )
    bit = Bit("hole-saw", min(width, _WIDEST_BIT), reach=1000.0)  # no rule asks for another: it is drilled
    hole = Hole(part.cutouts[0], circle(width, *mark.centre), bit)
    return Placed(part.id, part, *mark.centre, 0.0, name, "", drill=True, holes=(hole,), locked=True, begun=True)


def _built(placed: Placed, marks: Mapping[CutKey, Mark]) -> Placed:
    """A placement with the cuts that were made where they came out; the same one where all are as drawn."""
    numbers = hole_numbers(placed.part)
    keys = [CutKey(placed.id, "hole", number) for number in numbers]
    shifts = [_shift(marks.get(key), hole.centre) for key, hole in zip(keys, placed.holes, strict=True)]
    holes = tuple(
        _as_wide(_at(hole, shift), marks.get(key)) for key, hole, shift in zip(keys, placed.holes, shifts, strict=True)
    )
    fixing = placed.part.fixing
    screws = _screw_shifts(placed, marks)
    if all(new is old for new, old in zip(holes, placed.holes, strict=True)) and not any(s != _NOWHERE for s in screws):
        there = placed
    elif len(holes) == 1 and not isinstance(fixing, ScrewFixing) and not placed.part.is_pattern:
        there = replace(placed, x=placed.x + shifts[0][0], y=placed.y + shifts[0][1], holes=holes)
    else:
        there = replace(placed, holes=holes)
        if any(shift != _NOWHERE for shift in (*shifts, *screws)):
            there = replace(there, part=_moved_part(placed, shifts, screws))
    return _pocketed(there, placed, marks.get(CutKey(placed.id, "pocket")))


def _at(hole: Hole, shift: Point) -> Hole:
    return hole if shift == _NOWHERE else Hole(hole.cutout, hole.shape.shifted(*shift), hole.bit)


def _shift(mark: Mark | None, drawn: Point) -> Point:
    """How far a cut is from where it is drawn now."""
    if mark is None:
        return _NOWHERE
    x, y = mark.centre
    found = (x - drawn[0], y - drawn[1])
    return found if max(abs(found[0]), abs(found[1])) > _SAME else _NOWHERE


def _as_wide(hole: Hole, mark: Mark | None) -> Hole:
    """A hole as wide as it is, once it is drilled; of its pilot it is only known where it will be."""
    if mark is None or mark.work == "pilot" or not hole.is_circle:
        return hole
    if abs(mark.diameter - hole.diameter) <= _SAME:
        return hole
    return replace(hole, shape=circle(mark.diameter, *hole.centre))


def _screw_shifts(placed: Placed, marks: Mapping[CutKey, Mark]) -> list[Point]:
    return [_shift(marks.get(CutKey(placed.id, "screw", k)), at) for k, at in enumerate(placed.screws, 1)]


def _moved_part(placed: Placed, shifts: list[Point], screws: list[Point]) -> Part:
    """The part with its cut-outs and screws where they were made, about an origin that stays."""
    back = [rotate(shift, -placed.angle) for shift in shifts]
    cutouts = tuple(
        replace(cutout, shape=cutout.shape.shifted(*by)) if by != _NOWHERE else cutout
        for cutout, by in zip(placed.part.cutouts, back, strict=True)
    )
    fixing = placed.part.fixing
    if isinstance(fixing, ScrewFixing) and any(by != _NOWHERE for by in screws):
        turned = [rotate(by, -placed.angle) for by in screws]
        at = tuple((x + dx, y + dy) for (x, y), (dx, dy) in zip(fixing.holes, turned, strict=True))
        fixing = replace(fixing, holes=at)
    return replace(placed.part, cutouts=cutouts, fixing=fixing)


def _pocketed(there: Placed, drawn: Placed, mark: Mark | None) -> Placed:
    """With its counterbore or recess as wide as it takes to hold the real one about the part's real origin.

    It stands for the real one in every distance: that is never nearer to anything than what is checked.
    """
    if mark is None or there.cut_depth <= 0:
        return there
    x, y = mark.centre
    dx, dy = x - there.x, y - there.y
    grown = 0.0 if mark.measured is None else mark.measured - mark.width
    if max(abs(dx), abs(dy), abs(grown)) <= _SAME:
        return there
    if mark.work == "counterbore" and there.counterbore is not None:
        wide = there.counterbore.diameter + grown + 2 * (dx * dx + dy * dy) ** 0.5
        return replace(there, counterbore=Counterbore(wide, there.counterbore.depth))
    if mark.work == "recess" and there.recess is not None:
        across, along = rotate((dx, dy), -drawn.angle)
        r = there.recess
        return replace(
            there,
            recess=Recess(r.width + grown + 2 * abs(across), r.height + grown + 2 * abs(along), r.corner, r.depth),
        )
    return there


def rim_of(board: ResolvedBoard, key: CutKey) -> Shape | None:
    """The rim of a cut-out on a board; None if there is none of that key."""
    placed = board.placed(key.placement)
    if placed is None or key.sort != "hole":
        return None
    return next(
        (hole.shape for n, hole in zip(hole_numbers(placed.part), placed.holes, strict=True) if n == key.number), None
    )
