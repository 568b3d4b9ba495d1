"""Levers swing free of each other, and of what stands as high as their knobs."""

from __future__ import annotations

from app.fit.finding import Finding
from app.fit.judge import clashes, finding_of
from app.fit.layout import Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """A caution where two can touch when they lean to each other, a stop where they meet at rest."""
    lean = layout.default("lever-lean")
    return [
        finding_of(
            RULE.name,
            clash.subjects,
            clash.short,
            clash.way,
            lean.source.text,
            {"what": clash.what, "other": clash.other, "lean": lean.value, **clash.way.detail()},
        )
        for clash in clashes(layout, layout.neighbours, RULE.name)
    ]


RULE = Rule(
    "lever-sweep",
    "Levers swing free of each other and of high flanges.",
    ("stop", "caution"),
    "Common practice, no source: how far a lever leans is a default of the catalogue.",
    find,
)
