"""Flanges, and plates and screw heads on the top face, do not hang over an edge or an inner opening."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.changes.advice import Advice
from app.fit.detail import ThingDetail
from app.fit.features.features import EDGE
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.rim_findings import hanging_over
from app.fit.limits.pair_table import kinds_against
from app.fit.rule import Rule
from app.fit.words.finding import lacking, near, over
from app.fit.words.lengths import edge_name, names
from app.fit.words.moves import move_all, onto_board
from app.model.resolved import ResolvedBoard
from app.units import Unit


def find(layout: Layout) -> list[FindingOf[ThingDetail]]:
    """One finding for each placement: a stop where its rim can hang over."""
    return hanging_over(layout, RULE.name, layout.insides, layout.is_any(*kinds_against(RULE.name, EDGE)))


def _message(f: FindingOf[ThingDetail], board: ResolvedBoard, unit: Unit) -> str:
    start, edge = f"The {f.detail.what} of {names(board, f.subjects)}", edge_name(board, f)
    if f.severity == "stop":
        return f"{start} hangs {over(f, unit)} over {edge} at worst."
    return near(f, start, edge, unit, "is needed")


def _phrase(findings: Sequence[FindingOf[ThingDetail]], board: ResolvedBoard, unit: Unit) -> str:
    return f"{lacking(findings, unit)} too near {edge_name(board, *findings)}"


def _remedy(f: FindingOf[ThingDetail], advice: Advice, unit: Unit) -> str:
    return onto_board(f, advice, unit, f.detail.edge, "further onto the board")


RULE = Rule(
    name="flange-overhang",
    meaning="Flanges do not hang over an edge.",
    severities=("stop", "caution"),
    source="Common practice, no source: the gap is a default of the catalogue.",
    detail=ThingDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    moved=True,
    hint=move_all,
)
