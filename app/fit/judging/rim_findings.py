"""Findings about features and the rim of the board: too near the edge or an opening, or over it."""

from __future__ import annotations

import numpy as np

from app.fit.detail import ThingDetail
from app.fit.features.features import WORDS, Flags, Floats
from app.fit.features.layout import Distances, Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import finding_of, judged_alone, shortfalls, ways_in
from app.fit.limits.allowance import worst_to_edge


def hanging_over(
    layout: Layout, rule: str, insides: Distances, which: Flags, stop: Floats | float = 0.0
) -> list[FindingOf[ThingDetail]]:
    """Of each placement the worst of what hangs over the rim, or is nearer to it than the rule's own default.

    Args:
        layout: the board.
        rule: its name, which is also that of its default.
        insides: board between each feature and the rim, and where, nominal [mm].
        which: the features that are judged, shape (n,).
        stop: below this it cannot be built [mm].
    """
    gap, features = layout.default(rule), layout.features
    if not (which & layout.near_rim(gap.value + layout.allowance.position + layout.allowance.edge)).any():
        return []
    measured = np.where(which, worst_to_edge(insides[0], layout.allowance), np.inf)
    low = np.broadcast_to(np.asarray(stop, np.float64), measured.shape)
    shorts = shortfalls(judged_alone(measured, low, np.full(len(measured), gap.value), features.owner))
    rows = [s.row for s in shorts]
    if not rows:
        return []
    ways, edges = ways_in(features, rows, *insides), layout.edges_at(insides, rows)
    found = []
    for short, way, edge in zip(shorts, ways, edges, strict=True):
        detail = ThingDetail(what=WORDS[features.kind[short.row]], edge=edge, toward=way.toward)
        subjects = (layout.ids[features.owner[short.row]],)
        found.append(finding_of(rule, subjects, short, way, gap.source.text, detail))
    return found
