"""Makers of the design file as the model has them."""

from __future__ import annotations

from app.document.pattern_schema import MakerEntry, MeasureEntry
from app.document.schema import ArrangementEntry
from app.model.maker.making import Making, making
from app.model.maker.measure import Asked, Value


def makings_of(arrangement: ArrangementEntry) -> tuple[Making, ...]:
    """The makers of an arrangement that this program knows."""
    found = (making(m.id, m.maker, (m.x, m.y, m.angle), given_of(m)) for m in arrangement.makers)
    return tuple(each for each in found if each is not None)


def given_of(entry: MakerEntry) -> dict[str, Value]:
    """What the file says of a maker's measures, by name."""
    return {measure.name: measure.value for measure in entry.measures}


def measure_entries(asked: Asked) -> tuple[MeasureEntry, ...]:
    """Measures as the file has them."""
    return tuple(MeasureEntry(name=name, value=value) for name, value in asked.values)
