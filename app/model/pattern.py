"""Patterns: many holes from few numbers, each with its place and its number."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from propcache.api import cached_property

from app.errors import ModelError
from app.geometry.boundary import Boundary
from app.geometry.clearance import ShapeSet
from app.geometry.lattices import Lattice, Order
from app.geometry.outline import Outline
from app.geometry.regions import hull
from app.geometry.shapes import Point, Shape
from app.model.open_area import hole_area
from app.values import replace

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Cell = tuple[int, int]

_SAME: Final = 1e-6
"""Places nearer than this to the middle by no more than rounding are as far from it [mm]."""


class Pattern(Struct, frozen=True, dict=True):
    """Many holes in an order, inside a boundary about the pattern's own middle.

    Args:
        lattice: the order, and its distances.
        hole: diameter of each hole, width of each slot [mm].
        length: over all of each slot; the same as ``hole`` for round holes [mm].
        boundary: what the holes lie in, about the middle.
        inset: how far each keeps clear of the boundary [mm].
        numbers: cells in the order of their numbers, where that is not from the middle outwards.
        follows: whether the boundary is the outline of the board, which stays where the pattern is moved.

    Raises:
        ModelError: the holes run into each other, or slots are shorter than wide.
    """

    lattice: Lattice
    hole: float
    length: float
    boundary: Outline
    inset: float = 0.0
    numbers: tuple[Cell, ...] = ()
    follows: bool = False

    def __post_init__(self) -> None:
        if self.lattice.pitch <= self.hole:
            raise ModelError(
                f"Holes of {self.hole:g} mm run into each other at a pitch of {self.lattice.pitch:g} mm. "
                "Widen the pitch, or make the holes smaller."
            )
        if self.length < self.hole:
            raise ModelError(
                f"A slot is at least as long as wide, got {self.length:g} and {self.hole:g} mm. Make it longer."
            )
        along = self.lattice.along
        if self.order in {"slots", "rings"} and along <= self.length:
            what = "Slots of a row" if self.order == "slots" else "Rings of holes"
            raise ModelError(f"{what} run into each other. Leave more room between them.")

    @property
    def order(self) -> Order:
        """How the holes stand."""
        return self.lattice.order

    @property
    def shape(self) -> Shape:
        """One hole about its own middle [mm]."""
        half = (self.length - self.hole) / 2
        core: tuple[Point, ...] = ((-half, 0.0), (half, 0.0)) if half > 0 else ((0.0, 0.0),)
        return Shape(core, self.hole / 2)

    @cached_property
    def holes(self) -> PatternHoles:
        """Every hole that lies wholly inside, in the order of their numbers.

        Raises:
            GeometryError: there are far more than anybody drills.
        """
        return _holes_of(self)

    @property
    def open_area(self) -> float:
        """Of all its holes as drawn [mm²]."""
        return len(self.holes) * hole_area(self.hole, self.length)

    @cached_property
    def hull(self) -> Shape:
        """What lies round all its holes, and between them, about its middle [mm]; at least one hole."""
        return hull(self.holes_at(self.holes.centres).points.reshape(-1, 2), self.hole / 2)

    @cached_property
    def web(self) -> float:
        """Board between the nearest two holes as drawn; infinite for one hole alone [mm]."""
        pairs = self.holes_at(self.holes.centres).within(max(self.lattice.pitch, self.lattice.along))
        return float(pairs.distance.min(initial=math.inf))

    def holes_at(self, centres: Floats) -> ShapeSet:
        """Holes about some centres, shape (n, 2) [mm]."""
        core = np.array(self.shape.core)
        n, k = len(centres), len(core)
        return ShapeSet(centres[:, None] + core, np.full(n, k), np.full(n, self.hole / 2))

    def numbered_as(self, before: Pattern) -> Pattern:
        """This one with the numbers that holes had in the pattern it was before; new ones go on from the last.

        What is written down stays short: nothing, where counting from the middle outwards gives the same.
        """
        if before.order != self.order or before.lattice.middle != self.lattice.middle:
            return replace(self, numbers=())
        kept = before.holes.by_number
        plain = replace(self, numbers=())
        there = dict(zip(plain.holes.cells_listed, plain.holes.numbers.tolist(), strict=True))
        if not before.numbers and all(there.get(cell, number) == number for number, cell in kept.items()):
            return plain
        listed = list(before.numbers) or [kept[k] for k in sorted(kept)]
        known = set(listed)
        return replace(self, numbers=(*listed, *(cell for cell in plain.holes.cells_listed if cell not in known)))


class PatternHoles(Struct, frozen=True, eq=False, dict=True):
    """The holes of a pattern about its middle.

    Args:
        cells: column and row, or ring and place in it, of each, shape (n, 2).
        centres: shape (n, 2) [mm].
        numbers: the number each is called by, from 1, ascending, shape (n,).
    """

    cells: Ints
    centres: Floats
    numbers: Ints

    def __len__(self) -> int:
        return len(self.numbers)

    @cached_property
    def cells_listed(self) -> list[Cell]:
        """The cells as pairs."""
        return [(i, j) for i, j in self.cells.tolist()]

    @cached_property
    def by_number(self) -> dict[int, Cell]:
        """The cell of each number."""
        return dict(zip(self.numbers.tolist(), self.cells_listed, strict=True))


@lru_cache(maxsize=64)
def _holes_of(pattern: Pattern) -> PatternHoles:
    x0, y0, x1, y1 = pattern.boundary.bounds
    reach = 2 * max(x1, -x0), 2 * max(y1, -y0)  # the boundary need not have its middle in the middle
    cells, centres = pattern.lattice.cells(*reach)
    inside = Boundary(pattern.boundary).inside_distances(pattern.holes_at(centres))[0] >= pattern.inset - _SAME
    cells, centres = cells[inside], centres[inside]
    number = _numbers(cells, centres, pattern.numbers)
    order = np.argsort(number)
    return PatternHoles(cells[order], centres[order], number[order])


def _numbers(cells: Ints, centres: Floats, given: tuple[Cell, ...]) -> Ints:
    """From the middle outwards, and round from the right; those that have a number already keep it."""
    far = np.round(np.hypot(*centres.T) / _SAME)
    turn = np.mod(np.round(np.arctan2(centres[:, 1], centres[:, 0]), 9), 2 * math.pi)
    order = np.lexsort((turn, far))
    found = np.empty(len(cells), np.int64)
    if not given:
        found[order] = np.arange(1, len(cells) + 1)
        return found
    known = {cell: k for k, cell in enumerate(given, 1)}
    free = len(given)
    for index in order.tolist():
        cell = (int(cells[index, 0]), int(cells[index, 1]))
        if cell not in known:
            free += 1
            known[cell] = free
        found[index] = known[cell]
    return found
