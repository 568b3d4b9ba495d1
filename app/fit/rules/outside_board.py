"""Every cut-out and counterbore lies on the board, as drawn."""

from __future__ import annotations

from app.fit.finding import Finding
from app.fit.judge import judged_alone, shortfalls, ways_in
from app.fit.layout import KINDS, Layout
from app.fit.rule import Rule

_SOURCE = "A hole needs board all round it."


def find(layout: Layout) -> list[Finding]:
    """One finding for each placement that reaches off the board or into an inner opening."""
    found: list[Finding] = []
    told: set[int] = set()
    for things, insides in ((layout.holes, layout.hole_insides), (layout.cuts, layout.cut_insides)):
        judged = judged_alone(insides[0], 0.0, 0.0, things.owner)
        shorts = [s for s in shortfalls(judged) if int(things.owner[s.row]) not in told]
        told.update(int(things.owner[s.row]) for s in shorts)
        if not shorts:
            continue
        ways = ways_in(things, [s.row for s in shorts], *insides)
        for short, way in zip(shorts, ways, strict=True):
            found.append(
                Finding(
                    rule=RULE.name,
                    severity="stop",
                    subjects=(layout.ids[things.owner[short.row]],),
                    where=way.where,
                    measured=short.measured,
                    required=0.0,
                    source=_SOURCE,
                    detail={"what": KINDS[things.kind[short.row]], **way.detail()},
                )
            )
    return found


RULE = Rule("outside-board", "Every cut-out lies on the board.", ("stop",), _SOURCE, find)
