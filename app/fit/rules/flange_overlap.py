"""Flanges, and plates and screw heads on the top face, touch neither each other nor another part's hole."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.detail import PairDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import clashes, finding_of
from app.fit.rule import Rule
from app.fit.words.finding import both, further_apart, lacking, meets, over
from app.fit.words.lengths import names, plural
from app.model.resolved import ResolvedBoard
from app.units import Unit


def find(layout: Layout) -> list[FindingOf[PairDetail]]:
    """One finding for each two placements: a stop where what is on top can meet, or lie over the other's hole."""
    gap = layout.default("flange-gap")
    return [
        finding_of(
            RULE.name,
            clash.subjects,
            clash.short,
            clash.way,
            gap.source.text,
            PairDetail(what=clash.what, other=clash.other, toward=clash.way.toward),
        )
        for clash in clashes(layout, layout.neighbours, RULE.name)
    ]


def _message(f: FindingOf[PairDetail], board: ResolvedBoard, unit: Unit) -> str:
    what, other = f.detail.things
    start = f"The {plural(what)} of {names(board, f.subjects)}"
    if what != other:
        start = f"The {what} of {names(board, f.subjects[:1])} and the {other} of {names(board, f.subjects[1:])}"
    if f.severity == "stop":
        return f"{start} overlap by {over(f, unit)} at worst."
    measured, required = both(f, unit)
    return f"{start} {'can touch' if meets(f) else f'are {measured} apart'} at worst; {required} is needed."


def _phrase(findings: Sequence[FindingOf[PairDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    kinds = {kind for f in findings for kind in f.detail.things}
    return f"{'flanges' if kinds <= {'flange'} else 'edges'} {lacking(findings, unit)} too close"


RULE = Rule(
    name="flange-overlap",
    meaning="Flanges touch neither each other nor another part's hole.",
    severities=("stop", "caution"),
    source="Common practice, no source: the gap is a default of the catalogue.",
    detail=PairDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=further_apart,
    moved=True,
)
