"""Legends lie on bare board: under no flange unless that is wanted, over no hole, edge or opening."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from app.fit.changes.advice import Advice
from app.fit.features.features import EDGE, HOLE, LEGEND, OPENING, TOP_AREA, WORDS
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.judge import worst_each
from app.fit.judging.legends import LegendDetail, other_fixes, other_places, owner_of, said
from app.fit.limits.cut_depths import SLIGHT
from app.fit.limits.pair_table import judged_by, kinds_against
from app.fit.rule import Rule
from app.fit.words.changes import options, sentence
from app.fit.words.finding import both, lacking, meets, over
from app.fit.words.lengths import edge_name, name, names
from app.model.resolved import ResolvedBoard
from app.units import Unit


class ClearDetail(LegendDetail, frozen=True, kw_only=True):
    """What a legend comes too near to.

    Args:
        what: the kind of thing; ``edge``, ``opening`` or ``area`` of the board.
        other: id of the placement it is of; empty for the board.
    """

    what: str
    other: str = ""


def find(layout: Layout) -> list[FindingOf[ClearDetail]]:
    """Of each legend the worst: a stop where it can lie over a hole or an edge, else a caution."""
    if not layout.legends:
        return []
    return worst_each((*_things(layout), *_areas(layout), *_rim(layout)))


def _things(layout: Layout) -> Iterator[FindingOf[ClearDetail]]:
    gaps, need = layout.legend_gaps, layout.ground.gap
    pairs, measured = gaps.to_things(need)
    things = layout.ground.things
    short = measured < need - SLIGHT
    own = layout.ground.things.owner[pairs.second] == gaps.owner[pairs.first]
    kinds = things.kind[pairs.second]
    told = np.where(own, judged_by(RULE.name, "own")[LEGEND][kinds], judged_by(RULE.name)[LEGEND][kinds])
    for row in np.flatnonzero(short & told).tolist():
        box, thing = int(pairs.first[row]), int(pairs.second[row])
        kind, other = int(things.kind[thing]), layout.ids[int(things.owner[thing])]
        yield from _found(layout, box, float(measured[row]), WORDS[kind], other, hole=kind == HOLE)


def _areas(layout: Layout) -> Iterator[FindingOf[ClearDetail]]:
    if not len(layout.ground.areas) or LEGEND not in kinds_against(RULE.name, TOP_AREA):
        return
    need, pairs = layout.ground.gap, layout.legend_gaps.to_areas(layout.ground.gap)
    for row in np.flatnonzero(pairs.distance < need - SLIGHT).tolist():
        yield from _found(layout, int(pairs.first[row]), float(pairs.distance[row]), "area")


def _rim(layout: Layout) -> Iterator[FindingOf[ClearDetail]]:
    measured, x, y = layout.legend_gaps.inside
    rows = np.flatnonzero(measured < layout.ground.gap - SLIGHT)
    edges = layout.board.boundary.edges_at(x[rows], y[rows])
    for row, edge in zip(rows.tolist(), edges, strict=True):
        what, place = ("edge", EDGE) if edge else ("opening", OPENING)
        if LEGEND in kinds_against(RULE.name, place):
            yield from _found(layout, row, float(measured[row]), what, edge=edge or "opening", hole=True)


def _found(
    layout: Layout, box: int, measured: float, what: str, other: str = "", *, edge: str = "", hole: bool = False
) -> Iterator[FindingOf[ClearDetail]]:
    laid = layout.legends[int(layout.legend_gaps.of[box])]
    if laid.trouble:  # that there is no place for it is told already
        return
    own, gap = owner_of(layout, laid), layout.default("legend-gap")
    severity: Severity = "stop" if hole and measured < -SLIGHT else "caution"
    detail = ClearDetail(
        cause="legend",
        edge=edge,
        said=said(laid.legend),
        place=laid.legend.place,
        height=laid.ink.height,
        what=what,
        other=other,
    )
    where = tuple(layout.legend_gaps.boxes.centres[box].tolist())
    yield FindingOf(RULE.name, severity, (own,), where, measured, gap.value, gap.source.text, detail)


def _message(f: FindingOf[ClearDetail], board: ResolvedBoard, unit: Unit) -> str:
    start, thing = f"The legend {f.detail.said} of {name(board, f.subjects[0])}", _thing(f, board)
    if meets(f):
        return f"{start} can reach {thing} at worst."
    if (f.measured or 0.0) < 0:
        lies = "under" if f.detail.what in ("flange", "plate", "screw head") else "over"
        return f"{start} lies {over(f, unit)} {lies} {thing} at worst."
    measured, required = both(f, unit)
    return f"{start} comes within {measured} of {thing} at worst; {required} is needed."


def _thing(f: FindingOf[ClearDetail], board: ResolvedBoard) -> str:
    if f.detail.edge:
        return edge_name(board, f)
    if f.detail.what == "area":
        return "an area to keep clear"
    return f"the {f.detail.what} of {names(board, (f.detail.other,))}"


def _phrase(findings: Sequence[FindingOf[ClearDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    return f"legend {lacking(findings, unit)} too near something"


def _remedy(f: FindingOf[ClearDetail], advice: Advice, unit: Unit) -> str:
    general = ["shorten it", "make its letters smaller"]
    if f.detail.place == "free":
        general = ["give it other measures", *general]
    if f.detail.what in ("flange", "plate", "screw head"):
        general = [*general, "let it lie under what covers it"]
    return options(f, advice, unit, *general) if advice.ways else sentence(general)


RULE = Rule(
    name="legend-clear",
    meaning="Legends lie on bare board: under no flange unless that is wanted, over no hole, edge or opening.",
    severities=("stop", "caution"),
    source="Common practice, no source: the gap is a default of the catalogue.",
    detail=ClearDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    whole=True,
    tries=other_places,
    fixes=other_fixes,
    harm="a legend comes too near something",
)
