"""Loose pieces joined end to end into rings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.geometry.shapes import Point
from app.readers.pieces import Bend, Piece, Ring, Straight


@dataclass(frozen=True, slots=True)
class Gap:
    """Where a line ends and no other begins: the place, and how far the nearest end is (None if there is none)."""

    at: Point
    wide: float | None


@dataclass(frozen=True, slots=True)
class Joined:
    """What became of pieces: rings, and the gaps of lines that are not closed."""

    rings: tuple[Ring, ...]
    gaps: tuple[Gap, ...]


def joined(chains: Sequence[Sequence[Piece]], near: float) -> Joined:
    """Chains of pieces joined where their ends are within ``near`` of each other.

    Ends that meet are made one point, so that nothing is left of the gap. Chains that stay open are told by the
    gap at their end.
    """
    left = [list(chain) for chain in (_sound(chain) for chain in chains) if chain]
    rings: list[Ring] = []
    gaps: list[Gap] = []
    while left:
        chain = left.pop()
        while not _closed(chain, near) and (found := _next(chain, left, near)) is not None:
            index, turned = found
            other = left.pop(index)
            chain += [piece.turned() for piece in reversed(other)] if turned else other
        if _closed(chain, near):
            rings.append(_tightened(chain))
        else:
            gaps.append(_gap(chain, left))
    return Joined(tuple(rings), tuple(gaps))


def _sound(chain: Sequence[Piece]) -> list[Piece]:
    """The pieces that lead anywhere."""
    return [p for p in chain if math.dist(p.a, p.b) > 1e-12 or (isinstance(p, Bend) and abs(p.sweep) > 1.0)]


def _closed(chain: Sequence[Piece], near: float) -> bool:
    whole = len(chain) > 1 or isinstance(chain[0], Bend)
    return whole and math.dist(chain[-1].b, chain[0].a) <= near


def _next(chain: Sequence[Piece], left: Sequence[Sequence[Piece]], near: float) -> tuple[int, bool] | None:
    """The chain that goes on from the end of this one, and whether it has to be turned round."""
    end = chain[-1].b
    best, found = near, None
    for index, other in enumerate(left):
        for at, turned in ((other[0].a, False), (other[-1].b, True)):
            if math.dist(end, at) <= best:
                best, found = math.dist(end, at), (index, turned)
    return found


def _gap(chain: Sequence[Piece], left: Sequence[Sequence[Piece]]) -> Gap:
    end = chain[-1].b
    others = [math.dist(end, at) for other in left for at in (other[0].a, other[-1].b)]
    if len(chain) > 1:
        others.append(math.dist(end, chain[0].a))
    return Gap(end, min(others, default=None))


def _tightened(chain: Sequence[Piece]) -> Ring:
    """The ring with each piece beginning where the one before it ends."""
    pieces: list[Piece] = []
    for index, piece in enumerate(chain):
        end = chain[(index + 1) % len(chain)].a
        if isinstance(piece, Straight):
            pieces.append(Straight(piece.a, end))
        elif len(chain) == 1:
            pieces.append(Bend(piece.a, piece.a, piece.centre, math.copysign(360.0, piece.sweep)))
        else:
            pieces.append(Bend(piece.a, end, piece.centre, piece.sweep))
    return tuple(p for p in pieces if isinstance(p, Bend) or math.dist(p.a, p.b) > 1e-12)
