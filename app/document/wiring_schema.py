"""Wiring in the design file: what the builder chose for one arrangement; what is left out is as usual."""

from typing import Annotated, Literal

from pydantic import Field

from app.catalogue.fields import Between, Id, Record, UpTo
from app.model import limits

Pin = Annotated[int, Field(strict=True, ge=1, le=200)]
Tab = Annotated[int, Field(strict=True, ge=1, le=64)]


class FixedPinEntry(Record):
    """A signal tab on a pin of the builder's choice.

    Args:
        placement: the part; ``tab`` counts its signal tabs from 1.
        encoder: the placement that is the encoder board; ``pin`` counts its pins for such signals from 1.
    """

    placement: Id
    tab: Tab
    encoder: Id
    pin: Pin


class WiringPlanEntry(Record):
    """How an arrangement is wired. Encoder boards are placements, as everything is that hangs below a board.

    Args:
        supply, conductor: rows of the catalogue.
        grounds: ground terminals one after the other and back to the encoder, or with the least wire.
        slack: more than its way, for each wire [%].
        service: more at each wire that ends at an encoder board, so that it can be taken off [mm].
        step: cut lengths are whole numbers of this [mm].
        ground_colour, supply_colour, signal_colour: of the wires; that of signals left out for one after the other.
        apart: parts that are not wired to an encoder.
        pins: signal tabs on pins of the builder's choice.
    """

    supply: Id | None = None
    conductor: Id | None = None
    grounds: Literal["ring", "tree"] = "ring"
    slack: Annotated[float, Between(0, 100)] | None = None
    service: Annotated[float, Between(0, 2000)] | None = None
    step: Annotated[float, Between(0.5, 500)] | None = None
    ground_colour: Id | None = None
    supply_colour: Id | None = None
    signal_colour: Id | None = None
    apart: Annotated[tuple[Id, ...], UpTo(limits.APART)] = ()
    pins: Annotated[tuple[FixedPinEntry, ...], UpTo(limits.FIXED_PINS)] = ()
