"""Inner openings are cut-outs of the board itself: far enough from its edge, from each other, from rails and slots.

Both rims are sawn, and each may be off by the allowance for an edge.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.depth import SLIGHT
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.limits import Governing, edge_limits, layer_named, web_limits
from app.fit.rule import Rule
from app.fit.table import places_judged
from app.fit.things import EDGE, OPENING, PLACES, RAIL, SLOT, TOP_AREA, UNDER_AREA
from app.geometry.boundary import Boundary
from app.geometry.outline import Outline
from app.geometry.regions import Gap, gaps_among, gaps_to_rim, gaps_to_shapes, gaps_to_strips
from app.geometry.strips import Strip

_Detail = dict[str, float | str]


def find(layout: Layout) -> list[Finding]:
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
            found += _material(layout, gap, gap.distance - off, limits, {"edge": _edge(layout, gap)})
    if (OPENING, OPENING) in judged:
        for gap in gaps_among(openings, _most(web_limits(layout.board.layers, widths)) + off):
            limits = web_limits(layout.board.layers, np.array([widths[[gap.first, gap.second]].max()]))
            beside: _Detail = {"edge": "opening", "second": float(gap.second)}
            found += _material(layout, gap, gap.distance - off, limits, beside)
    for place, strips in ((RAIL, layout.board.rails), (SLOT, layout.board.slots)):
        found += _strips(layout, PLACES[place], strips, off) if (OPENING, place) in judged else []
    faces = {face for face, place in (("top", TOP_AREA), ("under", UNDER_AREA)) if (OPENING, place) in judged}
    return [*found, *(finding for finding in _areas(layout) if finding.detail["face"] in faces)]


def width_of(opening: Outline) -> float:
    """The smaller side of the rectangle round an opening [mm]."""
    x0, y0, x1, y1 = opening.bounds
    return min(x1 - x0, y1 - y0)


def _most(limits: tuple[Governing, Governing]) -> float:
    return float(max(limit.required.max() for limit in limits))


def _edge(layout: Layout, gap: Gap) -> str:
    rim = Boundary(layout.board.outline)
    _, x, y = rim.point_distances(np.array([gap.where[0]]), np.array([gap.where[1]]))
    return rim.edges_at(x, y)[0] or "corner"


def _material(
    layout: Layout, gap: Gap, measured: float, limits: tuple[Governing, Governing], detail: _Detail
) -> list[Finding]:
    stop, caution = (float(limit.required[0]) for limit in limits)
    if gap.distance > 0 and measured >= max(stop, caution) - SLIGHT:
        return []
    severity: Severity = "stop" if measured < stop - SLIGHT or gap.distance <= 0 else "caution"
    layer = layer_named(layout.board.layers, *limits, 0, severity)
    source, required = layer.material.limits.source.text, stop if severity == "stop" else caution
    return [_finding(gap, severity, measured, required, source, {**detail, "layer": layer.material.name})]


def _strips(layout: Layout, what: str, strips: Sequence[Strip], off: float) -> list[Finding]:
    """Openings over a rail, or cut into a slot; of each edge the worst."""
    if not strips:
        return []
    default = layout.default("rail-gap" if what == "rail" else "slot-gap")
    worst: dict[tuple[int, str], Gap] = {}
    for gap in gaps_to_strips(layout.board.openings, tuple(strips), default.value + off):
        key = (gap.first, strips[gap.second].edge)
        if key not in worst or gap.distance < worst[key].distance:
            worst[key] = gap
    found = []
    for (_, edge), gap in worst.items():
        found += _plain(gap, gap.distance - off, default.value, default.source.text, {"edge": what, "side": edge})
    return found


def _areas(layout: Layout) -> list[Finding]:
    """Openings in an area to keep clear: what that is for has no board there."""
    default, areas = layout.default("rail-gap"), layout.board.keep_clear
    off = layout.allowance.edge
    found = []
    for gap in gaps_to_shapes(layout.board.openings, tuple(a.shape for a in areas), default.value + off):
        area = areas[gap.second]
        detail: _Detail = {"edge": "area", "area": area.label, "face": area.face, "second": float(gap.second)}
        found += _plain(gap, gap.distance - off, default.value, default.source.text, detail)
    return found


def _plain(gap: Gap, measured: float, required: float, source: str, detail: _Detail) -> list[Finding]:
    if measured >= required - SLIGHT:
        return []
    stop = measured < -SLIGHT
    return [_finding(gap, "stop" if stop else "caution", measured, 0.0 if stop else required, source, detail)]


def _finding(gap: Gap, severity: Severity, measured: float, required: float, source: str, detail: _Detail) -> Finding:
    """The cause tells findings about openings apart, which have no placement to tell them by."""
    place = detail.get("side", f"{float(detail['second']):g}" if "second" in detail else "")
    about: _Detail = {"cause": f"{gap.first:g} {detail['edge']} {place}".strip(), "index": float(gap.first), **detail}
    return Finding(RULE.name, severity, (), gap.where, measured, required, source, detail=about)


RULE = Rule(
    "opening-distance",
    "Inner openings keep clear of the edge, each other, rails, slots and areas to keep clear.",
    ("stop", "caution"),
    "The limits of each layer's material; gaps to rails and slots are defaults of the catalogue.",
    find,
)
