"""Holes in an order as makers drill them: the pattern that their measures ask for, and its figures."""

from __future__ import annotations

import math
from typing import cast

from app.arrange.change import shown
from app.arrange.maker.made import Figure
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import pattern_of
from app.errors import EditError, GeometryError, ModelError
from app.geometry.lattices import Order
from app.model.limits import PATTERN_HOLES
from app.model.maker.measure import Asked
from app.model.maker.patterning import MIDDLE, MOST
from app.model.open_area import LEAST_WEB, pitch_for_open_area


def pattern_entry(asked: Asked, name: str, boundary: BoundaryEntry, called: str) -> PatternEntry:
    """The pattern that a maker's measures ask for.

    Args:
        asked: every measure.
        name: of the one that says how holes stand.
        boundary: what the holes lie in.
        called: what the pattern is called.

    Raises:
        EditError: the holes run into each other, none fits, or there are too many; beside the measure.
    """
    order, hole, share = asked.text(name), asked.number("hole"), asked.number("open-area")
    length = max(asked.number("slot"), hole) if order == "slots" else 0.0
    pitch, field = asked.number("pitch"), "pitch"
    if share > 0:
        pitch, field = round(pitch_for_open_area(cast("Order", order), hole, share, length), 3), "open-area"
    if order == "slots" and asked.number("slot") < hole:
        wide, got = shown(hole, asked.units), shown(asked.number("slot"), asked.units)
        raise EditError(f"A slot is at least as long as wide, {wide}, got {got}. Make it longer.", "slot")
    if pitch < hole + LEAST_WEB:
        wide, needed, got = (shown(v, asked.units) for v in (hole, hole + LEAST_WEB, pitch))
        least = f"Holes of {wide} need a pitch of {needed} or more, got {got}."
        remedy = "Ask for less open area." if field == "open-area" else "Widen the pitch, or make the holes smaller."
        raise EditError(f"{least} {remedy}", field)
    entry = PatternEntry(
        id="pattern", name=called, order=cast("Order", order), hole=hole, pitch=pitch, length=length, boundary=boundary
    )
    return possible(entry, field, middle=asked.text(MIDDLE))


def possible(entry: PatternEntry, field: str, hole: str = "hole", middle: str = MOST) -> PatternEntry:
    """The same, with a hole in its middle or not, as asked or whichever gives more holes.

    Args:
        entry: the pattern.
        field: the measure that a problem of its distances stands beside.
        hole: the measure of its holes.
        middle: ``hole``, ``gap``, or whichever gives more.

    Raises:
        EditError: it has none, or too many.
    """
    both = [entry.model_copy(update={"middle": each}) for each in ("hole", "gap") if middle in (MOST, each)]
    try:
        many = [len(pattern_of(each).holes) for each in both]
    except (ModelError, GeometryError) as error:
        raise EditError(str(error), field) from None
    if max(many) == 0:
        raise EditError("No hole fits. Make the holes smaller, or what they lie in larger.", hole)
    if max(many) > PATTERN_HOLES.most:
        raise EditError(PATTERN_HOLES.said(max(many)), field)
    return both[many.index(max(many))]


def pattern_figures(entry: PatternEntry) -> tuple[Figure, ...]:
    """Pitch, number of holes, and the web between them as drawn."""
    pattern = pattern_of(entry)
    web = (Figure("web", "Thinnest web, as drawn", pattern.web, "length"),) if math.isfinite(pattern.web) else ()
    return (
        Figure("pitch", "Pitch", entry.pitch, "length"),
        Figure("holes", "Holes", float(len(pattern.holes)), "count"),
        *web,
    )
