"""Enough material between each cut-out and the nearest edge, eased corners and inner openings included."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.fit.allowance import worst_to_edge
from app.fit.depth import TINY, bored_layers
from app.fit.finding import Finding
from app.fit.judge import Short, Way, judged_alone, shortfalls, ways_in, worst_each
from app.fit.layout import KINDS, Distances, Flags, Floats, Layout, Things
from app.fit.limits import edge_limits, layer_named
from app.fit.rule import Rule
from app.model.material import Layer

_SCREWED = ("mdf",)  # families whose faces split where a screw is near the edge


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement nearer to an edge than its layers allow, unless it is off the board."""
    layers = layout.board.layers
    on = layout.hole_insides[0] >= -TINY
    found = _near_edges(layout, layout.holes, layout.hole_insides, layout.hole_widths, layers, on)
    if len(layout.cuts):
        for depth in np.unique(layout.cut_depths).tolist():
            which = (layout.cut_depths == depth) & (layout.cut_insides[0] >= -TINY)
            bored = bored_layers(layers, depth)
            found += _near_edges(layout, layout.cuts, layout.cut_insides, layout.cut_widths, bored, which)
    if len(layout.screws):
        found += _screws(layout)
    return worst_each(found)


def _near_edges(
    layout: Layout, things: Things, insides: Distances, widths: Floats, layers: Sequence[Layer], which: Flags
) -> list[Finding]:
    """Findings of those of the things that are ``which``, in some of the layers."""
    distance = np.where(which, insides[0], np.inf)
    measured = worst_to_edge(distance, layout.allowance)
    stop, caution = edge_limits(layers, widths)
    shorts = shortfalls(judged_alone(measured, stop.required, caution.required, things.owner))
    if not shorts:
        return []
    rows = [s.row for s in shorts]
    edges = _edges(layout, insides, rows)
    found = []
    for short, way, edge in zip(shorts, ways_in(things, rows, *insides), edges, strict=True):
        layer = layer_named(layers, stop, caution, short.row, short.severity)
        detail = {"what": KINDS[things.kind[short.row]], "layer": layer.material.name, "edge": edge}
        found.append(_finding(layout, things, short, way, layer.material.limits.source.text, detail))
    return found


def _screws(layout: Layout) -> list[Finding]:
    """Screws into a face that splits: from the edge and from the corners of the board."""
    board, things = layout.board, layout.screws
    sides = {"top": board.layers[0], "under": board.layers[-1]}
    splits = {side: layer.material.family in _SCREWED for side, layer in sides.items()}
    which = np.array([splits[getattr(layout.placed[i].part.fixing, "side", "top")] for i in things.owner.tolist()])
    if not which.any():
        return []
    insides = board.boundary.inside_distances(things.shapes)
    corners = np.array([(c.x, c.y) for c in board.outline.corners])
    spans = np.hypot(*(things.shapes.points - corners).transpose(2, 0, 1))
    nearest = spans.argmin(axis=1)
    foot = corners[nearest]
    to_corner = (spans.min(axis=1), foot[:, 0], foot[:, 1])
    found = []
    for name, ask in (("screw-edge", insides), ("screw-corner", to_corner)):
        default = layout.default(name)
        measured = worst_to_edge(np.where(which & (insides[0] >= -TINY), ask[0], np.inf), layout.allowance)
        shorts = shortfalls(judged_alone(measured, 0.0, default.value, things.owner))
        rows = [s.row for s in shorts]
        if not shorts:
            continue
        edges = _edges(layout, insides, rows) if name == "screw-edge" else ["corner"] * len(rows)
        for short, way, edge in zip(shorts, ways_in(things, rows, *ask), edges, strict=True):
            side = getattr(layout.placed[things.owner[short.row]].part.fixing, "side", "top")
            detail = {"what": "screw", "layer": sides[side].material.name, "edge": edge}
            found.append(_finding(layout, things, short, way, default.source.text, detail))
    return found


def _edges(layout: Layout, insides: Distances, rows: list[int]) -> list[str]:
    names = layout.board.boundary.edges_at(insides[1][rows], insides[2][rows])
    return [name or "opening" for name in names]


def _finding(layout: Layout, things: Things, short: Short, way: Way, source: str, detail: dict[str, str]) -> Finding:
    return Finding(
        rule=RULE.name,
        severity=short.severity,
        subjects=(layout.ids[things.owner[short.row]],),
        where=way.where,
        measured=short.measured,
        required=short.required,
        source=source,
        detail={**detail, **way.detail()},
    )


RULE = Rule(
    "edge-distance",
    "Enough board stays between each cut-out and the nearest edge or inner opening.",
    ("stop", "caution"),
    "The limits of each layer's material; for screws into MDF a trade body's advice.",
    find,
)
