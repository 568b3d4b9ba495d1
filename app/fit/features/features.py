"""What a placement brings to a board, by kind, as arrays; and the places of the board it can meet."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.geometry.clearance import ShapeSet, joined

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

KINDS = (
    "hole",
    "counterbore",
    "recess",
    "screw",
    "flange",
    "plate on top",
    "screw head on top",
    "plate",
    "body",
    "nut",
    "screw head",
    "lever",
    "spanner room",
    "wire room",
    "legend",
)
"""Every kind of feature a placement brings. Spanner and wire room are room that is kept, not shapes of their own;
legends give way to all others, so they are laid and measured by themselves (:mod:`app.fit.lettering`)."""

(HOLE, BORE, RECESS, SCREW, FLANGE, TOP_PLATE, TOP_HEAD, PLATE, BODY, NUT, HEAD, LEVER, SPANNER, WIRES, LEGEND) = range(
    15
)

WORDS = tuple(kind.removesuffix(" on top") for kind in KINDS)
"""What a finding calls each kind: which face a plate or a screw head is on, its rule says."""

CUTS = (BORE, RECESS)
ON_TOP = (FLANGE, TOP_PLATE, TOP_HEAD)
BELOW = (PLATE, BODY, NUT, HEAD)

PLACES = ("edge", "opening", "slot", "rail", "area on top", "area below", "free depth", "thickness")
"""What a board has besides what is placed on it; the last is the thickness of its layers."""

EDGE, OPENING, SLOT, RAIL, TOP_AREA, UNDER_AREA, DEPTH, THICKNESS = range(8)


class Features(Struct, frozen=True, eq=False):
    """Shapes of one class, and whose they are.

    Args:
        shapes: at their places.
        owner: index of the placement each belongs to, shape (n,).
        kind: index into ``KINDS``, shape (n,).
    """

    shapes: ShapeSet
    owner: Ints
    kind: Ints

    def __len__(self) -> int:
        return len(self.owner)

    def take(self, which: Ints | Flags) -> Features:
        """Some of them."""
        return Features(self.shapes.take(which), self.owner[which], self.kind[which])

    def of(self, *kinds: int) -> Ints:
        """Indices of those of some kinds, in their order."""
        return np.flatnonzero(is_any(*kinds)[self.kind])


@lru_cache(maxsize=128)
def is_any(*kinds: int) -> Flags:
    """By kind, whether it is one of ``kinds``."""
    flags = np.zeros(len(KINDS), np.bool_)
    flags[list(kinds)] = True
    return flags


def joined_things(a: Features, b: Features) -> Features:
    """The features of both, those of ``a`` first."""
    return Features(joined(a.shapes, b.shapes), np.concatenate((a.owner, b.owner)), np.concatenate((a.kind, b.kind)))
