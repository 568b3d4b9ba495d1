"""A board with a fix applied, to see whether it really clears what it should. The document is edited elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from app.catalogue.load import Catalogue
from app.model.bit_selection import drilled_depth, hole_made
from app.model.fix import BuyBit, CounterboreAt, Fix, LegendTo, MoveBy, RecessAt, Remake, Rewire, SeveralFixes, SwapPart
from app.model.part import Part
from app.model.resolved import Counterbore, Placed, Recess, ResolvedBoard
from app.model.tooling import Bit, BitKind
from app.values import replace

_USUAL_REACH = 50.0  # mm, as a design file takes it where it does not say


def with_fix(board: ResolvedBoard, fix: Fix, catalogue: Catalogue) -> ResolvedBoard:
    """The board as it would be with the fix applied.

    Placements of other ids stay as they are; a part that the catalogue does not have changes nothing.
    """
    if isinstance(fix, SeveralFixes):
        for step in fix.fixes:
            board = with_fix(board, step, catalogue)
        return board
    if isinstance(fix, MoveBy):
        return _each(board, (fix.placement,), lambda p: p.moved(fix.dx, fix.dy))
    if isinstance(fix, CounterboreAt):
        bore = Counterbore(fix.diameter, fix.depth)
        return _each(board, fix.placements, lambda p: fitted(replace(p, counterbore=bore), p.part, board))
    if isinstance(fix, RecessAt):
        recess = Recess(fix.width, fix.height, fix.corner, fix.depth)
        return _each(board, fix.placements, lambda p: fitted(replace(p, recess=recess), p.part, board))
    if isinstance(fix, SwapPart):
        part = catalogue.parts.get(fix.part)
        return _each(board, fix.placements, lambda p: exchanged(p, part or p.part, board))
    if isinstance(fix, Remake):
        return board  # what a maker makes is put together by what has the design
    if isinstance(fix, LegendTo):
        return _each(board, fix.placements, lambda p: relettered(p, fix))
    if isinstance(fix, Rewire):
        return rewired(board, fix, catalogue)
    shop = replace(board.tooling, bits=(*board.tooling.bits, bought(fix, catalogue)))
    stocked = replace(board, tooling=shop)
    return _each(stocked, tuple(p.id for p in board.placements), lambda p: fitted(p, p.part, stocked))


def relettered(placed: Placed, fix: LegendTo) -> Placed:
    """The placement with its legend on another side or in other letters; one without a legend stays without."""
    legend = placed.legend
    if legend is None:
        return placed
    height = fix.height if fix.height is not None else legend.height
    return replace(placed, legend=replace(legend, place=fix.place or legend.place, height=height))


def rewired(board: ResolvedBoard, fix: Rewire, catalogue: Catalogue) -> ResolvedBoard:
    """The board with other wiring; a supply that the catalogue does not have changes nothing."""
    plan = board.wiring
    if plan is None:
        return board
    pins = tuple(pin for pin in plan.pins if pin.placement not in fix.placements)
    return replace(board, wiring=replace(plan, pins=pins, supply=catalogue.supplies.get(fix.supply, plan.supply)))


def fitted(placed: Placed, part: Part, board: ResolvedBoard) -> Placed:
    """The placement with that part, each round hole as wide as the nearest bit of the board's shop that works."""
    place = (placed.x, placed.y, placed.angle)
    holes = []
    for cutout in part.cutouts:
        depth = drilled_depth(cutout, board.thickness, placed.counterbore, placed.recess)
        holes.append(hole_made(cutout, place, board.tooling, depth, board.paint))
    return replace(placed, part=part, holes=tuple(holes))


def exchanged(placed: Placed, part: Part, board: ResolvedBoard) -> Placed:
    """The placement with another part; what was cut below for another fixing is left out."""
    keeps = placed.part.fixing == part.fixing
    bare = placed if keeps else replace(placed, counterbore=None, recess=None)
    return fitted(bare, part, board)


def bought(fix: BuyBit, catalogue: Catalogue) -> Bit:
    """The bit of the catalogue that is bought; a plain one of that size where it has none."""
    for bits in catalogue.bit_sets.values():
        for bit in bits:
            if bit.kind == fix.kind and abs(bit.diameter - fix.diameter) < 1e-9:
                return replace(bit, reach=fix.reach or bit.reach)
    return Bit(cast("BitKind", fix.kind), fix.diameter, reach=fix.reach or _USUAL_REACH)


def _each(board: ResolvedBoard, ids: tuple[str, ...], change: Callable[[Placed], Placed]) -> ResolvedBoard:
    wanted = set(ids)
    return board.populated(tuple(change(p) if p.id in wanted else p for p in board.placements))
