"""Enough material between any two cut-outs of one layer.

Holes of one part are not judged like holes of two parts. Where they overlap they are one opening. Where
they do not, the part fixes both with one template, so they cannot drift toward each other, and the builder
cannot move one of them: only a web thinner than the material can stand, as drawn, is worth a caution.
"""

from __future__ import annotations

from app.fit.asked import web_asked
from app.fit.finding import Finding
from app.fit.judge import Clash, clashes, finding_of
from app.fit.layout import Layout
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements, or each placement, with too thin a web."""
    found = []
    for own, near in ((False, layout.neighbours), (True, layout.own_pairs)):
        found += [_finding(layout, clash, own) for clash in clashes(layout, near, RULE.name)]
    return found


def _finding(layout: Layout, clash: Clash, own: bool) -> Finding:
    stop, caution = web_asked(layout, clash.first, clash.second)
    layer = stop if own or clash.short.severity == "stop" else caution
    more = {"own": "yes", "what": clash.what, "other": clash.other} if own else clash.way.detail()
    return finding_of(
        RULE.name,
        clash.subjects,
        clash.short,
        clash.way,
        layer.material.limits.source.text,
        {"layer": layer.material.name, **more},
    )


RULE = Rule(
    "web",
    "Enough board stays between any two cut-outs.",
    ("stop", "caution"),
    "The limits of each layer's material.",
    find,
)
