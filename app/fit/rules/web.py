"""Enough material between any two cut-outs of one layer.

Holes of one part are not judged like holes of two parts. Where they overlap they are one opening. Where
they do not, the part fixes both with one template, so they cannot drift toward each other, and the builder
cannot move one of them: only a web thinner than the material can stand, as drawn, is worth a caution.
"""

from __future__ import annotations

import numpy as np

from app.fit.allowance import worst_between
from app.fit.finding import Finding
from app.fit.judge import Judged, pair_subjects, shortfalls, ways_apart
from app.fit.layout import Layout
from app.fit.limits import layer_named, web_limits
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements, or each placement, with too thin a web."""
    things, layers, widths = layout.holes, layout.board.layers, layout.hole_widths
    if not len(things):
        return []
    widest = np.array([widths.max()])
    most = max(limit.required[0] for limit in web_limits(layers, widest))
    pairs = things.shapes.within(float(most) + 2 * layout.allowance.position)
    first, second = things.owner[pairs.first], things.owner[pairs.second]
    stop, caution = web_limits(layers, np.maximum(widths[pairs.first], widths[pairs.second]))
    own = first == second
    split = own & (pairs.distance > 0)
    measured = np.where(own, np.where(split, pairs.distance, np.inf), worst_between(pairs.distance, layout.allowance))
    judged = Judged(
        measured,
        np.where(own, -np.inf, stop.required),
        np.where(own, stop.required, caution.required),
        first,
        second,
    )
    shorts = shortfalls(judged)
    if not shorts:
        return []
    named = list(pair_subjects(layout, judged, shorts))
    rows = [s.row for s in shorts]
    ways = ways_apart(things, things, pairs, rows, [flip for _, flip in named])
    found = []
    for short, (subjects, _), way in zip(shorts, named, ways, strict=True):
        kind = "stop" if len(subjects) == 1 else short.severity
        layer = layer_named(layers, stop, caution, short.row, kind)
        found.append(
            Finding(
                rule=RULE.name,
                severity=short.severity,
                subjects=subjects,
                where=way.where,
                measured=short.measured,
                required=short.required,
                source=layer.material.limits.source.text,
                detail={"layer": layer.material.name, **(way.detail() if len(subjects) > 1 else {"own": "yes"})},
            )
        )
    return found


RULE = Rule(
    "web",
    "Enough board stays between any two cut-outs.",
    ("stop", "caution"),
    "The limits of each layer's material.",
    find,
)
