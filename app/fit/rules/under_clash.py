"""Bodies, nuts with room to turn them, plates and counterbores of different parts clear each other.

Two counterbores or recesses, or one and another part's hole, are cut-outs of the layers both are in, and
the material between them is judged as a web.
"""

from __future__ import annotations

import numpy as np

from app.fit.allowance import worst_between
from app.fit.depth import bored_layers
from app.fit.finding import Finding
from app.fit.judge import Judged, pair_subjects, shortfalls, ways_apart, worst_each
from app.fit.layout import BORE, KINDS, NUT, RECESS, Floats, Layout, Things
from app.fit.limits import web_limits
from app.fit.rule import Rule
from app.geometry.clearance import Pairs


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements, the worst of what clashes."""
    found = _hardware(layout)
    if len(layout.cuts):
        found += _cuts(layout)
    return worst_each(found)


def _hardware(layout: Layout) -> list[Finding]:
    """Bodies, plates and nuts against each other and against counterbores."""
    things = layout.below
    body, spanner = layout.default("body-gap"), layout.default("spanner-room")
    most = max(body.value, spanner.value) + 2 * layout.allowance.position
    pairs = things.shapes.within(most)
    cut = (things.kind == BORE) | (things.kind == RECESS)
    both = cut[pairs.first] & cut[pairs.second]
    pairs = pairs.where((things.owner[pairs.first] != things.owner[pairs.second]) & ~both)
    nut = (things.kind[pairs.first] == NUT) | (things.kind[pairs.second] == NUT)
    required = np.where(nut, spanner.value, body.value)
    pick = [spanner.source.text if n else body.source.text for n in nut.tolist()] if len(pairs) else []
    return _findings(layout, things, things, pairs, np.zeros(len(pairs)), required, pick)


def _cuts(layout: Layout) -> list[Finding]:
    """Webs between counterbores and recesses, and between one of them and another part's hole."""
    layers, cuts, holes = layout.board.layers, layout.cuts, layout.holes
    cut_widths = layout.cut_widths
    widest = np.array([max(cut_widths.max(), layout.hole_widths.max(initial=0.0))])
    most = max(limit.required[0] for limit in web_limits(layers, widest)) + 2 * layout.allowance.position
    found: list[Finding] = []
    for other, other_widths, pairs in (
        (cuts, cut_widths, cuts.shapes.within(most)),
        (holes, layout.hole_widths, cuts.shapes.against(holes.shapes, most)),
    ):
        pairs = pairs.where(cuts.owner[pairs.first] != other.owner[pairs.second])
        if not len(pairs):
            continue
        widths = np.maximum(cut_widths[pairs.first], other_widths[pairs.second])
        depths = layout.cut_depths[pairs.first]
        if other is cuts:
            depths = np.minimum(depths, layout.cut_depths[pairs.second])
        stop, caution = np.zeros(len(pairs)), np.zeros(len(pairs))
        sources = [""] * len(pairs)
        for depth in np.unique(depths).tolist():
            rows = np.flatnonzero(depths == depth)
            cut = bored_layers(layers, depth)
            stops, cautions = web_limits(cut, widths[rows])
            stop[rows], caution[rows] = stops.required, cautions.required
            for row, k in zip(rows.tolist(), cautions.layer.tolist(), strict=True):
                sources[row] = cut[k].material.limits.source.text
        found += _findings(layout, cuts, other, pairs, stop, caution, sources)
    return found


def _findings(
    layout: Layout, a: Things, b: Things, pairs: Pairs, stop: Floats, caution: Floats, sources: list[str]
) -> list[Finding]:
    measured = worst_between(pairs.distance, layout.allowance)
    judged = Judged(measured, stop, caution, a.owner[pairs.first], b.owner[pairs.second])
    shorts = shortfalls(judged)
    if not shorts:
        return []
    named = list(pair_subjects(layout, judged, shorts))
    ways = ways_apart(a, b, pairs, [s.row for s in shorts], [flip for _, flip in named])
    found = []
    for short, (subjects, flip), way in zip(shorts, named, ways, strict=True):
        kinds = [KINDS[a.kind[pairs.first[short.row]]], KINDS[b.kind[pairs.second[short.row]]]]
        what, other = reversed(kinds) if flip else kinds
        found.append(
            Finding(
                rule=RULE.name,
                severity=short.severity,
                subjects=subjects,
                where=way.where,
                measured=short.measured,
                required=short.required,
                source=sources[short.row],
                detail={"what": what, "other": other, **way.detail()},
            )
        )
    return found


RULE = Rule(
    "under-clash",
    "Bodies, nuts with room to turn them, plates and counterbores clear each other.",
    ("stop", "caution"),
    "Common practice, no source: the gaps are defaults of the catalogue; between counterbores the material's web.",
    find,
)
