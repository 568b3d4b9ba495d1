"""Bits a board needs and the shop lacks: for holes, counterbores, recesses, and for pilots."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit, BitKind
from app.shop.bit_uses import BitUse, uses_of
from app.shop.cuts import Cut, cuts_of
from app.values import replace

_WIDE: Final = 12.8
"""Holes wider than this are bored, narrower ones drilled with a twist bit [mm]: 1/2 in, by a woodworking magazine."""

_REACH: Final = 50.0  # of a bit no set has [mm]; common practice, no source
_SAME: Final = 1e-6


class Lacking(Struct, frozen=True):
    """A bit to buy, and the letters of the parts it is for."""

    bit: Bit
    letters: tuple[str, ...]


def bits_to_buy(board: ResolvedBoard) -> tuple[Lacking, ...]:
    """Every bit to buy once, those for holes first."""
    found: dict[tuple[BitKind, float], tuple[Bit, list[str]]] = {}
    for bit, letters in (*_of_uses(board), *_of_pilots(board)):
        key = (bit.kind, round(bit.diameter, 4))
        found.setdefault(key, (bit, []))[1].extend(letters)
    return tuple(Lacking(bit, tuple(dict.fromkeys(letters))) for bit, letters in found.values())


def _of_uses(board: ResolvedBoard) -> Iterator[tuple[Bit, list[str]]]:
    for use in uses_of(board):
        if use.bit is not None or use.routed or use.sort == "opening":
            continue
        bit = use.buy if use.sort == "recess" else _for(board, use)
        if bit is not None:
            yield bit, [p.label or p.part.name for p in use.placements]


def _for(board: ResolvedBoard, use: BitUse) -> Bit:
    """The bit of a starter set that will do, the board's units first; else a plain one of the width asked for."""
    if use.sort == "counterbore":  # is as wide as it is drawn
        return _named("forstner", use.nominal)
    largest = use.nominal if use.largest is None else use.largest
    for bits in _sets(board):
        shop = replace(board.tooling, bits=bits)
        bit = shop.bit_for(use.nominal, use.smallest, largest, depth=use.depth, paint=use.paint)
        if bit is not None:
            return bit
    return _named("forstner" if use.nominal > _WIDE else "twist", use.nominal + 2 * use.paint)


def _of_pilots(board: ResolvedBoard) -> Iterator[tuple[Bit, list[str]]]:
    lacking: dict[float, list[Cut]] = {}
    for cut in cuts_of(board):
        if cut.work in ("pilot", "screw pilot") and cut.bit is None:
            lacking.setdefault(round(cut.width, 4), []).append(cut)
    for cuts in lacking.values():
        yield _named("twist", cuts[0].width), [cut.letter for cut in cuts]


def _named(kind: BitKind, diameter: float) -> Bit:
    """A bit of a starter set by its size, else a plain one."""
    rows = (bit for bits in catalogue().bit_sets.values() for bit in bits)
    known = next((b for b in rows if b.kind == kind and abs(b.diameter - diameter) < _SAME), None)
    return known or Bit(kind, diameter, reach=_REACH)


def _sets(board: ResolvedBoard) -> Iterator[tuple[Bit, ...]]:
    sets, own = catalogue().bit_sets, "inch" if board.units == "inch" else "metric"
    for name in sorted(sets, key=lambda n: n != own):
        yield sets[name]
