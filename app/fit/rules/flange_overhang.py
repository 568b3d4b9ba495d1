"""Flanges, and plates and screw heads on the top face, do not hang over an edge or an inner opening."""

from __future__ import annotations

from app.fit.finding import Finding
from app.fit.layout import Layout
from app.fit.rim_findings import hanging_over
from app.fit.rule import Rule
from app.fit.table import kinds_against
from app.fit.things import EDGE


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement: a stop where its rim can hang over."""
    return hanging_over(layout, RULE.name, layout.insides, layout.is_any(*kinds_against(RULE.name, EDGE)))


RULE = Rule(
    "flange-overhang",
    "Flanges do not hang over an edge.",
    ("stop", "caution"),
    "Common practice, no source: the gap is a default of the catalogue.",
    find,
)
