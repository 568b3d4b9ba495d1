"""The part at a placement: what can be measured of it, and its correction as one step."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby

from msgspec import Struct

from app.arrange.change import located
from app.arrange.hardware import own_hardware
from app.arrange.hardware.measures import PartMeasure, caliper, measures_of
from app.arrange.hardware.provenance import Provenance, provenance_of
from app.catalogue.hardware import PartEntry
from app.catalogue.load import catalogue
from app.document.where import Where
from app.drafting.hardware.part_drawing import part_drawing
from app.errors import NotFoundError
from app.model.resolved import Placed
from app.model.source import Basis
from app.service.edits.changes import DesignChange
from app.service.sight import Sight
from app.units import Unit
from app.writers import svg

Correction = own_hardware.PartCorrection
"""What was typed about a part."""


class PartInHand(Struct, frozen=True):
    """The part at one placement.

    Args:
        placed: where it is.
        entry: its row.
        measures: its measures, in the order of the form.
        provenance: how far to trust each.
        own: whether the design carries it itself.
        holes: how many holes of the design it is in.
        unused: parts the design carries itself and does not use.
    """

    placed: Placed
    entry: PartEntry
    measures: tuple[PartMeasure, ...]
    provenance: Provenance
    own: bool
    holes: int
    unused: tuple[PartEntry, ...]


def part_in_hand(sight: Sight, where: Where, placement: str) -> PartInHand:
    """The part at a placement of the board in view.

    Raises:
        NotFoundError: no such placement.
    """
    design = sight.design
    _, _, at = located(design, where.board, where.arrangement, placement)
    placed = sight.checked.resolved.placed(at.id)
    if placed is None:
        raise NotFoundError(f"There is no part “{placement[:40]}” on this board any more.")
    entry = own_hardware.part_entry(design, at.part, catalogue())
    measures = measures_of(entry)
    return PartInHand(
        placed=placed,
        entry=entry,
        measures=measures,
        provenance=provenance_of(entry, measures),
        own=own_hardware.own_part(design, at.part) is not None,
        holes=len(own_hardware.users_of(design, at.part)),
        unused=tuple(p for p in design.hardware if not own_hardware.users_of(design, p.id)),
    )


class MeasureField(Struct, frozen=True):
    """A field for one measure.

    Args:
        name: of the field, and of the dimension in the drawing.
        words: what it is.
        how: what to measure.
        value: as shown.
        basis: how far to trust it.
    """

    name: str
    words: str
    how: str
    value: str
    basis: Basis


class MeasureGroup(Struct, frozen=True):
    """Measures of one thing: the hole, the nut, the body."""

    title: str
    fields: tuple[MeasureField, ...]


def measure_groups(held: PartInHand, unit: Unit, typed: Mapping[str, str]) -> tuple[MeasureGroup, ...]:
    """The measures of a part as fields; those ``typed`` and refused elsewhere count as measured all the same."""

    def shown(m: PartMeasure) -> MeasureField:
        value = caliper(m.value, unit)
        by_hand = typed.get(m.name, value).strip() != typed.get(f"{m.name}.was", value)
        return MeasureField(m.name, m.words, m.how, value, "measured" if by_hand else held.provenance.of(m.name))

    by_group = groupby(held.measures, key=lambda m: m.group)
    return tuple(MeasureGroup(title, tuple(map(shown, found))) for title, found in by_group)


def part_picture(held: PartInHand, thickness: float, unit: Unit, highlight: str = "") -> str:
    """The part with all its measures, as inline SVG.

    Args:
        held: the part.
        thickness: of the board it is in [mm].
        unit: for the figures.
        highlight: name of the measure to bring out; empty for none.
    """
    scene = part_drawing(held.placed.part, held.measures, thickness=thickness, unit=unit, highlight=highlight)
    return svg.embed(scene, ident="part-drawing", role="part-drawing")


def corrected(where: Where, placement: str, typed: Correction) -> DesignChange:
    """Correct the part at a placement."""
    return lambda design: own_hardware.correct(design, where.board, where.arrangement, placement, typed, catalogue())


def part_removed(part_id: str) -> DesignChange:
    """Take a part that is not used out of the design's own hardware."""
    return lambda design: own_hardware.remove_part(design, part_id)
