"""Every cut-out and counterbore lies on the board, as drawn."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.changes.advice import Advice
from app.fit.detail import ThingDetail
from app.fit.features.features import EDGE, WORDS
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import judged_alone, shortfalls, ways_in
from app.fit.limits.pair_table import kinds_against
from app.fit.rule import Rule
from app.fit.words.finding import over, phrased
from app.fit.words.lengths import names
from app.fit.words.moves import onto_board
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SOURCE = "A hole needs board all round it."


def find(layout: Layout) -> list[FindingOf[ThingDetail]]:
    """One finding for each placement that reaches off the board or into an inner opening."""
    features, insides = layout.features, layout.insides
    if not layout.near_rim(0.0).any():
        return []
    cut = layout.is_any(*kinds_against(RULE.name, EDGE))
    shorts = shortfalls(judged_alone(np.where(cut, insides[0], np.inf), 0.0, 0.0, features.owner))
    if not shorts:
        return []
    ways = ways_in(features, [s.row for s in shorts], *insides)
    return [
        FindingOf(
            rule=RULE.name,
            severity="stop",
            subjects=(layout.ids[features.owner[short.row]],),
            where=way.where,
            measured=short.measured,
            required=0.0,
            source=_SOURCE,
            detail=ThingDetail(what=WORDS[features.kind[short.row]], toward=way.toward),
        )
        for short, way in zip(shorts, ways, strict=True)
    ]


def _message(f: FindingOf[ThingDetail], board: ResolvedBoard, unit: Unit) -> str:
    place = "into an inner opening" if _edge_at(f, board) == "opening" else "over the edge of the board"
    return f"The {f.detail.what} of {names(board, f.subjects)} reaches {over(f, unit)} {place}."


def _remedy(f: FindingOf[ThingDetail], advice: Advice, unit: Unit) -> str:
    return onto_board(f, advice, unit, _edge_at(f, advice.board), "further onto the board")


def _edge_at(f: FindingOf[ThingDetail], board: ResolvedBoard) -> str:
    """The edge a finding stands on; “opening” for an inner one."""
    x, y = (np.array([v]) for v in f.where)
    return board.boundary.edges_at(x, y)[0] or "opening"


def _hint(_finding: FindingOf[ThingDetail], subjects: Sequence[str]) -> str:
    return f". Move {'them' if len(subjects) > 1 else 'it'} in."


RULE = Rule(
    name="outside-board",
    meaning="Every cut-out lies on the board.",
    severities=("stop",),
    source=_SOURCE,
    detail=ThingDetail,
    find=find,
    message=_message,
    phrase=phrased("", " over the edge"),
    remedy=_remedy,
    moved=True,
    hint=_hint,
    verb="hang",
    beside="the edge",
)
