"""Distances from one part to another, in words and as fields to place it by."""

from __future__ import annotations

from msgspec import Struct

from app.arrange.placement.relative import bearing
from app.fit.features.measure import PartDistances
from app.model.resolved import Placed, ResolvedBoard
from app.service.checks.measuring import between, nearest
from app.service.screens.choices import Choice
from app.service.screens.words import as_typed, length, minus
from app.units import Unit


class MeasuredDistance(Struct, frozen=True):
    """What lies between the part in hand and another.

    Args:
        id: of the other part.
        name: its letter, or what it is.
        rows: what is measured and how much it is, in words.
        dx, dy: of the part in hand as seen from the other, as they stand in fields.
        distance, direction: likewise.
        others: what can be measured to instead; empty where two parts are selected.
    """

    id: str
    name: str
    rows: tuple[tuple[str, str], ...]
    dx: str
    dy: str
    distance: str
    direction: str
    others: tuple[Choice, ...]


def measured_from(held: Placed, board: ResolvedBoard, to: str) -> MeasuredDistance | None:
    """The distances from the part ``to``, or the nearest, to the one in hand; None where it is alone."""
    other = board.placed(to) if to and to != held.id else None
    other = other or nearest(board, held)
    if other is None:
        return None
    others = sorted((p for p in board.placements if p.id != held.id), key=lambda p: (p.label or p.part.name, p.id))
    choices = tuple(Choice(p.id, f"{p.label or '–'} · {p.part.name}", p.id == other.id) for p in others)
    return _measured(held, other, board, choices)


def measured_between(held: Placed, other: Placed, board: ResolvedBoard) -> MeasuredDistance:
    """The distances between two selected parts."""
    return _measured(held, other, board, ())


def _measured(held: Placed, other: Placed, board: ResolvedBoard, others: tuple[Choice, ...]) -> MeasuredDistance:
    unit = Unit(board.units)
    found = between(board, held.id, other.id)
    dx, dy = held.x - other.x, held.y - other.y
    distance, direction = bearing((held.x, held.y), (other.x, other.y))
    return MeasuredDistance(
        id=other.id,
        name=other.label or other.part.name,
        rows=_rows(found, unit),
        dx=as_typed(dx, unit),
        dy=as_typed(dy, unit),
        distance=as_typed(distance, unit),
        direction=minus(f"{round(direction, 2) + 0.0:g}°"),
        others=others,
    )


def _rows(found: PartDistances, unit: Unit) -> tuple[tuple[str, str], ...]:
    rows = [("Centre to centre", length(found.centres, unit))]
    for words, value in (("Hole edge to hole edge", found.rims), ("Flange to flange", found.flanges)):
        if value is not None:
            rows.append((words, length(value, unit)))
    if found.below is not None:
        what = " to ".join(found.below_what)
        rows.append((f"Below, {what}", length(found.below, unit)))
        room = "a spanner" if "nut" in found.below_what else "wires and fitting"
        rows.append(
            (f"less {length(found.below_needed, unit)} for {room}", length(found.below - found.below_needed, unit))
        )
    rows.append(("Across, along", f"{length(abs(found.dx), unit)}, {length(abs(found.dy), unit)}"))
    return tuple(rows)
