"""Flanges, and plates and screw heads on the top face, touch neither each other nor another part's hole."""

from __future__ import annotations

from app.fit.finding import Finding
from app.fit.judge import clashes
from app.fit.layout import Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements: a stop where what is on top can meet, or lie over the other's hole."""
    gap = layout.default("flange-gap")
    return [
        Finding(
            rule=RULE.name,
            severity=clash.short.severity,
            subjects=clash.subjects,
            where=clash.way.where,
            measured=clash.short.measured,
            required=clash.short.required,
            source=gap.source.text,
            detail={"what": clash.what, "other": clash.other, **clash.way.detail()},
        )
        for clash in clashes(layout, layout.neighbours, RULE.name)
    ]


RULE = Rule(
    "flange-overlap",
    "Flanges touch neither each other nor another part's hole.",
    ("stop", "caution"),
    "Common practice, no source: the gap is a default of the catalogue.",
    find,
)
