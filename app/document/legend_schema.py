"""Legends in the design file: what is lettered on a board beside its parts."""

from typing import Annotated, Literal

from pydantic import StringConstraints

from app.catalogue.fields import Angle, Between, Coordinate, Flag, Id, Record, UpTo
from app.model import limits
from app.model.legend import USUAL_DISTANCE, USUAL_HEIGHT, LegendColour, LegendPlace

LegendText = Annotated[str, StringConstraints(pattern=r"^[^\x00-\x1f\x7f]*$"), UpTo(limits.LEGEND)]
LegendHeight = Annotated[float, Between(limits.LOWEST_LEGEND, limits.TALLEST_LEGEND)]


class LegendEntry(Record):
    """What is lettered beside one part: a ``text``, or a ``sign`` by its name.

    Args:
        height: of capitals, or of the sign [mm]; the board's where there is none.
        place: on a side of the part; as a ring round it; or free, its middle ``x``, ``y`` from the part's origin [mm].
        turn: of its baseline, anticlockwise; of a ring, how far its middle is from the back [degrees].
        covered: whether it may lie under a flange.
    """

    text: LegendText = ""
    sign: Id | Literal[""] = ""
    height: LegendHeight | None = None
    place: LegendPlace = "back"
    x: Coordinate = 0.0
    y: Coordinate = 0.0
    turn: Angle = 0.0
    covered: Flag = False


class LetteringEntry(Record):
    """What all legends of a board have in common: height of capitals [mm], colour, reading distance [mm]."""

    height: LegendHeight = USUAL_HEIGHT
    colour: LegendColour = "black"
    distance: Annotated[float, Between(100, 10_000)] = USUAL_DISTANCE
