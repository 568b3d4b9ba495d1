"""Makers of the design file as the model has them."""

from __future__ import annotations

import math

from app.catalogue.load import Catalogue
from app.document.board_patterns import pattern_on
from app.document.pattern_schema import MakerEntry, MeasureEntry
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.model.maker.fan import FAN
from app.model.maker.grille import GRILLE
from app.model.maker.making import ASKS, AirWays, Making, making
from app.model.maker.measure import Asked, Value, answered
from app.model.part import Part


def makings_of(arrangement: ArrangementEntry) -> tuple[Making, ...]:
    """The makers of an arrangement that this program knows."""
    found = (making(m.id, m.maker, (m.x, m.y, m.angle), given_of(m), outline=m.outline) for m in arrangement.makers)
    return tuple(each for each in found if each is not None)


def given_of(entry: MakerEntry) -> dict[str, Value]:
    """What the file says of a maker's measures, by name."""
    return {measure.name: measure.value for measure in entry.measures}


def measure_entries(asked: Asked) -> tuple[MeasureEntry, ...]:
    """Measures as the file has them."""
    return tuple(MeasureEntry(name=name, value=value) for name, value in asked.values)


def air_ways(design: Design, board: BoardEntry, arrangement: ArrangementEntry, catalogue: Catalogue) -> AirWays:
    """What lets air through in a design: this arrangement of its board, and the first of each other board.

    Where this board has no fan, nobody asks, and nothing is added up.
    """
    if not any(maker.maker == FAN for maker in arrangement.makers):
        return AirWays()
    patterns = {entry.id: entry for entry in design.patterns}
    out, into, vents = 0.0, 0.0, 0.0
    for each in design.boards:
        within = arrangement if each.id == board.id else each.arrangements[0]
        makers = {maker.id: maker for maker in within.makers}
        for placement in within.placements:
            maker = makers.get(placement.maker or "")
            if not placement.drill:
                continue
            if placement.part in patterns and (maker is None or maker.maker not in (FAN, GRILLE)):
                vents += pattern_on(patterns[placement.part], each, placement).open_area
            elif maker is not None and maker.maker == FAN and placement.part not in patterns:
                blown = _bore(maker, catalogue)
                out, into = (out + blown, into) if _blows_out(maker) else (out, into + blown)
    return AirWays(out, into, vents)


def _blows_out(maker: MakerEntry) -> bool:
    return answered(ASKS[FAN], given_of(maker)).text("air") == "out"


def _bore(maker: MakerEntry, catalogue: Catalogue) -> float:
    """Area of the bore of a fan [mm²]: as its frame has it in the catalogue."""
    frame = answered(ASKS[FAN], given_of(maker)).text("frame")
    return bore_area(catalogue.parts[f"fan-{frame}"])


def bore_area(part: Part) -> float:
    """Area of the opening that a fan blows through [mm²]: as wide as its rotor's bore."""
    return math.pi / 4 * part.cutouts[0].smallest ** 2
