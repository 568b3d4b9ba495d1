"""The builder's shop: bits, drilling method, paper."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from app.errors import ModelError
from app.model.source import Source

BitKind = Literal["twist", "brad-point", "spade", "forstner", "hole-saw", "step", "router"]


def kind_words(kind: str) -> str:
    """A kind of bit in words; Forstner was a man."""
    return kind.replace("-", " ").replace("forstner", "Forstner")


class Bit(Struct, frozen=True):
    """A bit: kind, diameter and the deepest hole it makes [mm]; ``inch`` if it is sold by inch size.

    ``measured`` is how wide its hole came out in scrap, where somebody measured [mm].
    """

    kind: BitKind
    diameter: float
    reach: float
    inch: bool = False
    measured: float | None = None

    def __post_init__(self) -> None:
        if not 0 < self.diameter <= 200:
            raise ModelError(f"A bit is above 0 and up to 200 mm wide, got {self.diameter:g} mm.")

    @property
    def makes(self) -> float:
        """How wide its hole is, as far as anybody knows [mm]."""
        return self.diameter if self.measured is None else self.measured

    @property
    def both_sides(self) -> float:
        """The thickest board it makes a hole in, from both sides on the pilot if need be [mm].

        The next step of a step bit would widen the hole, so it works from one side only.
        """
        return self.reach if self.kind == "step" else 2 * self.reach


class Allowance(Struct, frozen=True):
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


class Paper(Struct, frozen=True):
    """A paper size, upright: width at most height [mm].

    A roll is ``width`` wide and is cut off as long as needed, up to ``height``.
    """

    id: str
    name: str
    width: float
    height: float
    source: Source
    roll: bool = False


class Speed(Struct, frozen=True):
    """How fast bits turn in some materials, up to a width.

    Args:
        id: short name.
        kinds: of bits.
        families: of materials.
        up_to: widest bit it is for [mm].
        least, most: slow and fast end [turns a minute]; ``least`` is 0 where only the fast end is known.
        rim: speed at the rim [m/min], from which the fast end follows; 0 where ``most`` says it.
        source: where it comes from; one that is only *typical* is from memory.
    """

    id: str
    kinds: tuple[str, ...]
    families: tuple[str, ...]
    up_to: float
    least: float
    most: float
    rim: float
    source: Source

    def range_for(self, diameter: float) -> tuple[int, int]:
        """The slow and the fast end for a bit that wide [turns a minute]."""
        fast = self.most or 1000 * self.rim / (math.pi * diameter)
        return round(self.least), round(fast)


class Rates(Struct, frozen=True):
    """How long work takes at the drill [s]: a hole, a counterbore or recess, a change of bit, a turning over."""

    hole: float
    counterbore: float
    change: float
    turning: float


class Tooling(Struct, frozen=True):
    """What the builder works with, how long it takes them, and what they buy in case.

    Args:
        drilling: the way of drilling.
        bits: their bits.
        paper: what they print on.
        rates: how long work takes; None where nobody says.
        spares: share of what is lost or breaks that is bought besides [%]; None where nobody says.
    """

    drilling: Allowance
    bits: tuple[Bit, ...]
    paper: Paper
    rates: Rates | None = None
    spares: float | None = None

    def bit_for(
        self, nominal: float, smallest: float, largest: float, *, depth: float = 0.0, paint: float = 0.0
    ) -> Bit | None:
        """The bit nearest to ``nominal`` whose hole is from ``smallest`` to ``largest`` mm; None if none is.

        One that reaches ``depth`` mm comes before one that does so from both sides, and that before one too
        short. Of two as near, the larger: a hole a shade wide lets the part in, one a shade tight does not.
        ``paint`` mm on the wall leaves the hole narrower by twice that, so the bit is wider.
        """
        narrow = 2 * paint
        low, high = smallest + narrow - 1e-9, largest + narrow + 1e-9
        fitting = [b for b in self.bits if b.kind != "router" and low <= b.makes <= high]
        if len(fitting) < 2:
            return fitting[0] if fitting else None

        def order(bit: Bit) -> tuple[int, float, float]:
            short = 0 if bit.reach >= depth - 1e-9 else 1 if bit.both_sides >= depth - 1e-9 else 2
            return (short, round(abs(bit.makes - narrow - nominal), 6), -bit.makes)

        return min(fitting, key=order)

    def router_for(self, corner: float, depth: float = 0.0) -> Bit | None:
        """The widest router bit for inside corners of ``corner`` mm, one that reaches ``depth`` mm first."""
        fitting = [b for b in self.bits if b.kind == "router" and b.diameter / 2 <= corner + 1e-9]
        return max(fitting, key=lambda b: (b.reach >= depth - 1e-9, b.diameter, b.reach), default=None)

    def counterbore_bit(self, width: float, depth: float = 0.0) -> Bit | None:
        """The smallest bit that bores flat at least ``width`` mm wide, one that reaches ``depth`` mm first."""
        flat = [b for b in self.bits if b.kind == "forstner" and b.diameter >= width - 1e-9]
        return min(flat, key=lambda b: (b.reach < depth - 1e-9, b.diameter), default=None)
