"""Wood screws that hold a part: how far they go into the board, and the pilot hole for them."""

from __future__ import annotations

import math
from collections.abc import Callable
from math import dist

from msgspec import Struct

from app.fit.limits.cut_depths import TINY
from app.model.part import Part, ScrewFixing
from app.model.resolved import Recess

_WOOD = ("mdf", "plywood")


class Drive(Struct, frozen=True):
    """How the screws of a part stand in a board [mm].

    Args:
        wood: board from where they enter to the other face.
        into: how far they go in; None if their length is not known.
    """

    wood: float
    into: float | None

    @property
    def left(self) -> float | None:
        """Board beyond their tips; negative where they come through; None if their length is not known."""
        return None if self.into is None else self.wood - self.into

    def held(self, floor: float) -> float:
        """Length of them in the board, never nearer than ``floor`` mm to the other face, at least 0."""
        most = max(0.0, self.wood - floor)
        return most if self.into is None else min(most, max(0.0, self.into))


def is_screwed(part: Part) -> bool:
    """Whether screws in the board itself hold the part; one through a hole of the part's own is a bolt."""
    fixing = part.fixing
    if not isinstance(fixing, ScrewFixing):
        return False
    bolts = [cutout.shape.centre for cutout in part.cutouts]
    return any(all(dist(hole, bolt) > TINY for bolt in bolts) for hole in fixing.holes)


def is_wood(family: str) -> bool:
    """Whether a wood screw holds in a material of that family."""
    return family in _WOOD


def drive_of(part: Part, fixing: ScrewFixing, thickness: float, recess: Recess | None) -> Drive:
    """How a part's screws stand in a board ``thickness`` mm thick; those from below begin at a recess's floor."""
    cut = recess.depth if recess and fixing.side == "under" else 0.0
    length = fixing.screw_length
    return Drive(thickness - cut, None if length is None else length - clamped(part, fixing))


def clamped(part: Part, fixing: ScrewFixing) -> float:
    """What lies between the screws' heads and the board, as far as the part's measures say [mm]."""
    if fixing.plate is not None and part.mount == fixing.side:
        return fixing.plate_thickness
    if part.mount == fixing.side == "top" and part.flange is not None:
        return part.flange.height
    return 0.0


def pilot_diameter(screw: float, rule: Callable[[str], float]) -> float:
    """Width of the pilot hole for a wood screw ``screw`` mm thick [mm].

    The widest of the steps small bits are sold by that is within the band of the catalogue, a share of the
    screw's root; the middle of the band where no step is in it. ``rule`` gives defaults by name.
    """
    root, step = rule("screw-root-ratio") * screw, rule("screw-pilot-step")
    least, most = rule("screw-pilot-least") * root, rule("screw-pilot-most") * root
    widest = math.floor(most / step + TINY) * step
    return widest if widest >= least - TINY else (least + most) / 2
