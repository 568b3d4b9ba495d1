"""Legends: what is lettered on a board beside its parts, as it is asked for."""

from __future__ import annotations

from typing import Final, Literal, get_args

from msgspec import Struct

LegendPlace = Literal["back", "front", "left", "right", "ring", "free"]
"""Where a legend stands: on a side of its part, as a ring round it, or at two measures from its middle."""

PLACES: Final[tuple[LegendPlace, ...]] = get_args(LegendPlace)
SIDES: Final[tuple[LegendPlace, ...]] = ("back", "front", "right", "left")
"""The sides of a part, in the order in which another is looked for: the hand comes from the front."""

LegendColour = Literal["black", "white", "grey", "silver", "red", "yellow", "green", "blue"]
COLOURS: Final[tuple[LegendColour, ...]] = get_args(LegendColour)

LIGHT: Final[frozenset[LegendColour]] = frozenset({"white", "silver", "yellow"})
"""Colours that are read on a dark board, where thinner strokes are read better."""

USUAL_HEIGHT: Final = 5.0
"""Height of capitals where nobody says another [mm]: read from 800 mm with room to spare. Choice of this program."""

USUAL_DISTANCE: Final = 700.0
"""How far eyes are from a deck where nobody says [mm]: a standing player's. From memory, no source."""


class Legend(Struct, frozen=True):
    """One legend.

    Args:
        text: what it says; empty where it is a sign.
        sign: name of the sign; empty where it is a text.
        height: of its capitals, or of the sign; None for the board's [mm].
        place: where it stands.
        x, y: middle of a ``free`` one from the part's origin [mm].
        turn: of its baseline, anticlockwise; of a ring how far its middle is from the back [degrees].
        covered: whether it may lie under a flange.
    """

    text: str = ""
    sign: str = ""
    height: float | None = None
    place: LegendPlace = "back"
    x: float = 0.0
    y: float = 0.0
    turn: float = 0.0
    covered: bool = False


class Lettering(Struct, frozen=True):
    """What all legends of a board have in common.

    Args:
        height: of capitals [mm].
        colour: what they are cut or printed in.
        distance: from which they are read [mm].
    """

    height: float = USUAL_HEIGHT
    colour: LegendColour = "black"
    distance: float = USUAL_DISTANCE


PLAIN: Final = Lettering()
"""What legends have in common where nobody says anything else."""
