"""Pilot holes for the screws that hold plates and flanges."""

from __future__ import annotations

from math import dist
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.fit.judging.wood_screws import clamped, pilot_diameter
from app.geometry.shapes import Point
from app.model.part import Face, ScrewFixing
from app.model.resolved import Placed, ResolvedBoard

_SAME: Final = 1e-6
"""Two centres nearer than this are one, and a board no thicker is none [mm]."""


class ScrewPilots(Struct, frozen=True):
    """Pilots of one part: where they are, how wide and how deep [mm], and from which face."""

    at: tuple[Point, ...]
    diameter: float
    depth: float
    face: Face


def seat_depth(placed: Placed) -> float:
    """How far above the underside the nut, the clips or the plate of a part bear [mm]; 0 without a pocket.

    That of the deeper pocket, as the rules count it; whether what bears goes into it is for them to say.
    """
    recess = placed.recess.depth if placed.recess else 0.0
    if placed.part.mount == "under":
        return recess
    if isinstance(placed.part.fixing, ScrewFixing):
        return 0.0
    return max(recess, placed.counterbore.depth if placed.counterbore else 0.0)


def screw_pilots(board: ResolvedBoard, placed: Placed) -> ScrewPilots | None:
    """The screw pilots of a part; None if no screws in wood hold it.

    A screw through a hole of the part's own is a bolt, which is not piloted. The others are as wide as the
    catalogue's share of the screw's root; they end its floor short of the other face, so that no screw
    shows there, and no deeper than the screw goes where its length is known. In a recess they begin at its floor.
    """
    return screw_pilots_in(placed, board.thickness)


def screw_pilots_in(placed: Placed, thickness: float) -> ScrewPilots | None:
    """As :func:`screw_pilots`, in a board ``thickness`` mm thick."""
    fixing = placed.part.fixing
    bolts = [hole.centre for hole in placed.holes]
    at = tuple(p for p in placed.screws if all(dist(p, bolt) > _SAME for bolt in bolts))
    if not isinstance(fixing, ScrewFixing) or not at:
        return None
    rule = catalogue().rule
    wood = thickness - (seat_depth(placed) if fixing.side == "under" else 0.0)
    if wood <= _SAME:  # a recess right through the board: what stops it is said, and there is nothing to drill
        return None
    depth = max(wood - rule("screw-pilot-floor"), wood / 2)
    if fixing.screw_length is not None:
        depth = min(depth, max(fixing.screw_length - clamped(placed.part, fixing), rule("screw-pilot-step")))
    return ScrewPilots(at, pilot_diameter(fixing.screw_diameter, rule), depth, fixing.side)


def clamp_thickness(placed: Placed, fixing: ScrewFixing) -> float:
    """What lies between a screw's head and the board, as far as the catalogue says [mm]."""
    return clamped(placed.part, fixing)
