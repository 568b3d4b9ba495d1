"""Regular orders of holes about a middle: square, staggered, in rings, in rows of slots; every place in a rectangle.

A place has a *cell*, two whole numbers that stay its own however far the order reaches: column and row, or ring and
place in it. Every order is symmetric about both lines through its middle.
"""

from __future__ import annotations

import math
from typing import Final, Literal

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.errors import GeometryError

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Order = Literal["square", "staggered-60", "staggered-45", "rings", "slots"]

MOST_CELLS: Final = 200_000
"""Most cells that are looked at: forty times as many as one would drill."""

_TURN = {"staggered-60": math.sqrt(3) / 2, "staggered-45": math.sqrt(0.5)}
"""Distance of staggered rows over the pitch: the sine of the angle between rows of nearest holes."""


class Lattice(Struct, frozen=True):
    """An order of holes and its distances [mm].

    Args:
        order: which.
        pitch: centre to centre of nearest holes; along a ring; from row to row of slots.
        along: centre to centre of slots in their row, or from ring to ring; not used by the others.
        middle: whether a hole stands in the middle, or the middle lies between the nearest holes.

    Raises:
        GeometryError: a distance is not above 0.
    """

    order: Order
    pitch: float
    along: float = 0.0
    middle: Literal["hole", "gap"] = "hole"

    def __post_init__(self) -> None:
        for name, value in (("pitch", self.pitch), ("distance along a row", self.along)):
            if not (math.isfinite(value) and value > 0) and (name == "pitch" or self.order in {"rings", "slots"}):
                raise GeometryError(f"The {name} of a pattern is above 0 mm, got {value:g}. Enter it again.")

    @property
    def share(self) -> float:
        """Board that each hole of a wide pattern has to itself [mm²].

        Published for perforated sheet as open area: hole over this. For rings it is an estimate.
        """
        if self.order == "square":
            return self.pitch**2
        if self.order in _TURN:
            across = self.pitch if self.order == "staggered-60" else self.pitch * math.sqrt(2)
            return across * self.pitch * _TURN[self.order]
        return self.pitch * self.along

    def cells(self, width: float, height: float) -> tuple[Ints, Floats]:
        """Every place within ``width`` × ``height`` mm about the middle.

        Returns:
            cells of shape (n, 2), and centres of shape (n, 2) [mm].

        Raises:
            GeometryError: there are too many.
        """
        if width * height > MOST_CELLS * self.share:
            raise GeometryError(
                f"A pitch of {self.pitch:g} mm puts more than {MOST_CELLS:,} holes into {width:g} × {height:g} mm. "
                "Widen the pitch, or make the pattern smaller."
            )
        if self.order == "rings":
            cells, places = self._rings(math.hypot(width, height) / 2)
        else:
            cells, places = self._rows(width, height)
        inside = (np.abs(places) <= np.array([width, height]) / 2 + 1e-9).all(axis=1)
        return cells[inside], places[inside]

    def _rows(self, width: float, height: float) -> tuple[Ints, Floats]:
        column, row = self._steps
        shift = 0.5 if self.middle == "gap" else 0.0
        straight = self.order in {"square", "slots"}
        m, n = (math.ceil(side / 2 / step) + 1 for side, step in ((width, column), (height, row)))
        i, j = (grid.ravel() for grid in np.meshgrid(np.arange(-m, m + 1), np.arange(-n, n + 1)))
        x = (i + shift + (0.0 if straight else 0.5 * (j % 2))) * column
        y = (j + (shift if straight else 0.0)) * row
        return np.stack((i, j), axis=1), np.stack((x, y), axis=1)

    @property
    def _steps(self) -> tuple[float, float]:
        """From column to column, and from row to row [mm]."""
        if self.order == "staggered-45":
            return self.pitch * math.sqrt(2), self.pitch * _TURN[self.order]
        if self.order == "staggered-60":
            return self.pitch, self.pitch * _TURN[self.order]
        return (self.along if self.order == "slots" else self.pitch), self.pitch

    def _rings(self, reach: float) -> tuple[Ints, Floats]:
        """On each ring as many as stand at least the pitch apart in a straight line, an even number."""
        cells: list[Ints] = []
        places: list[Floats] = []
        first = 0.0 if self.middle == "hole" else 0.5
        for ring in range(math.ceil(reach / self.along) + 1):
            radius = (ring + first) * self.along
            many = _around(radius, self.pitch)
            turn = 2 * math.pi * np.arange(many) / many
            cells.append(np.stack((np.full(many, ring), np.arange(many)), axis=1))
            places.append(radius * np.stack((np.cos(turn), np.sin(turn)), axis=1))
        return np.concatenate(cells), np.concatenate(places)


def _around(radius: float, pitch: float) -> int:
    """Even number of places on a ring, each at least ``pitch`` from the next; one in the middle."""
    if radius == 0:
        return 1
    if 2 * radius < pitch * (1 - 1e-9):
        return 0
    return 2 * math.floor(math.pi / math.asin(min(1.0, pitch / 2 / radius)) / 2 + 1e-9)
