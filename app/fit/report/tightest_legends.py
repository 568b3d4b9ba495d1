"""Legends against what is on the top face, each other, edges, openings and areas: how many, and how near they come."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from app.fit.features.features import (
    EDGE,
    KINDS,
    LEGEND,
    OPENING,
    PLACES,
    TOP_AREA,
    Floats,
    Ints,
)
from app.fit.features.layout import Layout
from app.fit.report.tightest_board import Tried

_FAR = 25.0  # mm: what is further from a legend is in nobody's way


def of_legends(layout: Layout) -> Iterator[Tried]:
    """Every kind of thing that legends were judged against."""
    if not layout.legends:
        return
    gaps, ground = layout.legend_gaps, layout.ground
    pairs, measured = gaps.to_things(_FAR)
    kinds = ground.things.kind
    for kind in sorted(set(kinds.tolist())):
        rows = np.flatnonzero(kinds[pairs.second] == kind)
        owners = np.stack((gaps.owner[pairs.first[rows]], ground.things.owner[pairs.second[rows]]), axis=1)
        many = len(layout.legends) * int((kinds == kind).sum())
        yield _tried(KINDS[kind], many, owners, measured[rows], ground.gap)
    if len(layout.legends) > 1:
        others = gaps.to_others(_FAR)
        owners = np.stack((gaps.owner[others.first], gaps.owner[others.second]), axis=1)
        many = len(layout.legends) * (len(layout.legends) - 1) // 2
        yield _tried(KINDS[LEGEND], many, owners, others.distance, ground.apart)
    yield from _of_board(layout)


def _of_board(layout: Layout) -> Iterator[Tried]:
    gaps, ground, many = layout.legend_gaps, layout.ground, len(layout.legends)
    alone = np.stack((gaps.owner, np.full(len(gaps.owner), -1)), axis=1)
    inside, x, y = gaps.inside
    at_edge = np.array([edge is not None for edge in layout.board.boundary.edges_at(x, y)], np.bool_)
    yield _tried(PLACES[EDGE], many, alone[at_edge], inside[at_edge], ground.gap)
    if openings := len(layout.board.openings):
        yield _tried(PLACES[OPENING], many * openings, alone[~at_edge], inside[~at_edge], ground.gap)
    if areas := len(ground.areas):
        pairs = gaps.to_areas(_FAR)
        yield _tried(PLACES[TOP_AREA], many * areas, alone[pairs.first], pairs.distance, ground.gap)


def _tried(other: str, many: int, owners: Ints, measured: Floats, required: float) -> Tried:
    return Tried(KINDS[LEGEND], other, many, owners, measured, np.full(len(measured), required))
