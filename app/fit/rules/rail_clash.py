"""Nothing below meets a rail, and nothing reaches into an area to keep clear on its face."""

from __future__ import annotations

import numpy as np

from app.fit.allowance import worst_to_area, worst_to_edge
from app.fit.finding import Finding
from app.fit.judge import Judged, judged_alone, shortfalls, ways_apart, ways_in
from app.fit.layout import KINDS, NUT, Floats, Layout, Things
from app.fit.rule import Rule
from app.geometry.clearance import shape_set
from app.geometry.outline import EdgeName


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement and rail or area: a stop where they can meet."""
    found: list[Finding] = []
    for feature in layout.board.edges:
        if feature.rail > 0:
            found += _rail(layout, feature.edge, feature.rail)
    for face, things in (("top", layout.top), ("under", layout.below)):
        for k, area in enumerate(layout.board.keep_clear):
            if area.face == face:
                found += _area(layout, things, k)
    return found


def _rail(layout: Layout, edge: EdgeName, width: float) -> list[Finding]:
    things, allowance = layout.below, layout.allowance
    required = _required(layout, things)
    reach = width + float(required.max(initial=0.0)) + allowance.position + allowance.edge
    insides = layout.to_edge(things, edge, reach)
    measured = worst_to_edge(insides[0], allowance) - width
    shorts = shortfalls(judged_alone(measured, 0.0, required, things.owner))
    if not shorts:
        return []
    ways = ways_in(things, [s.row for s in shorts], *insides)
    return [
        Finding(
            rule=RULE.name,
            severity=short.severity,
            subjects=(layout.ids[things.owner[short.row]],),
            where=way.where,
            measured=short.measured,
            required=short.required,
            source=_source(layout, int(things.kind[short.row])),
            detail={"what": KINDS[things.kind[short.row]], "edge": edge, "rail": width, **way.detail()},
        )
        for short, way in zip(shorts, ways, strict=True)
    ]


def _area(layout: Layout, things: Things, index: int) -> list[Finding]:
    area = layout.board.keep_clear[index]
    alone = Things(shape_set([area.shape]), np.zeros(1, np.intp), np.zeros(1, np.intp))
    required = _required(layout, things)
    pairs = things.shapes.against(alone.shapes, float(required.max(initial=0.0)) + layout.allowance.position)
    owner = things.owner[pairs.first]
    measured = worst_to_area(pairs.distance, layout.allowance)
    judged = Judged(measured, np.zeros(len(pairs)), required[pairs.first], owner, owner)
    shorts = shortfalls(judged)
    if not shorts:
        return []
    ways = ways_apart(things, alone, pairs, [s.row for s in shorts], [False] * len(shorts))
    return [
        Finding(
            rule=RULE.name,
            severity=short.severity,
            subjects=(layout.ids[owner[short.row]],),
            where=way.where,
            measured=short.measured,
            required=short.required,
            source=_source(layout, int(things.kind[pairs.first[short.row]])),
            detail={
                "what": KINDS[things.kind[pairs.first[short.row]]],
                "area": area.label,
                "face": area.face,
                "index": float(index),
                **way.detail(),
            },
        )
        for short, way in zip(shorts, ways, strict=True)
    ]


def _required(layout: Layout, things: Things) -> Floats:
    """A nut needs room for the spanner, everything else the gap to a rail [mm]."""
    nut, other = layout.default("spanner-room").value, layout.default("rail-gap").value
    required: Floats = np.where(things.kind == NUT, max(nut, other), other)
    return required


def _source(layout: Layout, kind: int) -> str:
    return layout.default("spanner-room" if kind == NUT else "rail-gap").source.text


RULE = Rule(
    "rail-clash",
    "Nothing below meets a rail, and areas to keep clear stay clear.",
    ("stop", "caution"),
    "Common practice, no source: the gap is a default of the catalogue.",
    find,
)
