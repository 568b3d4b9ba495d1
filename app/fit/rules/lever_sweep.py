"""Levers swing free of each other, and of what stands as high as their knobs."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.changes.advice import Advice
from app.fit.detail import PairDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import clashes, finding_of
from app.fit.rule import Rule
from app.fit.words.finding import lacking, over
from app.fit.words.lengths import names
from app.fit.words.moves import moved
from app.model.resolved import ResolvedBoard
from app.units import Unit


def find(layout: Layout) -> list[FindingOf[PairDetail]]:
    """A caution where two can touch when they lean to each other, a stop where they meet at rest."""
    lean = layout.default("lever-lean")
    return [
        finding_of(
            RULE.name,
            clash.subjects,
            clash.short,
            clash.way,
            lean.source.text,
            PairDetail(what=clash.what, other=clash.other, toward=clash.way.toward),
        )
        for clash in clashes(layout, layout.neighbours, RULE.name)
    ]


def _message(f: FindingOf[PairDetail], board: ResolvedBoard, unit: Unit) -> str:
    swept = over(f, unit)
    if f.detail.what == f.detail.other:
        who = names(board, f.subjects)
        if f.severity == "stop":
            return f"The knobs of {who} meet even at rest: they overlap by {swept} when leant."
        return f"The levers of {who}, leant towards each other, meet: their knobs overlap by {swept} at worst."
    lever, flange = f.subjects if f.detail.what == "lever" else f.subjects[::-1]
    one, two = names(board, [lever]), names(board, [flange])
    rest = " even at rest" if f.severity == "stop" else ", leant over,"
    return f"The lever of {one}{rest} meets the flange of {two}: its knob reaches {swept} over it at worst."


def _phrase(findings: Sequence[FindingOf[PairDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    one = len(findings) == 1 and findings[0].detail.what != findings[0].detail.other
    return f"{lacking(findings, unit)} too close for {'the lever' if one else 'levers'} to lean"


def _remedy(f: FindingOf[PairDetail], advice: Advice, unit: Unit) -> str:
    return moved(f, advice, unit, "further apart", "use a part with a smaller knob or a shorter lever")


RULE = Rule(
    name="lever-sweep",
    meaning="Levers swing free of each other and of high flanges.",
    severities=("stop", "caution"),
    source="Common practice, no source: how far a lever leans is a default of the catalogue.",
    detail=PairDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    moved=True,
)
