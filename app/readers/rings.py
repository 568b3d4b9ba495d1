"""Loose pieces joined end to end into rings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from app.geometry.nearest import nearest_others
from app.geometry.shapes import Point
from app.readers.ends import Ends
from app.readers.pieces import Bend, Piece, Ring, StraightPiece

_FLAT: Final = 1e-9
"""Height of a bend over its chord, as a share of the chord, below which it is the chord."""


class OpenEnd(Struct, frozen=True):
    """Where a line ends and no other begins: the place, and how far the nearest end is (None if there is none)."""

    at: Point
    wide: float | None


class Joined(Struct, frozen=True):
    """What became of pieces.

    Args:
        rings: closed lines.
        gaps: of lines that are not closed, one each.
        doubles: how many lines were drawn twice; one of each is kept.
        forks: places where more than two lines meet, so that which way a ring goes was a choice.
    """

    rings: tuple[Ring, ...]
    gaps: tuple[OpenEnd, ...]
    doubles: int = 0
    forks: tuple[Point, ...] = ()


def joined(chains: Sequence[Sequence[Piece]], near: float) -> Joined:
    """Chains of pieces joined where their ends are within ``near`` of each other.

    Ends that meet are made one point, so that nothing is left of the gap. Chains that stay open are told by the
    gap at their end. Where more than two lines meet, those that lead nowhere are left out first.
    """
    sound = [chain for chain in (_sound(chain) for chain in chains) if chain]
    distinct = _distinct(sound, near)
    ends = Ends(distinct, near)
    rings, left = _walked(ends, near)
    if ends.forks:
        again = Ends(distinct, near)
        loose = again.without_loose()
        rings_again, left_again = _walked(again, near)
        if loose and len(rings_again) >= len(rings):
            rings, left = rings_again, [*left_again, *_walked(Ends(loose, near), near)[1]]
            ends = again
    return Joined(tuple(rings), _gaps(left), len(sound) - len(distinct), tuple(ends.forks))


def _walked(ends: Ends, near: float) -> tuple[list[Ring], list[list[Piece]]]:
    """Rings, and the chains that stay open."""
    rings: list[Ring] = []
    left: list[list[Piece]] = []
    while (chain := ends.any()) is not None:
        for _ in range(2):  # on from its end, then from its start
            while (other := ends.after(chain[-1].b, _to_close(chain, near))) is not None:
                chain += other
            if _closed(chain, near):
                if _size(chain) > near:
                    rings.append(_tightened(chain))
                break
            chain = _turned(chain)
        else:
            left.append(chain)
    return rings, left


def _sound(chain: Sequence[Piece]) -> list[Piece]:
    """The pieces that lead anywhere."""
    plain = [_straightened(p) for p in chain]
    return [p for p in plain if math.dist(p.a, p.b) > 1e-12 or (isinstance(p, Bend) and abs(p.sweep) > 180.0)]


def _straightened(piece: Piece) -> Piece:
    """A bend so flat that nobody can tell it from its chord as that chord, whose radius is no number to reckon with."""
    if isinstance(piece, Bend) and abs(piece.sweep) < 1.0:
        chord = math.dist(piece.a, piece.b)
        if chord * math.tan(math.radians(abs(piece.sweep)) / 4) / 2 < _FLAT * chord:
            return StraightPiece(piece.a, piece.b)
    return piece


def _size(chain: Sequence[Piece]) -> float:
    points = [q for p in chain for q in (p.a, p.b, _middle(p))]
    xs, ys = [q[0] for q in points], [q[1] for q in points]
    return max(max(xs) - min(xs), max(ys) - min(ys))


def _distinct(chains: Sequence[list[Piece]], near: float) -> list[list[Piece]]:
    """Each chain once, whichever way it is drawn."""
    cell = max(near, 1e-12)

    def key(chain: Sequence[Piece]) -> tuple[tuple[int, int], ...]:
        points = [q for p in chain for q in (p.a, _middle(p), p.b)]
        return tuple((round(x / cell), round(y / cell)) for x, y in points)

    found: dict[tuple[tuple[int, int], ...], list[Piece]] = {}
    for chain in chains:
        found.setdefault(min(key(chain), key(_turned(chain))), list(chain))
    return list(found.values())


def _middle(piece: Piece) -> Point:
    return piece.at(0.5) if isinstance(piece, Bend) else ((piece.a[0] + piece.b[0]) / 2, (piece.a[1] + piece.b[1]) / 2)


def _turned(chain: Sequence[Piece]) -> list[Piece]:
    return [piece.turned() for piece in reversed(chain)]


def _closed(chain: Sequence[Piece], near: float) -> bool:
    whole = len(chain) > 1 or (isinstance(chain[0], Bend) and abs(chain[0].sweep) > 180.0)
    return whole and math.dist(chain[-1].b, chain[0].a) <= near


def _to_close(chain: Sequence[Piece], near: float) -> float | None:
    """How far the end of a chain is from its start, if that closes it; what goes on has to be nearer."""
    return math.dist(chain[-1].b, chain[0].a) if _closed(chain, near) else None


def _gaps(chains: Sequence[Sequence[Piece]]) -> tuple[OpenEnd, ...]:
    """The narrower of the gaps at both ends of each chain that stayed open."""
    if not chains:
        return ()
    ends = [end for chain in chains for end in (chain[0].a, chain[-1].b)]
    far = nearest_others(np.array(ends)).tolist()
    gaps = []
    for index, chain in enumerate(chains):
        # The two ends of a single straight line are no gap of each other.
        lone = len(chains) == 1 and len(chain) == 1
        wide, at = min((far[k], ends[k]) for k in (2 * index + 1, 2 * index))
        gaps.append(OpenEnd(at, None if lone else wide))
    return tuple(gaps)


def _tightened(chain: Sequence[Piece]) -> Ring:
    """The ring with each piece beginning where the one before it ends."""
    pieces: list[Piece] = []
    for index, piece in enumerate(chain):
        end = chain[(index + 1) % len(chain)].a
        if isinstance(piece, StraightPiece):
            pieces.append(StraightPiece(piece.a, end))
        elif len(chain) == 1:
            pieces.append(Bend(piece.a, piece.a, piece.centre, math.copysign(360.0, piece.sweep)))
        else:
            pieces.append(Bend(piece.a, end, piece.centre, piece.sweep))
    return tuple(p for p in pieces if isinstance(p, Bend) or math.dist(p.a, p.b) > 1e-12)
