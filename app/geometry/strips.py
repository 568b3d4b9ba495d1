"""Strips along the edges of a board: rails glued below them, slots cut into them.

A strip lies on the board's side of one straight piece of the outline, as long as that piece and as wide as it is
told. Where two straight pieces with a strip each meet at a sharp corner, both are mitred; at a corner that points
into the board they are lengthened to the mitre. Elsewhere a strip ends square, or where the board ends before it.
A slot along a curve is all that lies within its depth of a chord: so far reaches a cutter that rides on it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Set
from functools import lru_cache
from itertools import groupby, pairwise

from msgspec import Struct

from app.geometry.outline import EDGE_NAMES, EdgeName, Outline, edge_of
from app.geometry.pieces import LinePiece, Piece, flattened_piece
from app.geometry.shapes import Point, Shape
from app.values import replace

HELD = 20.0  # mm: a rule or a square is not held straight by less; common practice, no source
_PARALLEL = 1e-9
_SAG = 0.005  # mm: how far a chord of a curve may be from it; a fifth of what a builder can set a fence to
_SPIKE = 20.0  # a mitre longer than this many widths is cut square: a splinter, not a joint
_FAR = 1e5  # mm: beyond any board


class Strip(Struct, frozen=True):
    """A strip along one piece of an outline.

    Args:
        edge: the edge it belongs to.
        width: across it [mm].
        shape: its place [mm]; a chord of a curve grown by the width, of which only the board's side counts.
        beyond: the same, drawn out beyond the edge: what meets the strip leaves it to the inside or past its ends.
        floor: its inner side, from the start of its piece to the end.
    """

    edge: EdgeName
    width: float
    shape: Shape
    beyond: Shape
    floor: tuple[Point, ...]

    @property
    def deep(self) -> float:
        """Nothing of it is further from the edge than this: its width, or the tip of a mitre at a corner [mm]."""
        if self.shape.radius:
            return self.width
        a, b, *inner = self.shape.core
        return max(self.width, math.dist(b, inner[0]), math.dist(a, inner[-1]))


def strips_of(outline: Outline, widths: Mapping[EdgeName, float], round_corners: bool = False) -> tuple[Strip, ...]:
    """The strips of an outline, anticlockwise.

    Args:
        outline: the rim.
        widths: of each edge that has one, above 0 [mm].
        round_corners: whether a strip follows curves, as a slot cutter does: along an edge that is round, and on round
            a set-back corner between two edges that have one, as wide as the wider of them.
    """
    return _strips(outline, tuple(sorted(widths.items())), round_corners)


@lru_cache(maxsize=128)
def _strips(outline: Outline, sized: tuple[tuple[EdgeName, float], ...], round_corners: bool) -> tuple[Strip, ...]:
    widths = dict(sized)
    # An edge has strips along its straight pieces if one is as long as they are wide; else it counts as round.
    straight = {e for e in EDGE_NAMES if longest_straight(outline, e) >= max(widths.get(e, 0.0), _PARALLEL)}
    sides = [side for piece in outline.pieces for side in _sides(piece, widths, straight)]
    if round_corners:
        sides = _run_round(sides)
    found: list[Strip] = []
    for k, here in enumerate(sides):
        if here.width <= 0 or (here.bent and not round_corners):
            continue
        if here.bent:
            found.append(_curved(here.piece, here.width, here.edge))
            continue
        before, after = sides[k - 1], sides[(k + 1) % len(sides)]
        length = math.dist(here.piece.a, here.piece.b)
        start, end = _mitred(before, here, here, 0.0), _mitred(here, after, here, length)
        found.append(replace(_strip(here.piece, here.width, start, end), edge=here.edge))
    return tuple(found)


def longest_straight(outline: Outline, edge: EdgeName) -> float:
    """The longest straight piece of an edge [mm]; 0 where it has none."""
    lengths = (math.dist(p.a, p.b) for p in outline.pieces if isinstance(p, LinePiece) and edge_of(p.a, p.b) == edge)
    return max(lengths, default=0.0)


def _sides(piece: Piece, widths: Mapping[EdgeName, float], straight: Set[EdgeName]) -> list[_Side]:
    """A straight piece as one side, a curve as its chords, each with the strip of the edge its normal points to.

    A chord of a straight edge is a corner of it: what runs along that comes from the sides before and after.
    """
    if isinstance(piece, LinePiece):
        edge = edge_of(piece.a, piece.b)
        return [_Side(piece, edge, widths.get(edge, 0.0))]
    found = []
    for a, b in pairwise([*flattened_piece(piece, _SAG), piece.b]):
        edge = edge_of(a, b)
        corner = edge in straight
        found.append(_Side(LinePiece(a, b), edge, 0.0 if corner else widths.get(edge, 0.0), True, corner))
    return found


def _run_round(sides: list[_Side]) -> list[_Side]:
    """The sides with corners taken in: as deep as the deeper of what lies on either side, if both have a strip."""
    first = next((k for k, side in enumerate(sides) if not side.corner), None)
    if first is None:
        return sides
    turned, made = [*sides[first:], *sides[:first]], list[_Side]()
    for corner, run in groupby(turned, key=lambda side: side.corner):
        if not corner:
            made += run
            continue
        some, before = list(run), made[-1]
        after = turned[(len(made) + len(some)) % len(turned)]
        width = max(before.width, after.width) if min(before.width, after.width) > 0 else 0.0
        made += [replace(side, width=width, edge=before.edge) for side in some]
    return made[len(made) - first :] + made[: len(made) - first]


class _Side(Struct, frozen=True):
    """A straight piece of an outline or a chord of a curve, its edge, and how wide its strip is, 0 for none [mm].

    ``bent`` if it is a chord; ``corner`` if it belongs to the curve between two edges, not to one of its own.
    """

    piece: LinePiece
    edge: EdgeName
    width: float
    bent: bool = False
    corner: bool = False


def _mitred(one: _Side, other: _Side, own: _Side, square: float) -> float:
    """Where the inner side of ``own`` ends beside the corner from ``one`` to ``other``, from its start [mm].

    The inner sides of both strips meet on the mitre. Where only one has a strip, it ends ``square``; in a corner of
    less than 90 degrees it ends at the other edge, beyond which there is no board.
    """
    if one.bent or other.bent:
        return square
    u, v = _unit(one.piece.a, one.piece.b), _unit(other.piece.a, other.piece.b)
    turn = u[0] * v[1] - u[1] * v[0]
    both, narrow = min(one.width, other.width) > 0, turn > 0 and u[0] * v[0] + u[1] * v[1] < 0
    if abs(turn) < _PARALLEL or not (both or narrow):
        return square
    corner = other.piece.a
    p = (corner[0] - one.width * u[1], corner[1] + one.width * u[0])
    q = (corner[0] - other.width * v[1], corner[1] + other.width * v[0])
    s = ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / turn
    meet = (p[0] + s * u[0], p[1] + s * u[1])
    if math.dist(meet, corner) > _SPIKE * max(one.width, other.width):
        return square
    along, start = (u if own is one else v), own.piece.a
    return (meet[0] - start[0]) * along[0] + (meet[1] - start[1]) * along[1]


def _strip(piece: LinePiece, width: float, first: float, end: float) -> Strip:
    """A strip whose inner side runs from ``first`` to ``end`` along its piece [mm]."""
    along, length = _unit(piece.a, piece.b), math.dist(piece.a, piece.b)
    inward = (-along[1], along[0])

    def at(t: float, across: float) -> Point:
        return (piece.a[0] + t * along[0] + across * inward[0], piece.a[1] + t * along[1] + across * inward[1])

    low, high = min(0.0, first), max(length, end)
    if first < end:
        inner: tuple[Point, ...] = (at(end, width), at(first, width))
    else:  # both mitres meet before they reach the inner side
        peak = length / (length - end + first)
        inner = (at(peak * first, peak * width),)
    core = (at(0.0, 0.0), at(length, 0.0), *inner)
    right = (at(length, 0.0),) if end < length else ()
    left = (at(0.0, 0.0),) if first > 0 else ()
    beyond = (at(low, -_FAR), at(high, -_FAR), *right, *inner, *left)
    return Strip(edge_of(piece.a, piece.b), width, Shape(core, 0.0), Shape(beyond, 0.0), inner[::-1])


def _curved(piece: LinePiece, width: float, edge: EdgeName) -> Strip:
    """The strip of a chord of a curve, round at its ends."""
    a, b, (ux, uy), out = piece.a, piece.b, _unit(piece.a, piece.b), _FAR
    beyond = (a, (a[0] + out * uy, a[1] - out * ux), (b[0] + out * uy, b[1] - out * ux), b)
    floor = tuple((x - width * uy, y + width * ux) for x, y in (a, b))
    return Strip(edge, width, Shape((a, b), width), Shape(beyond, width), floor)


def _unit(a: Point, b: Point) -> Point:
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
