"""Flanges, and plates on the top face, do not touch."""

from __future__ import annotations

import numpy as np

from app.fit.allowance import worst_between
from app.fit.finding import Finding
from app.fit.judge import Judged, pair_subjects, shortfalls, ways_apart
from app.fit.layout import KINDS, Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements: a stop where their rims can meet."""
    gap = layout.default("flange-gap")
    things = layout.top
    pairs = things.shapes.within(gap.value + 2 * layout.allowance.position)
    pairs = pairs.where(things.owner[pairs.first] != things.owner[pairs.second])
    n = len(pairs)
    measured = worst_between(pairs.distance, layout.allowance)
    first, second = things.owner[pairs.first], things.owner[pairs.second]
    judged = Judged(measured, np.zeros(n), np.full(n, gap.value), first, second)
    shorts = shortfalls(judged)
    if not shorts:
        return []
    named = list(pair_subjects(layout, judged, shorts))
    ways = ways_apart(things, things, pairs, [s.row for s in shorts], [flip for _, flip in named])
    return [
        Finding(
            rule=RULE.name,
            severity=short.severity,
            subjects=subjects,
            where=way.where,
            measured=short.measured,
            required=short.required,
            source=gap.source.text,
            detail={"what": KINDS[things.kind[pairs.first[short.row]]], **way.detail()},
        )
        for short, (subjects, _), way in zip(shorts, named, ways, strict=True)
    ]


RULE = Rule(
    "flange-overlap",
    "Flanges do not touch each other.",
    ("stop", "caution"),
    "Common practice, no source: the gap is a default of the catalogue.",
    find,
)
