"""Boards to be photographed: where their holes really are, how the cards really lie, and what else is on them."""

from __future__ import annotations

from typing import Literal

import numpy as np
from msgspec import Struct

from app.model.photo_cards import Cards
from app.photo.wanted import SoughtHole

Decoy = Literal["knot", "screw", "pencil", "ring"]


class Hole(Struct, frozen=True):
    """A hole as it really is: where it was meant to be, where it is, how wide, and whether it was drilled at all."""

    wanted: SoughtHole
    x: float
    y: float
    diameter: float
    drilled: bool = True


class Lie(Struct, frozen=True):
    """What is on the face besides: its kind, where, and how wide."""

    kind: Decoy
    x: float
    y: float
    width: float


class Board(Struct, frozen=True):
    """A board: its cards, how each really lies (to the right, to the back [mm], turned [rad]), and what is in it.

    Args:
        cards: as they are known.
        lie: how each really lies.
        printed: how large they were printed, across and along.
        holes: as they are.
        thickness: of the board [mm].
        decoys: what might be taken for holes.
        rounded: radius of its corners [mm].
        seed: of its wood and noise.
    """

    cards: Cards
    lie: tuple[tuple[float, float, float], ...]
    printed: tuple[float, float]
    holes: tuple[Hole, ...]
    thickness: float
    decoys: tuple[Lie, ...]
    rounded: float
    seed: int = 0


def random_board(rng: np.random.Generator, width: float = 600.0, *, tricks: bool = True) -> Board:
    """A board with 8 to 16 holes of the usual widths, some off their places, some not drilled, and decoys."""
    depth = float(round(width * rng.uniform(0.38, 0.66)))
    marker = 40.0 if width >= 450 else 32.0 if width >= 280 else 20.0
    cards = Cards("top", int(rng.integers(250)), width, depth, marker)
    free = _places(rng, cards, int(rng.integers(8, 17)))
    holes, decoys = [], []
    for k, (x, y) in enumerate(free):
        size = float(rng.choice([7.0, 8.0, 10.0, 12.0, 16.0, 22.0, 24.0, 28.0, 30.0]))
        off = rng.normal(0, 0.7, 2) if rng.random() < 0.8 else rng.uniform(-2.5, 2.5, 2)
        wide = size + float(rng.uniform(-0.15, 0.4))
        drilled = not tricks or rng.random() > 0.15
        holes.append(Hole(SoughtHole(f"h{k}", x, y, size), x + off[0], y + off[1], wide, drilled))
        if not drilled and rng.random() < 0.75:  # what might be taken for it, in its place and of its width
            kind: Decoy = ("knot", "screw", "pencil", "ring")[int(rng.integers(4))]
            shift = rng.normal(0, 1.0, 2)
            decoys.append(Lie(kind, x + shift[0], y + shift[1], size * float(rng.uniform(0.92, 1.08))))
        elif tricks and drilled and rng.random() < 0.2:  # marked out before it was drilled
            decoys.append(Lie("pencil", x, y, size * float(rng.uniform(1.0, 1.3))))
    if tricks:
        for _ in range(int(rng.integers(0, 5))):
            kind = ("knot", "screw", "pencil")[int(rng.integers(3))]
            x, y = rng.uniform(70, width - 70), rng.uniform(20, depth - 20)
            if all(np.hypot(x - h.x, y - h.y) > 0.8 * h.diameter + 16 for h in holes):
                decoys.append(Lie(kind, float(x), float(y), float(rng.uniform(5, 30))))
    lie = tuple((*rng.normal(0, 0.12, 2).clip(-0.3, 0.3), float(rng.normal(0, 0.12) / cards.side)) for _ in range(4))
    printed = (float(rng.normal(1, 0.004)), float(rng.normal(1, 0.004)))
    return Board(
        cards, lie, printed, tuple(holes), float(rng.choice([6.0, 12.0, 18.0, 22.0])), tuple(decoys),
        float(rng.choice([0.0, 0.0, 8.0, 20.0])), int(rng.integers(1 << 31)),
    )  # fmt: skip


def _places(rng: np.random.Generator, cards: Cards, many: int) -> list[tuple[float, float]]:
    """Places for holes, apart from each other, from the edges and from the cards."""
    found: list[tuple[float, float]] = []
    for _ in range(2000):
        x, y = rng.uniform(28, cards.width - 28), rng.uniform(28, cards.depth - 28)
        near = cards.side + 20
        at_card = min(x, cards.width - x) < near and min(y, cards.depth - y) < near
        if not at_card and all(np.hypot(x - a, y - b) > 36 for a, b in found):
            found.append((float(x), float(y)))
        if len(found) == many:
            break
    return found
