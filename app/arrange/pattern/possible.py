"""What a pattern may be: what can be drilled at all, every refusal beside its field."""

from __future__ import annotations

from app.arrange.change import shown
from app.document.pattern_schema import PatternEntry
from app.document.patterns import boundary_of, pattern_of
from app.errors import EditError, GeometryError, ModelError
from app.model.limits import PATTERN_HOLES


def possible(entry: PatternEntry, units: str, field: str = "pitch") -> int:
    """How many holes a pattern has.

    Args:
        entry: the pattern.
        units: display units, for messages.
        field: the form field that its pitch follows from.

    Raises:
        EditError: its holes run into each other, none fits or there are too many, or its boundary crosses itself.
    """
    hole, pitch = shown(entry.hole, units), shown(entry.pitch, units)
    if entry.pitch <= entry.hole:
        what = "Slots" if entry.order == "slots" else "Holes"
        said = f"{what} of {hole} run into each other at a pitch of {pitch}."
        raise EditError(f"{said} Widen the pitch, or make them smaller.", field)
    if entry.order == "slots" and entry.length < entry.hole:
        got = shown(entry.length, units)
        raise EditError(f"A slot is at least as long as wide, {hole}, got {got}. Make it longer.", "length")
    if entry.order == "rings" and 0 < entry.gap <= entry.hole:
        got = shown(entry.gap, units)
        raise EditError(f"Rings of holes of {hole} are farther apart than that, got {got}. Widen it.", "gap")
    try:
        boundary_of(entry.boundary)
    except GeometryError as error:
        raise EditError(str(error), "shape") from None
    try:
        many = len(pattern_of(entry).holes)
    except (ModelError, GeometryError) as error:
        raise EditError(str(error), field) from None
    if not many:
        raise EditError("No hole fits in. Make the holes smaller, or what they lie in larger.", "hole")
    if many > PATTERN_HOLES.most:
        raise EditError(PATTERN_HOLES.said(many), field)
    return many
