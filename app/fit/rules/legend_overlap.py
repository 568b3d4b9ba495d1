"""Legends do not lie over each other, and are far enough apart to be stuck on one by one."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.changes.advice import Advice
from app.fit.detail import PairDetail
from app.fit.features.features import LEGEND, WORDS
from app.fit.features.layout import Layout, subjects_of
from app.fit.finding import FindingOf
from app.fit.judging.judge import worst_each
from app.fit.judging.legends import other_fixes, other_places
from app.fit.limits.cut_depths import SLIGHT
from app.fit.limits.pair_table import judged_by
from app.fit.rule import Rule
from app.fit.words.changes import options, sentence
from app.fit.words.finding import both, lacking, meets, over
from app.fit.words.lengths import names
from app.model.resolved import ResolvedBoard
from app.units import Unit


def find(layout: Layout) -> list[FindingOf[PairDetail]]:
    """One caution for each two legends too near each other; not of one that has no place anyway."""
    if len(layout.legends) < 2 or not judged_by(RULE.name)[LEGEND, LEGEND]:
        return []
    gap, gaps = layout.default("legend-apart"), layout.legend_gaps
    pairs = gaps.to_others(gap.value)
    found = []
    for first, second, distance in zip(
        gaps.of[pairs.first].tolist(), gaps.of[pairs.second].tolist(), pairs.distance.tolist(), strict=True
    ):
        one, other = layout.legends[first], layout.legends[second]
        if distance >= gap.value - SLIGHT or one.trouble or other.trouble:
            continue
        (ax, ay), (bx, by) = one.middle, other.middle
        detail = PairDetail(what=WORDS[LEGEND], other=WORDS[LEGEND])
        subjects = subjects_of(layout, (one.owner, other.owner))
        where = ((ax + bx) / 2, (ay + by) / 2)
        found.append(FindingOf(RULE.name, "caution", subjects, where, distance, gap.value, gap.source.text, detail))
    return worst_each(found)


def _message(f: FindingOf[PairDetail], board: ResolvedBoard, unit: Unit) -> str:
    start = f"The legends of {names(board, f.subjects)}"
    if meets(f):
        return f"{start} touch."
    if (f.measured or 0.0) < 0:
        return f"{start} overlap by {over(f, unit)}."
    measured, required = both(f, unit)
    return f"{start} are {measured} apart; {required} is needed."


def _phrase(findings: Sequence[FindingOf[PairDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    return f"legends {lacking(findings, unit)} too close"


def _remedy(f: FindingOf[PairDetail], advice: Advice, unit: Unit) -> str:
    general = ("shorten one of them", "make their letters smaller")
    return options(f, advice, unit, *general) if advice.ways else sentence(general)


RULE = Rule(
    name="legend-overlap",
    meaning="Legends do not lie over each other.",
    severities=("caution",),
    source="Common practice, no source: the gap is a default of the catalogue.",
    detail=PairDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    whole=True,
    tries=other_places,
    fixes=other_fixes,
    harm="legends come too near each other",
)
