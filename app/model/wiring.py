"""Wiring: conductors, supplies and colours to choose from, and what a builder chose for one arrangement."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from app.model.source import Source

Grounds = Literal["ring", "tree"]
"""How ground terminals are joined: one after the other and back to the encoder, or with the least wire."""


class Conductor(Struct, frozen=True):
    """A stranded or solid copper conductor.

    Args:
        id: as ``awg-22``.
        name: as it is sold.
        area: cross-section [mm²].
        resistance: of a length, at 20 °C [Ω/km].
        source: where these come from.
    """

    id: str
    name: str
    area: float
    resistance: float
    source: Source

    def ohms(self, length: float) -> float:
        """Resistance of a length [mm] there, one way [Ω]."""
        return self.resistance * length * 1e-6


class Supply(Struct, frozen=True):
    """What gives an encoder and its lights their 5 V.

    Args:
        id: as ``usb-2``.
        name: as a builder calls it.
        current: it may give at most, to one encoder [mA].
        volts: it gives at worst [V].
        least: what it feeds must still work at [V].
        source: where these come from.
    """

    id: str
    name: str
    current: float
    volts: float
    least: float
    source: Source


class WireColour(Struct, frozen=True):
    """A colour of insulation: its letters in IEC 60757, its name, and how it is drawn (``#rrggbb``)."""

    id: str
    code: str
    name: str
    ink: str
    source: Source


class FixedPin(Struct, frozen=True):
    """A signal tab that the builder put on a pin: placement and number of the tab, encoder and number of its pin."""

    placement: str
    tab: int
    encoder: str
    pin: int


class WiringPlan(Struct, frozen=True):
    """What a builder chose; all of it has a usual value.

    Args:
        encoders: ids of the placements that are encoder boards, in their order; none where nobody chose one.
        supply: what feeds them.
        conductor: what all wires are made of.
        grounds: how ground terminals are joined.
        slack: more than its way, for each wire [%].
        service: more at each wire that ends at an encoder board, so that it can be taken off [mm].
        crimp: what goes into each end [mm].
        step: cut lengths are whole numbers of this [mm]; None for what is usual in the unit that is shown.
        gap: kept between a wire and what it goes round [mm].
        ground_colour, supply_colour, signal_colour: ids of colours; that of signals empty for one after the other.
        apart: placements that are not wired to an encoder.
        pins: what the builder put where.
        problems: what was chosen and is not there any more: the field, and a sentence.
    """

    encoders: tuple[str, ...]
    supply: Supply
    conductor: Conductor
    grounds: Grounds
    slack: float
    service: float
    crimp: float
    step: float | None
    gap: float
    ground_colour: str
    supply_colour: str
    signal_colour: str
    apart: frozenset[str] = frozenset()
    pins: tuple[FixedPin, ...] = ()
    problems: tuple[tuple[str, str], ...] = ()
