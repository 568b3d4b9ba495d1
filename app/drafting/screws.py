"""Pilot holes for the screws that hold plates and flanges."""

from __future__ import annotations

from dataclasses import dataclass

from app.catalogue.load import catalogue
from app.model.part import Face, ScrewFixing
from app.model.resolved import Placed, ResolvedBoard
from app.scene.primitives import Point


@dataclass(frozen=True, slots=True)
class ScrewPilots:
    """Pilots of one part: where they are, how wide and how deep [mm], and from which face."""

    at: tuple[Point, ...]
    diameter: float
    depth: float
    face: Face


def screw_pilots(board: ResolvedBoard, placed: Placed) -> ScrewPilots | None:
    """The screw pilots of a part; None if no screws hold it.

    Their width is the catalogue's share of the screw's, to its step; they end its floor short of the other
    face, so that no screw shows there.
    """
    fixing = placed.part.fixing
    if not isinstance(fixing, ScrewFixing) or not placed.screws:
        return None
    rule = catalogue().rule
    step = rule("screw-pilot-step")
    diameter = max(step, step * round(rule("screw-pilot-ratio") * fixing.screw_diameter / step))
    depth = max(board.thickness - rule("screw-pilot-floor"), board.thickness / 2)
    return ScrewPilots(placed.screws, diameter, depth, fixing.side)
