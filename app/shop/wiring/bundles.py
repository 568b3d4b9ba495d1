"""Wires that run together: bundles, and how often they are tied."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from msgspec import Struct

from app.geometry.shapes import Point
from app.shop.wiring.harness import Harness


class Stretch(Struct, frozen=True):
    """A straight piece of the underside that wires share.

    Args:
        a, b: its ends [mm].
        wires: numbers of those in it.
    """

    a: Point
    b: Point
    wires: tuple[int, ...]

    @property
    def length(self) -> float:
        """How long it is [mm]."""
        return math.dist(self.a, self.b)


class Bundle(Struct, frozen=True):
    """What the same wires run along together.

    Args:
        wires: their numbers.
        length: of all its stretches [mm].
        ties: how often it is tied.
    """

    wires: tuple[int, ...]
    length: float
    ties: int


def stretches(harness: Harness) -> tuple[Stretch, ...]:
    """Every straight piece with the wires in it, the fullest first."""
    if harness.ways is None:
        return ()
    shared: dict[tuple[int, int], list[int]] = {}
    for wire in harness.wires:
        for a, b in pairwise(wire.nodes):
            shared.setdefault((min(a, b), max(a, b)), []).append(wire.number)
    nodes = harness.ways.nodes
    found = [
        Stretch((float(nodes[a][0]), float(nodes[a][1])), (float(nodes[b][0]), float(nodes[b][1])), tuple(wires))
        for (a, b), wires in shared.items()
    ]
    return tuple(sorted(found, key=lambda s: (-len(s.wires), s.wires, s.a, s.b)))


def bundles(pieces: Iterable[Stretch], apart: float) -> tuple[Bundle, ...]:
    """Where two wires or more run together, tied every ``apart`` mm at most and at both ends; the fullest first."""
    long: dict[tuple[int, ...], float] = {}
    for piece in pieces:
        if len(piece.wires) > 1:
            long[piece.wires] = long.get(piece.wires, 0.0) + piece.length
    found = (Bundle(wires, length, math.ceil(length / apart - 1e-9) + 1) for wires, length in long.items())
    return tuple(sorted(found, key=lambda b: (-len(b.wires), b.wires)))
