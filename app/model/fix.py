"""Changes a machine can make to clear a finding: data only; editing applies them."""

from __future__ import annotations

from msgspec import Struct

from app.model.legend import LegendPlace
from app.model.maker.measure import Value


class MoveBy(Struct, frozen=True):
    """Move one placement by (dx, dy) [mm]."""

    placement: str
    dx: float
    dy: float


class CounterboreAt(Struct, frozen=True):
    """Counterbore placements from the underside: diameter and depth [mm]."""

    placements: tuple[str, ...]
    diameter: float
    depth: float


class RecessAt(Struct, frozen=True):
    """Rout a recess from the underside about placements [mm]."""

    placements: tuple[str, ...]
    width: float
    height: float
    corner: float
    depth: float


class BuyBit(Struct, frozen=True):
    """Put a bit of that kind, diameter and reach [mm] among the shop's bits; None for the usual reach of its kind."""

    kind: str
    diameter: float
    reach: float | None = None


class SwapPart(Struct, frozen=True):
    """Use another part of the catalogue at placements."""

    placements: tuple[str, ...]
    part: str


class Remake(Struct, frozen=True):
    """Make what a maker made on the board anew, with some other measures, by name [mm where a number]."""

    maker: str
    measures: tuple[tuple[str, Value], ...]


class LegendTo(Struct, frozen=True):
    """Letter placements on another side, or in letters of another height [mm]; None leaves either as it is."""

    placements: tuple[str, ...]
    place: LegendPlace | None = None
    height: float | None = None


class Rewire(Struct, frozen=True):
    """Let go of the pins that were chosen for placements, or feed encoders from another supply of the catalogue."""

    placements: tuple[str, ...] = ()
    supply: str = ""


class SeveralFixes(Struct, frozen=True):
    """Several changes made one after the other, as one step."""

    fixes: tuple[MoveBy | CounterboreAt | RecessAt | BuyBit | SwapPart | LegendTo | Rewire, ...]


Fix = MoveBy | CounterboreAt | RecessAt | BuyBit | SwapPart | LegendTo | Remake | Rewire | SeveralFixes
