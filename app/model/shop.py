"""The builder's shop: bits, drilling method, paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from app.errors import ModelError
from app.model.source import Source

BitKind = Literal["twist", "brad-point", "spade", "forstner", "hole-saw", "step", "router"]


@dataclass(frozen=True, slots=True)
class Bit:
    """A bit: kind, diameter and the deepest hole it makes [mm]; ``inch`` if it is sold by inch size."""

    kind: BitKind
    diameter: float
    reach: float
    inch: bool = False

    def __post_init__(self) -> None:
        if not 0 < self.diameter <= 200:
            raise ModelError(f"A bit is above 0 and up to 200 mm wide, got {self.diameter:g} mm.")


@dataclass(frozen=True, slots=True)
class Allowance:
    """How far work may end up from the drawing, by method [mm].

    Args:
        id: ``hand``, ``press`` or ``cnc``.
        name: the name on screen.
        position: how far a hole may be off its place.
        edge: how far a cut edge may be off.
        source: where the numbers come from.
    """

    id: str
    name: str
    position: float
    edge: float
    source: Source


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper size, upright: width at most height [mm]."""

    id: str
    name: str
    width: float
    height: float
    source: Source


@dataclass(frozen=True, slots=True)
class Shop:
    """What the builder works with."""

    drilling: Allowance
    bits: tuple[Bit, ...]
    paper: Paper

    def bit_for(self, nominal: float, smallest: float, largest: float) -> Bit | None:
        """The bit nearest to ``nominal`` whose hole is from ``smallest`` to ``largest`` mm; None if none is.

        Of two as near, the larger: a hole a shade wide lets the part in, one a shade tight does not.
        """
        fitting = [b for b in self.bits if b.kind != "router" and smallest - 1e-9 <= b.diameter <= largest + 1e-9]
        return min(fitting, key=lambda b: (round(abs(b.diameter - nominal), 6), -b.diameter), default=None)

    def counterbore_bit(self, width: float) -> Bit | None:
        """The smallest bit that bores flat at least ``width`` mm wide; None if there is none."""
        flat = [b for b in self.bits if b.kind == "forstner" and b.diameter >= width - 1e-9]
        return min(flat, key=lambda b: b.diameter, default=None)
