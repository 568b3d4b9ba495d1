"""A board with a fix applied, to see whether it really clears what it should. The document is edited elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast

from app.catalogue.load import Catalogue
from app.geometry.shapes import Shape
from app.model.fix import BuyBit, CounterboreAt, Fix, MoveBy, RecessAt, Several, SwapPart
from app.model.part import Cutout, Part
from app.model.resolved import Counterbore, Hole, Placed, Recess, ResolvedBoard
from app.model.shop import Bit, BitKind, Shop


def with_fix(board: ResolvedBoard, fix: Fix, catalogue: Catalogue) -> ResolvedBoard:
    """The board as it would be with the fix applied.

    Placements of other ids stay as they are; a part that the catalogue does not have changes nothing.
    """
    if isinstance(fix, Several):
        for step in fix.fixes:
            board = with_fix(board, step, catalogue)
        return board
    if isinstance(fix, MoveBy):
        return _each(board, (fix.placement,), lambda p: moved(p, fix.dx, fix.dy))
    if isinstance(fix, CounterboreAt):
        bore = Counterbore(fix.diameter, fix.depth)
        return _each(board, fix.placements, lambda p: replace(p, counterbore=bore))
    if isinstance(fix, RecessAt):
        recess = Recess(fix.width, fix.height, fix.corner, fix.depth)
        return _each(board, fix.placements, lambda p: replace(p, recess=recess))
    if isinstance(fix, SwapPart):
        part = catalogue.parts.get(fix.part)
        return _each(board, fix.placements, lambda p: fitted(p, part or p.part, board.shop))
    shop = replace(board.shop, bits=(*board.shop.bits, bought(fix, catalogue)))
    everyone = tuple(p.id for p in board.placements)
    return _each(replace(board, shop=shop), everyone, lambda p: fitted(p, p.part, shop))


def moved(placed: Placed, dx: float, dy: float) -> Placed:
    """The placement, moved by (dx, dy) [mm]."""
    holes = tuple(replace(h, shape=h.shape.placed(dx, dy)) for h in placed.holes)
    return replace(placed, x=placed.x + dx, y=placed.y + dy, holes=holes)


def fitted(placed: Placed, part: Part, shop: Shop) -> Placed:
    """The placement with that part, each round hole as wide as the shop's nearest bit that works."""
    holes = tuple(_hole(placed, cutout, shop) for cutout in part.cutouts)
    return replace(placed, part=part, holes=holes)


def bought(fix: BuyBit, catalogue: Catalogue) -> Bit:
    """The bit of the catalogue that is bought; a plain one of that size where it has none."""
    for bits in catalogue.bit_sets.values():
        for bit in bits:
            if bit.kind == fix.kind and abs(bit.diameter - fix.diameter) < 1e-9:
                return bit
    return Bit(cast("BitKind", fix.kind), fix.diameter, reach=50.0)


def _each(board: ResolvedBoard, ids: tuple[str, ...], change: Callable[[Placed], Placed]) -> ResolvedBoard:
    wanted = set(ids)
    return replace(board, placements=tuple(change(p) if p.id in wanted else p for p in board.placements))


def _hole(placed: Placed, cutout: Cutout, shop: Shop) -> Hole:
    shape = placed.place(cutout.shape)
    if not cutout.is_circle:
        return Hole(cutout, shape, None)
    bit = shop.bit_for(cutout.width, cutout.smallest, cutout.largest)
    return Hole(cutout, Shape(shape.core, bit.diameter / 2) if bit else shape, bit)
