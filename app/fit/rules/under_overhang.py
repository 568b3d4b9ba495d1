"""What is fixed below lies under the board: it hangs neither past an edge nor into an inner opening.

Past the edge is the side of the box. In an opening a nut presses on nothing; a body or plate there may be meant, as
behind a window, so it is only a caution: its screws and holes are judged by themselves.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.detail import ThingDetail
from app.fit.features.features import EDGE, NUT
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import worst_each
from app.fit.judging.rim_findings import hanging_over
from app.fit.limits.pair_table import kinds_against
from app.fit.rule import Rule
from app.fit.words.finding import both, lacking, meets, near, over
from app.fit.words.lengths import edge_name, names
from app.fit.words.moves import inward, move_all
from app.model.resolved import ResolvedBoard
from app.units import Unit


def find(layout: Layout) -> list[FindingOf[ThingDetail]]:
    """One finding for each placement: a stop past the edge, and where a nut reaches into an opening."""
    below, outer = layout.is_any(*kinds_against(RULE.name, EDGE)), layout.rim_insides
    found = hanging_over(layout, RULE.name, outer, below)
    if layout.board.openings:
        inner = below & (layout.insides[0] < outer[0])
        found += hanging_over(layout, RULE.name, layout.insides, inner, np.where(layout.is_any(NUT), 0.0, -np.inf))
    return worst_each(found)


def _message(f: FindingOf[ThingDetail], board: ResolvedBoard, unit: Unit) -> str:
    start, edge = f"Below the board, the {f.detail.what} of {names(board, f.subjects)}", edge_name(board, f)
    if f.severity == "stop":
        return f"{start} reaches {over(f, unit)} past {edge} at worst."
    if (f.measured or 0.0) < 0 and not meets(f):
        return f"{start} reaches {over(f, unit)} under {edge} at worst; {both(f, unit)[1]} of board is needed."
    return near(f, start, edge, unit, "is needed")


def _phrase(findings: Sequence[FindingOf[ThingDetail]], board: ResolvedBoard, unit: Unit) -> str:
    return f"{lacking(findings, unit)} too near {edge_name(board, *findings)}, below the board"


RULE = Rule(
    name="under-overhang",
    meaning="Bodies, nuts and plates do not hang past an edge, nor into an inner opening.",
    severities=("stop", "caution"),
    source="Common practice, no source: the gap is a default of the catalogue.",
    detail=ThingDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=inward,
    moved=True,
    hint=move_all,
)
