"""A pattern on a template: what to drill once at each side of it, the number of each hole in the hole itself."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.drafting.facing import Facing
from app.drafting.words import hole_size
from app.model.pattern import Pattern
from app.model.resolved import Placed
from app.scene.metrics import CAP_HEIGHT, text_width
from app.scene.palette import TEXT_MUTED
from app.scene.primitives import Point, Text
from app.units import Unit

_SIZE: Final = 2.2
"""Height of the em square of the numbers [mm]: as small as anything on a sheet."""

_CLEAR: Final = 0.35
"""What a number keeps clear of the lines through the centre and of the rim [mm]."""

_FINE: Final = 0.3
"""What the arms of neighbouring crosses keep apart, as a share of the web between their holes."""


class CentreMark(Struct, frozen=True):
    """What is written beside a hole.

    Args:
        at: its centre in the drawing [mm].
        clear: radius the words keep away from [mm].
        letter: the letter of the part; empty for further holes of the same part.
        lines: what to drill, most needed first.
    """

    at: Point
    clear: float
    letter: str
    lines: tuple[str, ...]


def pattern_marks(placed: Placed, view: Facing, unit: Unit) -> list[CentreMark]:
    """Words beside the outermost holes on its four sides: of a large pattern a sheet may show one side alone."""
    many = len(placed.holes)
    count = f"{many:,} holes" if many > 1 else "1 hole"
    return [
        CentreMark(view.point(hole.centre), hole.shape.reach, placed.label, (f"{count}, {hole_size(hole, unit)}",))
        for hole in (placed.holes[k] for k in outermost(placed))
    ]


def outermost(placed: Placed) -> list[int]:
    """Indices of the holes farthest to the back, front, right and left, each once."""
    at = [hole.centre for hole in placed.holes]
    sides = {max(range(len(at)), key=lambda k: (round(s * at[k][axis], 6), -k)) for axis in (1, 0) for s in (1, -1)}
    return sorted(sides)


def pattern_numbers(placed: Placed, pattern: Pattern, view: Facing) -> list[Text]:
    """The number of each hole to the upper right of its centre, where that much of the hole is free."""
    found = []
    for hole, number in zip(placed.holes, pattern.holes.numbers.tolist(), strict=True):
        text, (x, y) = str(number), view.point(hole.centre)
        wide, high = text_width(text, _SIZE) + 2 * _CLEAR, CAP_HEIGHT * _SIZE + 2 * _CLEAR
        if hole.is_circle and wide**2 + high**2 <= hole.shape.radius**2:
            found.append(Text((x + _CLEAR, y + _CLEAR), text, _SIZE, TEXT_MUTED))
    return found


def arm_beyond(pattern: Pattern, beyond: float) -> float:
    """How far the arms of a cross reach beyond a hole of a pattern, so that they meet no other cross [mm]."""
    return min(beyond, max(0.0, pattern.web * (0.5 - _FINE / 2)))
