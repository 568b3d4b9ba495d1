"""Flanges, and plates on the top face, do not hang over an edge or an inner opening."""

from __future__ import annotations

from app.fit.allowance import worst_to_edge
from app.fit.finding import Finding
from app.fit.judge import judged_alone, shortfalls, ways_in
from app.fit.layout import KINDS, Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement: a stop where its rim can hang over."""
    gap = layout.default("flange-overhang")
    things = layout.top
    insides = layout.board.boundary.inside_distances(things.shapes)
    measured = worst_to_edge(insides[0], layout.allowance)
    shorts = shortfalls(judged_alone(measured, 0.0, gap.value, things.owner))
    if not shorts:
        return []
    rows = [s.row for s in shorts]
    edges = layout.board.boundary.edges_at(insides[1][rows], insides[2][rows])
    ways = ways_in(things, rows, *insides)
    return [
        Finding(
            rule=RULE.name,
            severity=short.severity,
            subjects=(layout.ids[things.owner[short.row]],),
            where=way.where,
            measured=short.measured,
            required=short.required,
            source=gap.source.text,
            detail={"what": KINDS[things.kind[short.row]], "edge": edge or "opening", **way.detail()},
        )
        for short, way, edge in zip(shorts, ways, edges, strict=True)
    ]


RULE = Rule(
    "flange-overhang",
    "Flanges do not hang over an edge.",
    ("stop", "caution"),
    "Common practice, no source: the gap is a default of the catalogue.",
    find,
)
