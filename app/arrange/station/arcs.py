"""How deep the arc of a button field is: how far its middle columns lie behind its outer ones."""

from __future__ import annotations

import math
from typing import Final, Literal

from app.arrange.change import shown
from app.errors import EditError

FIELD: Final = "arc"
"""Name of the field of a form, and of what a refusal is about."""

FEWEST: Final = 3
"""Columns from which an arc has a depth: of two, both are outer ones."""

_TINY: Final = 1e-9

_STEP: Final = {"mm": 1.0, "inch": 25.4 / 16}
"""What a limit is said in, rounded down [mm]."""


def arc_depth(steps: tuple[float, ...]) -> float:
    """The depth of the arc that columns with these steps lie on [mm]."""
    return max(steps, default=0.0) - min(steps, default=0.0)


def deepest_arc(columns: int, pitch: float) -> float:
    """The deepest arc so many columns ``pitch`` mm apart can lie on: outer columns where it is half a circle [mm]."""
    inner, outer = _half(columns, pitch)
    return math.sqrt(outer**2 - inner**2)


def deepest_said(columns: int, pitch: float, units: Literal["mm", "inch"]) -> str:
    """The same in words, rounded down to what a rule shows."""
    step = _STEP[units]
    return shown(math.floor(deepest_arc(columns, pitch) / step + _TINY) * step, units)


def arc_steps(
    columns: int, pitch: float, sagitta: float, grid: float, units: Literal["mm", "inch"]
) -> tuple[float, ...]:
    """Shift of each column away from the player on an arc as deep as asked [mm].

    The outer columns have none and the middle ones exactly ``sagitta``; those between lie on the circle through them,
    to
    the nearest multiple of ``grid``. With the half widths a to the middle columns and w to the outer ones, the circle's
    middle lies v = ((w² − a²) / d − d) / 2 in front of the outer columns.

    Args:
        columns: how many.
        pitch: column to column [mm].
        sagitta: of the arc, above 0 [mm].
        grid: [mm].
        units: ``mm`` or ``inch``, for messages.

    Raises:
        EditError: so few columns have no depth, or the arc would be more than half a circle.
    """
    if columns < FEWEST:
        raise EditError("An arc needs three columns or more. Add buttons, or leave its depth blank.", FIELD)
    if sagitta > deepest_arc(columns, pitch) + _TINY:
        most, got, apart = deepest_said(columns, pitch, units), shown(sagitta, units), shown(pitch, units)
        said = f"{columns} columns {apart} apart make an arc up to {most} deep, half a circle; got {got}."
        raise EditError(f"{said} Enter less, or space the columns further apart.", FIELD)
    inner, outer = _half(columns, pitch)
    below = ((outer**2 - inner**2) / sagitta - sagitta) / 2
    radius = math.hypot(outer, below)
    middle = (columns - 1) / 2
    steps = []
    for k in range(columns):
        across = abs(k - middle) * pitch
        rise = math.sqrt(max(0.0, radius**2 - across**2)) - below
        if across - inner < _TINY:
            steps.append(sagitta)
        elif outer - across < _TINY:
            steps.append(0.0)
        else:
            steps.append(min(sagitta, round(rise / grid) * grid))
    return tuple(steps)


def _half(columns: int, pitch: float) -> tuple[float, float]:
    """From the middle of the field to the nearest and to the farthest column [mm]."""
    return (0.0 if columns % 2 else pitch / 2), (columns - 1) / 2 * pitch
