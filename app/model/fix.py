"""Changes a machine can make to clear a finding: data only; editing applies them."""

from __future__ import annotations

from dataclasses import dataclass

from app.model.legend import LegendPlace
from app.model.maker.measure import Value


@dataclass(frozen=True, slots=True)
class MoveBy:
    """Move one placement by (dx, dy) [mm]."""

    placement: str
    dx: float
    dy: float


@dataclass(frozen=True, slots=True)
class CounterboreAt:
    """Counterbore placements from the underside: diameter and depth [mm]."""

    placements: tuple[str, ...]
    diameter: float
    depth: float


@dataclass(frozen=True, slots=True)
class RecessAt:
    """Rout a recess from the underside about placements [mm]."""

    placements: tuple[str, ...]
    width: float
    height: float
    corner: float
    depth: float


@dataclass(frozen=True, slots=True)
class BuyBit:
    """Put a bit of that kind, diameter and reach [mm] among the shop's bits; None for the usual reach of its kind."""

    kind: str
    diameter: float
    reach: float | None = None


@dataclass(frozen=True, slots=True)
class SwapPart:
    """Use another part of the catalogue at placements."""

    placements: tuple[str, ...]
    part: str


@dataclass(frozen=True, slots=True)
class Remake:
    """Make what a maker made on the board anew, with some other measures, by name [mm where a number]."""

    maker: str
    measures: tuple[tuple[str, Value], ...]


@dataclass(frozen=True, slots=True)
class LegendTo:
    """Letter placements on another side, or in letters of another height [mm]; None leaves either as it is."""

    placements: tuple[str, ...]
    place: LegendPlace | None = None
    height: float | None = None


@dataclass(frozen=True, slots=True)
class Rewire:
    """Let go of the pins that were chosen for placements, or feed encoders from another supply of the catalogue."""

    placements: tuple[str, ...] = ()
    supply: str = ""


@dataclass(frozen=True, slots=True)
class SeveralFixes:
    """Several changes made one after the other, as one step."""

    fixes: tuple[MoveBy | CounterboreAt | RecessAt | BuyBit | SwapPart | LegendTo | Rewire, ...]


Fix = MoveBy | CounterboreAt | RecessAt | BuyBit | SwapPart | LegendTo | Remake | Rewire | SeveralFixes
