"""No cut-out or counterbore reaches a slot cut into an edge for a moulding."""

from __future__ import annotations

from app.fit.allowance import worst_to_edge
from app.fit.finding import Finding
from app.fit.judge import judged_alone, shortfalls, ways_in, worst_each
from app.fit.layout import KINDS, Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement and slotted edge: a stop where the hole would break into the slot."""
    gap = layout.default("slot-gap")
    found: list[Finding] = []
    for feature in layout.board.edges:
        if feature.slot_depth <= 0:
            continue
        at_edge: list[Finding] = []
        reach = feature.slot_depth + gap.value + layout.allowance.position + layout.allowance.edge
        for things in (layout.holes, layout.cuts):
            d, foot_x, foot_y = layout.to_edge(things, feature.edge, reach)
            measured = worst_to_edge(d, layout.allowance) - feature.slot_depth
            shorts = shortfalls(judged_alone(measured, 0.0, gap.value, things.owner))
            if not shorts:
                continue
            ways = ways_in(things, [s.row for s in shorts], d, foot_x, foot_y)
            for short, way in zip(shorts, ways, strict=True):
                at_edge.append(
                    Finding(
                        rule=RULE.name,
                        severity=short.severity,
                        subjects=(layout.ids[things.owner[short.row]],),
                        where=way.where,
                        measured=short.measured,
                        required=short.required,
                        source=gap.source.text,
                        detail={
                            "what": KINDS[things.kind[short.row]],
                            "edge": feature.edge,
                            "slot": feature.slot_depth,
                            **way.detail(),
                        },
                    )
                )
        found += worst_each(at_edge)
    return found


RULE = Rule(
    "edge-slot",
    "No cut-out or counterbore reaches an edge-moulding slot.",
    ("stop", "caution"),
    "Common practice, no source: the room left to a slot is a default of the catalogue.",
    find,
)
