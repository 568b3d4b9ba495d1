"""Enough material between any two cut-outs of one layer.

Holes of one part are not judged like holes of two parts. Where they overlap they are one opening. Where
they do not, the part fixes both with one template, so they cannot drift toward each other, and the builder
cannot move one of them: only a web thinner than the material can stand, as drawn, is worth a caution.
"""

from __future__ import annotations

import numpy as np

from app.fit.asked import web_asked
from app.fit.finding import Finding
from app.fit.heaps import HEAP, Heap
from app.fit.judge import Clash, clashes, finding_of
from app.fit.layout import Layout, subjects_of
from app.fit.limits import web_limits
from app.fit.rule import Rule


def find(layout: Layout) -> list[Finding]:
    """One finding for each two placements, or each placement, with too thin a web; one for each heap."""
    found = [_heaped(layout, heap) for heap in layout.heaps]
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


def _heaped(layout: Layout, heap: Heap) -> Finding:
    """The hole of each of a heap runs into that of the one they are on, so no board is left between them."""
    on = layout.placed[heap.first]
    limits = web_limits(layout.board.layers, np.array([on.holes[0].diameter]))[0]
    layer = layout.board.layers[int(limits.layer[0])].material
    subjects = subjects_of(layout, (heap.first, *heap.others))
    detail = {"cause": HEAP, "layer": layer.name}
    return Finding(RULE.name, "stop", subjects, (on.x, on.y), None, None, layer.limits.source.text, detail=detail)


RULE = Rule(
    "web",
    "Enough board is left between any two cut-outs.",
    ("stop", "caution"),
    "The limits of each layer's material.",
    find,
)
