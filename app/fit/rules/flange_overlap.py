"""Flanges, and plates and screw heads on the top face, touch neither each other nor another part's hole."""

from __future__ import annotations

from app.fit.finding import Finding
from app.fit.judge import clashes, finding_of
from app.fit.layout import Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements: a stop where what is on top can meet, or lie over the other's hole."""
    gap = layout.default("flange-gap")
    return [
        finding_of(
            RULE.name,
            clash.subjects,
            clash.short,
            clash.way,
            gap.source.text,
            {"what": clash.what, "other": clash.other, **clash.way.detail()},
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
