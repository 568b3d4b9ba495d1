"""Every cut-out and counterbore lies on the board, as drawn."""

from __future__ import annotations

import numpy as np

from app.fit.finding import Finding
from app.fit.judge import judged_alone, shortfalls, ways_in
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.fit.table import kinds_against
from app.fit.things import EDGE, WORDS

_SOURCE = "A hole needs board all round it."


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement that reaches off the board or into an inner opening."""
    things, insides = layout.things, layout.insides
    if not layout.near_rim(0.0).any():
        return []
    cut = layout.is_any(*kinds_against(RULE.name, EDGE))
    shorts = shortfalls(judged_alone(np.where(cut, insides[0], np.inf), 0.0, 0.0, things.owner))
    if not shorts:
        return []
    ways = ways_in(things, [s.row for s in shorts], *insides)
    return [
        Finding(
            rule=RULE.name,
            severity="stop",
            subjects=(layout.ids[things.owner[short.row]],),
            where=way.where,
            measured=short.measured,
            required=0.0,
            source=_SOURCE,
            detail={"what": WORDS[things.kind[short.row]], **way.detail()},
        )
        for short, way in zip(shorts, ways, strict=True)
    ]


RULE = Rule("outside-board", "Every cut-out lies on the board.", ("stop",), _SOURCE, find)
