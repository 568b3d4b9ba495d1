"""Enough material between each cut-out and the nearest edge, set-back corners and inner openings included.

A screw is judged as the hole it makes. Into a face of MDF, which splits, a trade body advises more: from its centre to
the edge, and to the corners of the board.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from app.fit.detail import ThingDetail
from app.fit.features.corners import to_corners
from app.fit.features.features import CUTS, EDGE, HOLE, SCREW, WORDS, Flags, Floats
from app.fit.features.layout import Distances, Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import Short, Shortfall, finding_of, judged_alone, shortfalls, ways_in, worst_each
from app.fit.limits.allowance import worst_to_edge
from app.fit.limits.cut_depths import SLIGHT
from app.fit.limits.layer_limits import edge_limits, layer_named
from app.fit.limits.pair_table import kinds_against
from app.fit.limits.required_distances import layer_of_screw, shared_layers
from app.fit.rule import Rule
from app.fit.words.finding import both, lacking, meets, over
from app.fit.words.lengths import edge_name, names, say
from app.fit.words.moves import inward, move_all
from app.model.material import Layer
from app.model.resolved import ResolvedBoard
from app.units import Unit

SPLITS = ("mdf",)
"""Families whose faces split where a screw is near the edge."""


class EdgeDetail(ThingDetail, frozen=True, kw_only=True):
    """What is too near an edge, and the material that asks for more.

    Args:
        layer: its name.
    """

    layer: str


def find(layout: Layout) -> list[FindingOf[EdgeDetail]]:
    """One finding for each placement nearer to an edge than its layers allow, unless its cut-out is off the board."""
    if not layout.near_rim(_most(layout)).any():
        return []
    judged = layout.is_any(*kinds_against(RULE.name, EDGE))
    cut = judged & layout.is_any(HOLE, *CUTS)
    found, on = [], layout.insides[0] >= -SLIGHT
    for depth in sorted(set(layout.depths[cut].tolist())):
        which = on & cut & (layout.depths == depth)
        found += _near_edges(layout, which, shared_layers(layout, depth))
    for index, layer in enumerate(layout.screw_layers[0] if SCREW in layout.kinds else ()):
        which = judged & layout.is_any(SCREW) & (layout.screw_layers[1][layout.features.owner] == index)
        if which.any():
            splits = layer.material.family in SPLITS
            found += _near_edges(layout, which, (layer,), len(layout.board.layers) > 1, stops_only=splits)
            found += _splitting(layout, which, layer) if splits else []
    return worst_each(found)


def _most(layout: Layout) -> float:
    """Nothing that this rule asks of anything on this board is more, the allowances included [mm]."""
    widest, found = float(layout.widths.max(initial=0.0)), [0.0]
    for layer in layout.board.layers:
        m = layer.material.limits
        found += [limit.required(layer.thickness, widest) for limit in (m.edge_stop, m.edge_caution)]
        found.append(m.edge_caution_backed.required(layer.thickness, widest))
    if SCREW in layout.kinds:
        found += [layout.default(name).value for name in ("screw-edge", "screw-corner")]
    return max(found) + layout.allowance.position + layout.allowance.edge


def _near_edges(
    layout: Layout,
    which: Flags,
    layers: tuple[Layer, ...],
    backed: bool | None = None,
    stops_only: bool = False,
) -> list[FindingOf[EdgeDetail]]:
    """Findings of those of the features that are ``which``, in some of the layers."""
    features, insides = layout.features, layout.insides
    measured = worst_to_edge(np.where(which, insides[0], np.inf), layout.allowance)
    stop, caution = edge_limits(layers, layout.widths, backed)
    caution = stop if stops_only else caution
    shorts = shortfalls(judged_alone(measured, stop.required, caution.required, features.owner))
    if not shorts:
        return []
    rows = [s.row for s in shorts]
    edges = layout.edges_at(insides, rows)
    found = []
    for short, way, edge in zip(shorts, ways_in(features, rows, *insides), edges, strict=True):
        layer = layer_named(layers, stop, caution, short.row, short.severity)
        detail = EdgeDetail(
            what=WORDS[features.kind[short.row]], layer=layer.material.name, edge=edge, toward=way.toward
        )
        found.append(_finding(layout, short, way, layer.material.limits.source.text, detail))
    return found


def _splitting(layout: Layout, which: Flags, layer: Layer) -> list[FindingOf[EdgeDetail]]:
    """Screws into a face that splits: from the edge and from the corners of the board."""
    features, (inside, x, y) = layout.features, layout.insides
    off = layout.allowance.position + layout.allowance.edge
    to_corner = to_corners(
        layout.board.outline, features.shapes.points[:, 0], layout.default("screw-corner").value, off
    )
    found = []
    for name, ask in (("screw-edge", (inside + features.shapes.radii, x, y)), ("screw-corner", to_corner)):
        default = layout.default(name)
        measured = worst_to_edge(np.where(which & (inside >= -SLIGHT), ask[0], np.inf), layout.allowance)
        shorts = shortfalls(judged_alone(measured, -math.inf, default.value, features.owner))
        if not shorts:
            continue
        rows = [s.row for s in shorts]
        edges = layout.edges_at(layout.insides, rows) if name == "screw-edge" else ["corner"] * len(rows)
        from_rim: Distances = (ask[0] - features.shapes.radii, ask[1], ask[2])
        for short, way, edge in zip(shorts, ways_in(features, rows, *from_rim), edges, strict=True):
            detail = EdgeDetail(what="screw", layer=layer.material.name, edge=edge, toward=way.toward)
            found.append(_finding(layout, short, way, default.source.text, detail))
    return found


def edge_needs(layout: Layout) -> Floats:
    """What each of the things needs to the edge so that nothing is found, nominal less the allowances, shape (n,) [mm].

    0 for what this rule does not judge.
    """
    needs, backed = np.zeros(len(layout.features)), len(layout.board.layers) > 1
    for depth in sorted(set(layout.depths[layout.is_any(HOLE, *CUTS)].tolist())):
        rows = np.flatnonzero(layout.is_any(HOLE, *CUTS) & (layout.depths == depth))
        limits = edge_limits(shared_layers(layout, depth), layout.widths[rows])
        needs[rows] = np.maximum(*(limit.required for limit in limits))
    for feature in layout.features.of(SCREW).tolist():
        layer, radius = layer_of_screw(layout, feature), float(layout.features.shapes.radii[feature])
        stop, caution = edge_limits((layer,), np.array([2 * radius]), backed)
        advised = layout.default("screw-edge").value - radius
        splits = layer.material.family in SPLITS
        needs[feature] = max(float(stop.required[0]), advised if splits else float(caution.required[0]))
    return needs


def _finding(layout: Layout, short: Short, way: Shortfall, source: str, detail: EdgeDetail) -> FindingOf[EdgeDetail]:
    return finding_of(RULE.name, (layout.ids[layout.features.owner[short.row]],), short, way, source, detail)


def _message(f: FindingOf[EdgeDetail], board: ResolvedBoard, unit: Unit) -> str:
    who, edge, layer = names(board, f.subjects), edge_name(board, f), f.detail.layer
    what = "A screw" if f.detail.what == "screw" else f"The {f.detail.what}"
    measured, required = both(f, unit)
    if meets(f) or (f.measured or 0.0) < 0:
        reaches = f"reach {edge}" if meets(f) else f"run {over(f, unit)} over {edge}"
        needs = f"; {layer} needs {say(f.required or 0.0, unit)}" if f.required else ""
        return f"{what} of {who} can {reaches} at worst{needs}."
    return f"{what} of {who} comes within {measured} of {edge} at worst; {layer} needs {required}."


def _phrase(findings: Sequence[FindingOf[EdgeDetail]], board: ResolvedBoard, unit: Unit) -> str:
    return f"{lacking(findings, unit)} too near {edge_name(board, *findings)}"


RULE = Rule(
    name="edge-distance",
    meaning="Enough board is left between each cut-out or screw and the nearest edge or inner opening.",
    severities=("stop", "caution"),
    source="The limits of each layer's material; for screws into MDF a trade body's advice as well.",
    detail=EdgeDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=inward,
    moved=True,
    hint=move_all,
)
