"""Inner openings are cut-outs of the board itself: far enough from its edge, from each other, from rails and slots.

Both rims are sawn, and each may be off by the allowance for an edge.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.changes.advice import Advice
from app.fit.detail import Detail
from app.fit.features.features import EDGE, OPENING, PLACES, RAIL, SLOT, TOP_AREA, UNDER_AREA
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.limits.cut_depths import SLIGHT
from app.fit.limits.layer_limits import Governing, edge_limits, layer_named, web_limits
from app.fit.limits.pair_table import places_judged
from app.fit.rule import Rule
from app.fit.words.finding import both, lacking, meets, over
from app.fit.words.lengths import edge_name
from app.geometry.boundary import Boundary
from app.geometry.outline import Outline
from app.geometry.regions import AreaGap, gaps_among, gaps_to_rim, gaps_to_shapes, gaps_to_strips
from app.geometry.strips import Strip
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.values import replace


class OpeningDetail(Detail, frozen=True, kw_only=True):
    """An inner opening and what it is too near: ``edge`` is that of the board, or a kind of feature of it.

    Args:
        index: of the opening, from 0.
        layer: name of the material that asks for more; empty where it is a gap that is asked.
        side: the edge that the rail or slot is at; empty for anything else.
        area: label of the area to keep clear; empty where it has none.
        face: ``top`` or ``under`` of that area; empty for anything else.
    """

    index: int
    layer: str = ""
    side: str = ""
    area: str = ""
    face: str = ""


def find(layout: Layout) -> list[FindingOf[OpeningDetail]]:
    """One finding for each opening and what it is too near to; they are about the board, not about a placement."""
    openings = layout.board.openings
    if not openings:
        return []
    widths = np.array([width_of(opening) for opening in openings])
    off = 2 * layout.allowance.edge
    found = []
    judged = places_judged(RULE.name)
    if (EDGE, OPENING) in judged:
        for gap in gaps_to_rim(openings, layout.board.outline, _most(edge_limits(layout.board.layers, widths)) + off):
            limits = edge_limits(layout.board.layers, widths[[gap.first]])
            found += _material(layout, gap, gap.distance - off, limits, _detail(gap, _edge(layout, gap)))
    if (OPENING, OPENING) in judged:
        for gap in gaps_among(openings, _most(web_limits(layout.board.layers, widths)) + off):
            limits = web_limits(layout.board.layers, np.array([widths[[gap.first, gap.second]].max()]))
            found += _material(layout, gap, gap.distance - off, limits, _detail(gap, "opening", f"{gap.second}"))
    for place, strips in ((RAIL, layout.board.rails), (SLOT, layout.board.slots)):
        found += _strips(layout, PLACES[place], strips, off) if (OPENING, place) in judged else []
    faces = {face for face, place in (("top", TOP_AREA), ("under", UNDER_AREA)) if (OPENING, place) in judged}
    return [*found, *(finding for finding in _areas(layout) if finding.detail.face in faces)]


def width_of(opening: Outline) -> float:
    """The smaller side of the rectangle round an opening [mm]."""
    x0, y0, x1, y1 = opening.bounds
    return min(x1 - x0, y1 - y0)


def _most(limits: tuple[Governing, Governing]) -> float:
    return float(max(limit.required.max() for limit in limits))


def _edge(layout: Layout, gap: AreaGap) -> str:
    rim = Boundary(layout.board.outline)
    _, x, y = rim.point_distances(np.array([gap.where[0]]), np.array([gap.where[1]]))
    return rim.edges_at(x, y)[0] or "corner"


def _material(
    layout: Layout, gap: AreaGap, measured: float, limits: tuple[Governing, Governing], detail: OpeningDetail
) -> list[FindingOf[OpeningDetail]]:
    stop, caution = (float(limit.required[0]) for limit in limits)
    if gap.distance > 0 and measured >= max(stop, caution) - SLIGHT:
        return []
    severity: Severity = "stop" if measured < stop - SLIGHT or gap.distance <= 0 else "caution"
    layer = layer_named(layout.board.layers, *limits, 0, severity)
    source, required = layer.material.limits.source.text, stop if severity == "stop" else caution
    return [_finding(gap, severity, measured, required, source, replace(detail, layer=layer.material.name))]


def _strips(layout: Layout, what: str, strips: Sequence[Strip], off: float) -> list[FindingOf[OpeningDetail]]:
    """Openings over a rail, or cut into a slot; of each edge the worst."""
    if not strips:
        return []
    default = layout.default("rail-gap" if what == "rail" else "slot-gap")
    worst: dict[tuple[int, str], AreaGap] = {}
    for gap in gaps_to_strips(layout.board.openings, tuple(strips), default.value + off):
        key = (gap.first, strips[gap.second].edge)
        if key not in worst or gap.distance < worst[key].distance:
            worst[key] = gap
    found = []
    for (_, edge), gap in worst.items():
        detail = replace(_detail(gap, what, edge), side=edge)
        found += _plain(gap, gap.distance - off, default.value, default.source.text, detail)
    return found


def _areas(layout: Layout) -> list[FindingOf[OpeningDetail]]:
    """Openings in an area to keep clear: what that is for has no board there."""
    default, areas = layout.default("rail-gap"), layout.board.keep_clear
    off = layout.allowance.edge
    found = []
    for gap in gaps_to_shapes(layout.board.openings, tuple(a.shape for a in areas), default.value + off):
        area = areas[gap.second]
        detail = replace(_detail(gap, "area", f"{gap.second}"), area=area.label, face=area.face)
        found += _plain(gap, gap.distance - off, default.value, default.source.text, detail)
    return found


def _plain(
    gap: AreaGap, measured: float, required: float, source: str, detail: OpeningDetail
) -> list[FindingOf[OpeningDetail]]:
    if measured >= required - SLIGHT:
        return []
    stop = measured < -SLIGHT
    return [_finding(gap, "stop" if stop else "caution", measured, 0.0 if stop else required, source, detail)]


def _finding(
    gap: AreaGap, severity: Severity, measured: float, required: float, source: str, detail: OpeningDetail
) -> FindingOf[OpeningDetail]:
    return FindingOf(RULE.name, severity, (), gap.where, measured, required, source, detail)


def _detail(gap: AreaGap, edge: str, place: str = "") -> OpeningDetail:
    """The cause tells findings about openings apart, which have no placement to tell them by."""
    return OpeningDetail(cause=f"{gap.first:g} {edge} {place}".strip(), index=gap.first, edge=edge)


def _message(f: FindingOf[OpeningDetail], board: ResolvedBoard, unit: Unit) -> str:
    start, place = _which(f, board), _place(f, board)
    measured, required = both(f, unit)
    why = f"{f.detail.layer} needs {required}" if f.detail.layer else f"{required} is needed"
    if meets(f):
        return f"{start} can reach {place} at worst{f'; {why}' if f.required else ''}."
    if (f.measured or 0.0) < 0:
        return f"{start} runs {over(f, unit)} into {place} at worst."
    return f"{start} comes within {measured} of {place} at worst; {why}."


def _remedy(f: FindingOf[OpeningDetail], advice: Advice, _unit: Unit) -> str:
    start, place = _which(f, advice.board), _place(f, advice.board)
    last = {
        "opening": "make the other one smaller",
        "rail": "stop the rail short of it",
        "slot": "make the slot less deep",
        "area": "move what is there",
    }.get(f.detail.edge, "extend the board there")
    return f"Make {start.lower()} smaller, move it further from {place}, or {last}."


def _which(f: FindingOf[OpeningDetail], board: ResolvedBoard) -> str:
    """“The opening”, or which of several, counted as they stand in the design."""
    return "The opening" if len(board.openings) < 2 else f"Opening {f.detail.index + 1}"


def _place(f: FindingOf[OpeningDetail], board: ResolvedBoard) -> str:
    edge = f.detail.edge
    if edge == "opening":
        return "another opening"
    if edge in ("rail", "slot"):
        return f"the {edge} {'at' if edge == 'rail' else 'in'} the {f.detail.side} edge"
    if edge == "area":
        return f"“{f.detail.area}”" if f.detail.area else "an area to keep clear"
    return edge_name(board, f)


def _phrase(findings: Sequence[FindingOf[OpeningDetail]], board: ResolvedBoard, unit: Unit) -> str:
    edge = findings[0].detail.edge
    near = {"opening": "another opening", "area": "an area to keep clear"}
    place = f"the {edge}" if edge in ("rail", "slot") else near.get(edge) or edge_name(board, *findings)
    return f"opening {lacking(findings, unit)} too near {place}"


RULE = Rule(
    name="opening-distance",
    meaning="Inner openings keep clear of the edge, each other, rails, slots and areas to keep clear.",
    severities=("stop", "caution"),
    source="The limits of each layer's material; gaps to rails and slots are defaults of the catalogue.",
    detail=OpeningDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
)
