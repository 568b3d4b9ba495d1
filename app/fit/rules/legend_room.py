"""Each legend has room where it is asked for: on its side of the part, or in a ring round it."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.changes.advice import Advice
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.legends import LegendDetail, other_fixes, other_places, owner_of, said
from app.fit.rule import Rule
from app.fit.words.changes import LEGEND_PLACES, options, sentence
from app.fit.words.lengths import name
from app.model.resolved import ResolvedBoard
from app.units import Unit


def find(layout: Layout) -> list[FindingOf[LegendDetail]]:
    """A caution for each legend that found no clear place, or is too long for its ring."""
    if not layout.legends:
        return []
    source = layout.default("legend-gap").source.text
    return [
        FindingOf(
            RULE.name,
            "caution",
            (owner_of(layout, laid),),
            laid.middle,
            None,
            None,
            source,
            LegendDetail(
                cause=laid.trouble.replace(" ", "-"),
                said=said(laid.legend),
                place=laid.legend.place,
                height=laid.ink.height,
            ),
        )
        for laid in layout.legends
        if laid.trouble
    ]


def _message(f: FindingOf[LegendDetail], board: ResolvedBoard, _unit: Unit) -> str:
    who = name(board, f.subjects[0])
    if f.detail.cause == "too-long":
        return f"The legend {f.detail.said} is too long for a ring round {who}: its end meets its beginning."
    return f"There is no clear place for the legend {f.detail.said} {LEGEND_PLACES[f.detail.place]} {who}."


def _phrase(findings: Sequence[FindingOf[LegendDetail]], _board: ResolvedBoard, _unit: Unit) -> str:
    return "no clear place for its legend" if len(findings) == 1 else "no clear place for their legends"


def _remedy(f: FindingOf[LegendDetail], advice: Advice, unit: Unit) -> str:
    general = "shorten it", "put a sign in its place"
    return options(f, advice, unit, *general) if advice.ways else sentence(general)


RULE = Rule(
    name="legend-room",
    meaning="Each legend has a clear place on its side of the part, or room in its ring.",
    severities=("caution",),
    source="Common practice, no source: the gap is a default of the catalogue.",
    detail=LegendDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    whole=True,
    tries=other_places,
    fixes=other_fixes,
    harm="a legend has no clear place",
)
