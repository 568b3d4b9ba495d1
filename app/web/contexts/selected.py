"""The selected card: what can be typed and switched of one part."""

from __future__ import annotations

from dataclasses import dataclass

from app.catalogue.load import catalogue
from app.document.resolve import design_parts
from app.document.schema import Design
from app.drafting.words import exact, length
from app.model.resolved import Placed, ResolvedBoard
from app.units import Unit
from app.web.contexts.here import Choice


@dataclass(frozen=True, slots=True)
class Selected:
    """The selected card of one placement.

    Args:
        id: of the placement.
        label: its letter; may be empty.
        part: name of the hardware.
        x, y: from the datum edges, as shown.
        angle: degrees, as shown.
        drill: whether it is drilled.
        locked: whether it may not be moved.
        counterbore: its counterbore in words; empty if none.
        hole: what is drilled for it, in words.
        source: where the numbers of the part come from.
        parts: other hardware of its kind to use instead.
    """

    id: str
    label: str
    part: str
    x: str
    y: str
    angle: str
    drill: bool
    locked: bool
    counterbore: str
    hole: str
    source: str
    parts: tuple[Choice, ...]


def selected_card(placed: Placed, board: ResolvedBoard, design: Design) -> Selected:
    """The card of a part."""
    unit = Unit(board.units)
    bore = placed.counterbore
    same = [p for p in design_parts(design, catalogue()).values() if p.kind == placed.part.kind]
    return Selected(
        id=placed.id,
        label=placed.label,
        part=placed.part.name,
        x=length(placed.x, unit),
        y=length(placed.y, unit),
        angle=f"{round(placed.angle, 2) + 0.0:g}°",
        drill=placed.drill,
        locked=placed.locked,
        counterbore=f"{exact(bore.diameter, unit)} wide, {exact(bore.depth, unit)} deep" if bore else "",
        hole=_hole_words(placed, unit),
        source=f"{placed.part.source.basis}: {placed.part.source.text}",
        parts=tuple(Choice(p.id, p.name, p.id == placed.part.id) for p in same),
    )


def _hole_words(placed: Placed, unit: Unit) -> str:
    hole = placed.holes[0]
    if not hole.is_circle:
        return "cut-out"
    if hole.bit is None:
        return f"{exact(hole.diameter, unit)} hole, no bit for it"
    kind = hole.bit.kind.replace("-", " ").replace("forstner", "Forstner")
    return f"{exact(hole.bit.diameter, Unit.INCH if hole.bit.inch else Unit.MM)} {kind} bit"
