"""Open area of a wide field of holes, and the pitch that gives it: what perforated sheet is sold by."""

from __future__ import annotations

import math
from typing import Final

from app.geometry.lattices import Lattice, Order

LEAST_WEB: Final = 1.0
"""Board between two holes, or the ends of slots in a row, that a pitch which is worked out leaves at least [mm].
Common practice, no source: what the material needs, its rule says."""


def hole_area(hole: float, length: float = 0.0) -> float:
    """Area of one round hole, or of a slot with round ends [mm²].

    Args:
        hole: diameter, or width of a slot [mm].
        length: of a slot over all [mm]; a round hole for no more than ``hole``.
    """
    return math.pi / 4 * hole**2 + hole * max(length - hole, 0.0)


def pitch_for_open_area(order: Order, hole: float, share: float, length: float = 0.0, gap: float = 0.0) -> float:
    """The pitch at which a wide field of holes is open by a share of it [mm].

    Open area is hole over the board that each has to itself (``Lattice.share``): 78.54 (d/p)² % in squares and
    90.69 (d/p)² % staggered at 60°, as published for perforated sheet; at 45° the pitch is that of nearest holes.

    Args:
        order: how they stand.
        hole: diameter, or width of slots [mm].
        share: open area over all, above 0 [%].
        length: of slots over all [mm].
        gap: from ring to ring, or between the ends of slots; 0 for as much as the pitch gives [mm].
    """
    slots = order == "slots"
    own = hole_area(hole, length if slots else 0.0) / (share / 100)
    if gap > 0 and order in {"rings", "slots"}:  # pitch × along = own
        return own / (gap + (length if slots else 0.0))
    if slots:  # pitch × (length + pitch − hole) = own
        rest = length - hole
        return (math.sqrt(rest**2 + 4 * own) - rest) / 2
    return math.sqrt(own / Lattice(order, 1.0, 1.0).share)
