"""Stations: from a few parameters to the places of a stick and a field of buttons."""

from __future__ import annotations

import math
from typing import Final, Literal

from msgspec import Struct

from app.document.schema import StationEntry
from app.errors import EditError
from app.geometry.shapes import Point, rotate

ShapeName = Literal["row", "straight", "stepped", "arc"]
SHAPES: Final[tuple[ShapeName, ...]] = ("row", "straight", "stepped", "arc")
MOST_BUTTONS: Final = 20
"""Most buttons of one station a new deck is laid out with."""


class Slot(Struct, frozen=True):
    """One place of a station.

    Args:
        part: id of the hardware.
        x, y: from the datum edges [mm].
        row: from the front, 0 first; the stick stands in none and has -1.
        column: from the stick outward, 0 first; the stick has -1.
    """

    part: str
    x: float
    y: float
    row: int = -1
    column: int = -1

    @property
    def is_stick(self) -> bool:
        """Whether the stick stands here."""
        return self.row < 0


class ButtonField(Struct, frozen=True):
    """A button field named by its shape: rows, columns, and how the columns step."""

    shape: Literal["straight", "stepped", "arc"]
    rows: int
    columns: int

    @property
    def name(self) -> str:
        """``1 × 4``, ``2 × 2``, ``2 × 3 straight``, ``2 × 4 arc``."""
        size = f"{self.rows} × {self.columns}"
        plain = self.shape == "straight" and (self.rows == 1 or self.columns < 3)
        return size if plain or self.columns < 2 else f"{size} {self.shape}"


def field_of(shape: str, positions: int) -> ButtonField:
    """The field of a named shape with at least that many positions.

    A row has one row; the others have one row up to three positions and two from four.

    Raises:
        EditError: there is no such shape, or the number is not from 1 to 20.
    """
    if shape not in SHAPES:
        raise EditError(f'There is no shape "{shape[:40]}". Choose one of: {", ".join(SHAPES)}.', "shape")
    if not 1 <= positions <= MOST_BUTTONS:
        raise EditError(f"A station has 1 to {MOST_BUTTONS} buttons, got {positions}. Choose a number.", "buttons")
    rows = 1 if shape == "row" or positions < 4 else 2
    step: Literal["straight", "stepped", "arc"] = "straight"
    if shape == "stepped" or shape == "arc":
        step = shape
    return ButtonField(step, rows, math.ceil(positions / rows))


def named_fields(buttons: int) -> tuple[tuple[ShapeName, str], ...]:
    """The shapes a field of so many buttons can have, each with its name; shapes that are the same stand once.

    Raises:
        EditError: the number is not from 1 to 20.
    """
    found: dict[ButtonField, tuple[ShapeName, str]] = {}
    for shape in SHAPES:
        field = field_of(shape, buttons)
        if field.columns > 1 or shape == "row":
            found.setdefault(field, (shape, field.name))
    return tuple(found.values())


def steps_of(field: ButtonField, pitch: float, step: float, radius: float, grid: float) -> tuple[float, ...]:
    """Shift of each column away from the player [mm], 0 for the least, rounded to ``grid``.

    Args:
        field: the shape.
        pitch: column to column [mm].
        step: how far the second and later columns of a stepped field lie behind the first [mm].
        radius: of the arc, about the wrist [mm]; the arc is highest midway between first and last column.
        grid: [mm].
    """
    if field.shape == "stepped":
        return (0.0, *(_rounded(step, grid) for _ in range(field.columns - 1)))
    if field.shape == "arc":
        middle = (field.columns - 1) / 2
        drops = [_sag((k - middle) * pitch, radius) for k in range(field.columns)]
        return tuple(_rounded(drops[0] - drop, grid) for drop in drops)
    return ()


def slots(station: StationEntry) -> tuple[Slot, ...]:
    """Every place of a station: the stick first, then the rows back to front, each from left to right."""
    away = -1.0 if (station.stick == "right") != station.mirrored else 1.0
    field_width = max(0, station.columns - 1) * station.pitch
    origin, stick_x = _anchors(station, away, field_width)
    stick_y = station.front + max(0, station.rows - 1) / 2 * station.row_spacing
    found = []
    if station.stick != "none":
        found.append(Slot(station.stick_part, stick_x, stick_y))
    pivot = (field_width / 2, max(0, station.rows - 1) * station.row_spacing / 2)
    counts = _row_counts(station)
    for row in reversed(range(station.rows)):
        places = []
        for column in range(counts[row]):
            step = station.steps[column] if column < len(station.steps) else 0.0
            local = (column * station.pitch, row * station.row_spacing + step)
            x, y = _turned(local, pivot, station.tilt)
            places.append(Slot(station.button_part, origin + away * x, station.front + y, row, column))
        found.extend(sorted(places, key=lambda slot: slot.x))
    return tuple(found)


def _anchors(station: StationEntry, away: float, field_width: float) -> tuple[float, float]:
    """X of the first column and of the stick; ``away`` is the direction from the stick to the field."""
    if station.stick == "none":
        return station.centre - away * field_width / 2, station.centre
    if station.stick == "centre":
        return station.centre + away * station.hand_gap, station.centre
    span = station.hand_gap + field_width
    stick_x = station.centre - away * span / 2
    return stick_x + away * station.hand_gap, stick_x


def _row_counts(station: StationEntry) -> list[int]:
    """Positions of each row, front row first: the back rows are filled first."""
    left = station.rows * station.columns if station.buttons is None else station.buttons
    counts = [0] * station.rows
    for row in reversed(range(station.rows)):
        counts[row] = min(station.columns, left)
        left -= counts[row]
    return counts


def _turned(point: Point, pivot: Point, angle: float) -> Point:
    x, y = rotate((point[0] - pivot[0], point[1] - pivot[1]), angle)
    return (x + pivot[0], y + pivot[1])


def _sag(across: float, radius: float) -> float:
    """How far a circle of ``radius`` has fallen ``across`` mm beside its top; a quarter circle at most."""
    beside = min(abs(across), radius)
    return radius - math.sqrt(radius**2 - beside**2)


def _rounded(value: float, grid: float) -> float:
    return round(value / grid) * grid
