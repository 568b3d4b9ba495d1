"""What rules about legends have in common: what one is called, and what may be tried for it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from app.catalogue.load import Catalogue
from app.catalogue.signs import SIGNS
from app.fit.changes.advice import Maker
from app.fit.changes.manual_changes import Change
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import Finding
from app.fit.lettering.ink import height_of
from app.fit.lettering.laid import LaidLegend
from app.model.fix import LegendTo
from app.model.legend import SIDES, Legend, LegendPlace
from app.model.resolved import ResolvedBoard
from app.units import INCH, Unit

_MOST = 12  # heights tried, one step lower each
_STEPS = {Unit.MM: 0.5, Unit.INCH: INCH / 32}


class LegendDetail(Detail, frozen=True, kw_only=True):
    """About a legend.

    Args:
        said: what it says, in quotation marks, or its sign.
        place: where it stands.
        height: of its capitals [mm].
    """

    said: str
    place: LegendPlace
    height: float


def said(legend: Legend) -> str:
    """What a legend says, as it is named in a sentence: “START”, the sign “Arrow to the left”."""
    if legend.sign:
        sign = SIGNS.get(legend.sign)
        return f"the sign “{sign.words if sign else legend.sign}”"
    return f"“{legend.text.strip()}”"


def owner_of(layout: Layout, laid: LaidLegend) -> str:
    """Id of the placement a legend belongs to."""
    return layout.ids[laid.owner]


def other_places(finding: Finding, board: ResolvedBoard, _catalogue: Catalogue) -> tuple[Maker, ...]:
    """Ways to try: each other side of the part, then smaller letters where it is."""
    placed = board.placed(finding.subjects[0])
    if placed is None or placed.legend is None:
        return ()
    ids, legend = (placed.id,), placed.legend

    def sides(_unit: Unit, _step: float) -> Iterable[Change]:
        return [LegendTo(ids, place=side) for side in SIDES if side != legend.place]

    def smaller(unit: Unit, _step: float) -> Iterable[Change]:
        return [LegendTo(ids, height=height) for height in lower_heights(legend, board, _catalogue, unit)]

    return (sides, smaller)


def other_fixes(finding: Finding, board: ResolvedBoard, catalogue: Catalogue, unit: Unit) -> Iterator[LegendTo]:
    """The same as fixes, the sides first."""
    for maker in other_places(finding, board, catalogue):
        yield from (change for change in maker(unit, 0.0) if isinstance(change, LegendTo))


def lower_heights(legend: Legend, board: ResolvedBoard, catalogue: Catalogue, unit: Unit) -> list[float]:
    """Heights below the one it has that can still be read, on a step of a rule, the highest first [mm]."""
    step, now = _STEPS[unit], height_of(legend, board.lettering)
    least = catalogue.rule("legend-height-least") * board.lettering.distance
    first = math.ceil(now / step - 1e-6) - 1
    found = [k * step for k in range(first, first - _MOST, -1) if k > 0 and k * step >= least - 1e-6]
    return [round(height, 6) for height in found]


def readable(distance: float, share: float, unit: Unit) -> float:
    """The least height on a step of a rule that is read from a distance [mm]."""
    step = _STEPS[unit]
    return round(math.ceil(distance * share / step - 1e-6) * step, 6)
