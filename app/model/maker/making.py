"""A maker at its place on a board, with what it was asked: what the rules about what is made know."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from msgspec import Struct

from app.model.maker import display, door, fan, grille, header, sockets
from app.model.maker.measure import Asked, Measure, Value, answered

ASKS: Final[Mapping[str, tuple[Measure, ...]]] = MappingProxyType(
    {
        grille.GRILLE: grille.MEASURES,
        fan.FAN: fan.MEASURES,
        sockets.SOCKETS: sockets.MEASURES,
        door.DOOR: door.MEASURES,
        display.DISPLAY: display.MEASURES,
        header.HEADER: header.MEASURES,
    }
)
"""The measures of each maker, by its name."""


class Making(Struct, frozen=True):
    """What was asked of a maker on a board.

    Args:
        id: which placements bear.
        maker: its name.
        x, y: the middle of what it made, from the datum edges [mm].
        angle: turning, anticlockwise [degrees].
        asked: every measure of it.
        outline: whether it made the board too.
    """

    id: str
    maker: str
    x: float
    y: float
    angle: float
    asked: Asked
    outline: bool = False


class AirWays(Struct, frozen=True):
    """What lets air through in a whole design [mm²].

    Args:
        out: bores of the fans that blow out.
        into: bores of those that blow in.
        vents: holes in an order that no maker of fans or loudspeakers made.
    """

    out: float = 0.0
    into: float = 0.0
    vents: float = 0.0


def making(
    ident: str, maker: str, at: tuple[float, float, float], given: Mapping[str, Value], *, outline: bool = False
) -> Making | None:
    """A maker of the design file at its place; None where this program does not know it."""
    measures = ASKS.get(maker)
    return None if measures is None else Making(ident, maker, *at, answered(measures, given), outline)
