"""Sizes in words, the same on every drawing."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from app.units import Unit, format_exact, format_inches, format_inches_twice, format_named

if TYPE_CHECKING:
    from app.model.part import Face
    from app.model.resolved import Counterbore, Hole, Placed, Recess, ResolvedBoard


def unit_of(board: ResolvedBoard) -> Unit:
    """The display unit of the board's design."""
    return Unit.INCH if board.units == "inch" else Unit.MM


def stop_words(stops: int) -> str:
    """What stands on everything that is made of a board with so many stops."""
    return f"NOT BUILDABLE AS DRAWN: {counted_stops(stops)}"


def counted_stops(stops: int) -> str:
    """``1 stop``, ``2 stops``."""
    return f"{stops} stop{'' if stops == 1 else 's'}"


def revision_words(board: ResolvedBoard) -> str:
    """Which state of the design is drawn: a published revision, or a step of its timeline; or that it is neither."""
    return board.revision or "no revision"


def face_words(face: Face) -> str:
    """Which face it is; the underside is drawn as it is seen when the board is turned over."""
    return "top face" if face == "top" else "underside, mirrored"


def length(mm: float, unit: Unit) -> str:
    """A length to read on a drawing: to 0.1 mm without needless zeros, or to 1/64 in."""
    if unit is Unit.INCH:
        return signed(format_inches(mm))
    return signed(format_exact(round(mm, 1)) + " mm")


def exact(mm: float, unit: Unit) -> str:
    """A board's or a bit's size, to 0.01 mm without needless zeros, or to 1/64 in."""
    if unit is Unit.INCH:
        return signed(format_inches(mm))
    return signed(format_exact(round(mm, 2)) + " mm")


def board_size(board: ResolvedBoard) -> str:
    """Its width × its depth from front to back, as a board's size is said."""
    unit = unit_of(board)
    return f"{exact(board.width, unit)} × {exact(board.depth_front_to_back, unit)}"


def signed(words: str) -> str:
    """A length with a true minus sign, as wide as a figure, which reading a length takes as well."""
    return "−" + words[1:] if words.startswith("-") else words


def bare(mm: float, unit: Unit) -> str:
    """As :func:`exact`, without the unit in mm."""
    return exact(mm, unit).removesuffix(" mm")


def hole_size(hole: Hole, unit: Unit) -> str:
    """What is drawn and drilled: the bit as it is sold, without one the width drawn; two sides if it is not round.

    A width drawn is the part's own: ``28 mm`` in inches too, for no part is made for a 1 7/64" hole.
    """
    if hole.is_circle:
        if hole.bit is not None:
            return exact(hole.bit.diameter, Unit.INCH if hole.bit.inch else Unit.MM)
        return format_named(hole.diameter, unit)
    core, r = hole.shape.core, hole.shape.radius
    longest = max(math.dist(a, b) for a, b in pairwise(core)) + 2 * r
    return f"{bare(longest, unit)} × {exact(hole.cutout.width, unit)}"


def bore_size(bore: Counterbore, board: ResolvedBoard) -> str:
    """Counterbore as ``32 × 9.5 mm``: the bit as it is sold, and the depth in display units."""
    unit = unit_of(board)
    bit = next((b for b in board.tooling.bits if abs(b.diameter - bore.diameter) < 1e-6), None)
    sold = unit if bit is None else Unit.INCH if bit.inch else Unit.MM
    wide = bare(bore.diameter, sold) if sold is unit else exact(bore.diameter, sold)
    return f"{wide} × {exact(bore.depth, unit)}"


def recess_size(recess: Recess, unit: Unit) -> str:
    """Recess as ``97 × 55 mm``, in display units."""
    return f"{bare(recess.width, unit)} × {exact(recess.height, unit)}"


def thickness(mm: float, unit: Unit) -> str:
    """A board's thickness: ``18 mm``, or ``45/64" (0.709")``, for a sheet is measured finer than a rule tells."""
    return signed(format_inches_twice(mm)) if unit is Unit.INCH else exact(mm, unit)


def pattern_words(placed: Placed, unit: Unit) -> str:
    """A pattern by name, letter and holes: ``Grille A, 61 holes of 5 mm``, ``14 slots of 20 × 4 mm``."""
    part, pattern = placed.part, placed.part.pattern
    if pattern is None:
        return part.name
    size = format_named(pattern.hole, unit)
    if pattern.order == "slots":
        long = format_named(pattern.length, unit)
        size = f"{long.removesuffix(' mm') if size.endswith(' mm') else long} × {size}"
    many, one = len(pattern.holes), "slot" if pattern.order == "slots" else "hole"
    holes = f"{many:,} {one}{'' if many == 1 else 's'}"
    # Without a name of its own a pattern is called by its holes, which are said anyway.
    name = "Pattern" if part.name.startswith(f"{holes} ") else part.name
    return f"{name} {placed.label}".strip() + f", {holes} of {size}"


def part_title(placed: Placed, unit: Unit) -> str:
    """Words for a pointer at rest and a screen reader."""
    name = f"{placed.label}, {placed.part.name}" if placed.label else placed.part.name
    if placed.part.is_pattern:
        name = pattern_words(placed, unit)
    where = f"{length(placed.x, unit)} from the left edge, {length(placed.y, unit)} from the front edge"
    return f"{name}; {where}" + ("" if placed.drill else "; not drilled") + held_words(placed, "; ")


def held_words(placed: Placed, before: str) -> str:
    """That a part stays where it is, after ``before``: something of it is drilled already, or it is locked."""
    return f"{before}drilled already" if placed.begun else f"{before}locked" if placed.locked else ""
