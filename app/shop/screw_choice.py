"""Which screw to buy for a part: as long as the part says, else as the board it goes into bears."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.fit.features.part_features import is_bolt
from app.fit.judging.wood_screws import clamped, drive_of, is_wood
from app.model.part import ScrewFixing
from app.model.resolved import Placed, ResolvedBoard
from app.units import INCH

STOCK: Final = {
    "mm": (8.0, 10.0, 12.0, 13.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0),
    "inch": tuple(n * INCH / 8 for n in (3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 20)),
}
"""Lengths that wood screws are commonly sold by, from memory [mm]."""

_SLIGHT: Final = 1e-6


class ScrewChoice(Struct, frozen=True):
    """Screws of one part.

    Args:
        bolt: whether they go right through a hole of the part and hold in what lies beyond the board.
        count: how many.
        length: under the head [mm]; of a bolt what it goes through, which it has to exceed; None if none will do.
        known: whether that is what to buy.
        why: what to do first where it is not; empty where it is.
    """

    bolt: bool
    count: int
    length: float | None
    known: bool
    why: str


def screws_of(board: ResolvedBoard, placed: Placed) -> tuple[ScrewChoice, ...]:
    """The screws that hold a part, those in wood apart from bolts; none where no screws hold it."""
    fixing = placed.part.fixing
    if not isinstance(fixing, ScrewFixing) or not fixing.holes:
        return ()
    bolts = sum(is_bolt(placed.part, at) for at in fixing.holes)
    found = []
    if len(fixing.holes) > bolts:
        found.append(_in_wood(board, placed, fixing, len(fixing.holes) - bolts))
    if bolts:
        found.append(_bolt(board, placed, fixing, bolts))
    return tuple(found)


def _bolt(board: ResolvedBoard, placed: Placed, fixing: ScrewFixing, count: int) -> ScrewChoice:
    if fixing.screw_length is not None:
        return ScrewChoice(True, count, fixing.screw_length, known=True, why="")
    through = board.thickness + clamped(placed.part, fixing)
    return ScrewChoice(True, count, through, known=False, why="add what it holds in; a nut if that has no thread")


def _in_wood(board: ResolvedBoard, placed: Placed, fixing: ScrewFixing, count: int) -> ScrewChoice:
    """The longest that is sold and ends short of the other face, if so much of it holds as has to."""
    if fixing.screw_length is not None:
        return ScrewChoice(False, count, fixing.screw_length, known=True, why="")
    rule, held_up = catalogue().rule, clamped(placed.part, fixing)
    most = held_up + drive_of(placed.part, fixing, board.thickness, placed.recess).wood - rule("screw-pilot-floor")
    length = max((each for each in STOCK[board.units] if each <= most + _SLIGHT), default=None)
    if length is None:
        return ScrewChoice(False, count, None, known=False, why="none that is sold is short enough")
    layer = board.layers[-1 if fixing.side == "under" else 0]
    if not is_wood(layer.material.family):
        return ScrewChoice(False, count, length, known=False, why="wood screws do not hold in this: see the fit report")
    if length - held_up < rule("screw-hold") * fixing.screw_diameter - _SLIGHT:
        return ScrewChoice(False, count, length, known=False, why="holds too little: see the fit report")
    return ScrewChoice(False, count, length, known=True, why="")
