"""What a fan blows out of the cabinet comes in elsewhere, and the other way round.

Where holes for air go is for the builder to say; a machine can only let one of several fans blow the other way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.detail import Detail
from app.fit.features.layout import Layout, subjects_of
from app.fit.finding import FindingOf, Severity
from app.fit.rule import Rule
from app.fit.words.changes import options
from app.fit.words.lengths import names
from app.model.fix import Remake
from app.model.maker.fan import FAN
from app.model.resolved import ResolvedBoard
from app.units import Unit, format_area

_SOURCE = "Common practice, no source: as much is open elsewhere as the bore of the fan."
_SAME = 1.0  # mm²: less is no difference


class AirDetail(Detail, frozen=True, kw_only=True):
    """A fan that has nothing to blow against or draw from.

    Args:
        way: ``in`` or ``out``: where the air has to come or go.
        there: what is open for it in this design [mm²].
        wanted: what is wanted [mm²].
    """

    way: str
    there: float
    wanted: float


def find(layout: Layout) -> list[FindingOf[AirDetail]]:
    """At most one finding for a board with fans: a caution where too little is open, a note where nothing is drawn."""
    makers = {each.id for each in layout.board.makers if each.maker == FAN}
    fans = [k for k, p in enumerate(layout.placed) if p.maker in makers and not p.part.is_pattern]
    air = layout.board.air
    wanted = abs(air.out - air.into)
    if not fans or air.vents >= wanted - _SAME:
        return []
    severity: Severity = "caution" if air.vents > 0 else "note"
    way = "in" if air.out > air.into else "out"
    detail = AirDetail(cause=way, way=way, there=air.vents, wanted=wanted)
    subjects = subjects_of(layout, fans)
    first = next(layout.placed[k] for k in fans if layout.ids[k] == subjects[0])
    return [FindingOf(RULE.name, severity, subjects, (first.x, first.y), None, None, _SOURCE, detail)]


def _message(f: FindingOf[AirDetail], board: ResolvedBoard, unit: Unit) -> str:
    who = names(board, f.subjects)
    way = f"air in for {who}" if f.detail.way == "in" else f"the air of {who} out"
    wanted = format_area(f.detail.wanted, unit, 0)
    if not f.detail.there:
        return f"Nothing in this design lets {way}; {wanted} is wanted elsewhere on the cabinet."
    return f"Holes of {format_area(f.detail.there, unit)} let {way}; {wanted} is wanted."


def _phrase(findings: Sequence[FindingOf[AirDetail]], _board: ResolvedBoard, _unit: Unit) -> str:
    return f"too little open for air to {'come in' if findings[0].detail.way == 'in' else 'go out'}"


def _remedy(f: FindingOf[AirDetail], advice: Advice, unit: Unit) -> str:
    elsewhere = "drill a pattern of holes on another side of the cabinet"
    return options(f, advice, unit, elsewhere, "leave a gap there that is as large")


def _tries(f: FindingOf[AirDetail], board: ResolvedBoard, _catalogue: Catalogue) -> Iterator[Maker]:
    """Each fan of this board that blows as most do, the other way round."""
    most, other = ("out", "in") if f.detail.way == "in" else ("in", "out")
    fans = [each for each in board.makers if each.maker == FAN and each.asked.text("air") == most]
    yield lambda _unit, _step: [Remake(each.id, (("air", other),)) for each in fans]


def _factor(finding: FindingOf[AirDetail]) -> float:
    return finding.detail.there / finding.detail.wanted


RULE = Rule(
    name="air-flow",
    meaning="As much is open elsewhere on the cabinet as its fans need.",
    severities=("caution", "note"),
    source=_SOURCE,
    detail=AirDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    factor=_factor,
    times="what is wanted",
)
