"""Patterns of the design file as the model has them: their holes, and the part that a placement of one has."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from app.document.outlines import outline_of
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.errors import DocumentError, GeometryError, ModelError
from app.geometry.lattices import Lattice
from app.geometry.outline import Corner, Outline
from app.geometry.shapes import circle
from app.model.part import Body, Part
from app.model.pattern import Pattern
from app.model.pattern_cuts import cutouts_of
from app.model.source import Source

_ORDERS: Final = {
    "square": "in squares",
    "staggered-60": "staggered at 60°",
    "staggered-45": "staggered at 45°",
    "rings": "in rings",
    "slots": "in rows",
}


@lru_cache(maxsize=128)
def pattern_of(entry: PatternEntry, follows: bool = False) -> Pattern:
    """The frozen pattern of a document's measures.

    One in the outline of its board is as :func:`app.document.board_patterns.pattern_on` has it; here, where no board
    is known, it is a rectangle of its size.

    Args:
        entry: its measures.
        follows: whether its boundary is the outline of the board that it is on.

    Raises:
        ModelError: its holes run into each other, or slots are shorter than wide.
        GeometryError: its boundary cannot exist.
    """
    length = entry.length if entry.order == "slots" else entry.hole
    along = entry.gap or (entry.pitch if entry.order == "rings" else entry.pitch - entry.hole)
    if entry.order == "slots":
        along += length
    lattice = Lattice(entry.order, entry.pitch, max(along, 0.0), entry.middle)
    return Pattern(
        lattice, entry.hole, length, boundary_of(entry.boundary), entry.boundary.inset, entry.numbers, follows
    )


def boundary_of(entry: BoundaryEntry) -> Outline:
    """What the holes of a pattern lie in, about its middle; an outline stays where its corners are.

    Raises:
        GeometryError: it cannot exist.
    """
    if entry.shape == "outline":
        return outline_of(entry.corners)
    width, height = entry.width, entry.width if entry.shape == "circle" else entry.height
    round_by = width / 2 if entry.shape == "circle" else min(entry.corner, width / 2, height / 2)
    setback = (round_by, round_by) if round_by > 0 else None
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return Outline(tuple(Corner(sx * width / 2, sy * height / 2, setback) for sx, sy in signs))


def pattern_parts(entries: tuple[PatternEntry, ...]) -> dict[str, Part]:
    """The parts that placements of patterns have, by id.

    Raises:
        DocumentError: one of the patterns cannot exist.
    """
    found = {}
    for index, entry in enumerate(entries):
        try:
            found[entry.id] = pattern_part(entry)
        except (ModelError, GeometryError) as error:
            raise DocumentError(str(error), f"patterns[{index}]") from None
    return found


def pattern_part(entry: PatternEntry, follows: bool = False) -> Part:
    """The part of a pattern as it is where it is placed.

    Args:
        entry: its measures there.
        follows: whether its boundary is the outline of the board that it is on.

    Raises:
        ModelError: its holes run into each other, or none fits.
        GeometryError: its boundary cannot exist.
    """
    return _part_of(entry, follows)


def pattern_name(entry: PatternEntry) -> str:
    """What a pattern is called: its own name, or how many holes it has, and how they stand."""
    many = len(pattern_of(entry).holes)
    holes = "slot" if entry.order == "slots" else "hole"
    return entry.name or f"{many:,} {holes}{'' if many == 1 else 's'} of {entry.hole:g} mm, {_ORDERS[entry.order]}"


@lru_cache(maxsize=128)
def _part_of(entry: PatternEntry, follows: bool) -> Part:
    pattern = pattern_of(entry, follows)
    cutouts = cutouts_of(pattern)
    if not cutouts:
        raise ModelError(
            "No hole of this pattern fits into its boundary. Make the boundary larger, or the holes smaller."
        )
    return Part(
        id=entry.id,
        name=pattern_name(entry),
        kind="pattern",
        mount="top",
        cutouts=cutouts,
        flange=None,
        fixing=None,
        body=Body(circle(entry.hole), 0.0),
        lever=None,
        wiring=None,
        source=Source("As entered.", "measured"),
        pattern=pattern,
    )
