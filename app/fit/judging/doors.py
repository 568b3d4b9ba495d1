"""A door as the rules about it look at it: how large it is, and how far from its pins each thing on it is."""

from __future__ import annotations

import math
from typing import Final

from msgspec import Struct

from app.fit.features.layout import Layout, subjects_of
from app.fit.judging.makings import board_sides, made_by, pieces_of
from app.geometry.shapes import rotate
from app.model.maker.door import DOOR, door_sides, hinge_turn, opening_sides, pin_gap, upright
from app.model.maker.making import Making
from app.model.resolved import Placed

_HINGE: Final = "-hinge-"
"""What is in the ids of hinges: their maker gives them."""


class Door(Struct, frozen=True):
    """A door on its board.

    Args:
        making: its maker, with what it was asked.
        sides: of the bare door, left to right and front to back, along its maker's own axes [mm].
        hinges: ids of its hinges that are there.
        paint: film on each face, the thicker of that of the shop and that of the maker [mm].
    """

    making: Making
    sides: tuple[float, float]
    hinges: tuple[str, ...]
    paint: float

    @property
    def swings(self) -> bool:
        """Whether it was asked for with hinges."""
        return self.making.asked.number("hinges") > 0

    @property
    def opening(self) -> tuple[float, float]:
        """The bare opening, left to right and front to back [mm]."""
        return opening_sides(self.making.asked)

    @property
    def span(self) -> float:
        """The door from the hinges' edge to the free one [mm]."""
        return self.sides[0] if upright(self.making.asked) else self.sides[1]

    @property
    def opening_span(self) -> float:
        """The opening, the same way [mm]."""
        return self.opening[0 if upright(self.making.asked) else 1]

    @property
    def pin(self) -> float:
        """From the middle of the pins to the door's edge [mm]."""
        return pin_gap(self.making.asked)

    def farthest(self, placed: Placed) -> float:
        """How far from the line of the pins the far side of what hangs below, or stands above, a placement is [mm]."""
        shape = placed.flange if opens_in(self.making) else placed.body
        return self.pin if shape is None else self.pin + max(self._inward(x, y) for x, y in shape.core) + shape.radius

    def _inward(self, x: float, y: float) -> float:
        turn = self.making.angle + hinge_turn(self.making.asked)
        dx, _ = rotate((x - self.making.x, y - self.making.y), -turn)
        return dx + self.span / 2


def opens_in(making: Making) -> bool:
    """Whether a door opens inwards, so that its hinges lie on the underside."""
    return making.asked.text("opens") == "in"


def doors_of(layout: Layout) -> list[Door]:
    """Every door on a board; one that a maker made the board for is as large as the board is now."""
    return [_door(layout, making) for making in made_by(layout, DOOR)]


def things_on(layout: Layout, door: Door) -> list[int]:
    """Placements that swing with a door: all where it is the board, else those of its maker."""
    own = door.making
    return [k for k, p in enumerate(layout.placed) if (own.outline or p.maker == own.id) and not p.part.is_pattern]


def radius(far: float, deep: float) -> float:
    """How far from the pins a corner swings [mm]."""
    return math.hypot(far, deep)


def _door(layout: Layout, making: Making) -> Door:
    sides = board_sides(layout, making) if making.outline else door_sides(making.asked)
    hinges = tuple(one for one in pieces_of(layout, making) if one.startswith(f"{making.id}{_HINGE}"))
    paint = max(layout.board.paint, making.asked.number("paint"))
    return Door(making, sides, subjects_of(layout, [layout.ids.index(one) for one in hinges]), paint)
