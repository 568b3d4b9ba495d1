"""Features against rails and slots, the solids along a board's edges."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from app.fit.features.features import WORDS, Features, Floats, Ints
from app.fit.features.layout import Layout
from app.fit.judging.judge import Judged, Short, Shortfall, shortfalls, ways_apart
from app.fit.limits.allowance import worst_to_edge
from app.geometry.clearance import Pairs, shape_set
from app.geometry.strips import Strip


class StripClash(Struct, frozen=True):
    """A feature too near a rail or slot: the placement, what it is, the strip, how badly, and the way out."""

    subject: str
    what: str
    strip: Strip
    short: Short
    way: Shortfall


def meetings(layout: Layout, strips: Sequence[Strip], which: Ints, needed: Floats) -> list[StripClash]:
    """Of each placement and edge the worst of what comes nearer to the edge's strips than ``needed`` [mm].

    Args:
        layout: the board.
        strips: rails or slots.
        which: indices of the features that may not meet them.
        needed: distance each of those needs, shape (n,) [mm].
    """
    if not strips or not len(which):
        return []
    off = layout.allowance.position + layout.allowance.edge
    reach = float(needed.max()) + off
    deepest = max(strip.deep for strip in strips)
    near = layout.rim_insides[0][which] < deepest + reach
    which, needed = which[near], needed[near]
    features, pairs, places = against_strips(layout, strips, which, reach)
    edges = [strips[k].edge for k in pairs.second.tolist()]
    measured = worst_to_edge(pairs.distance, layout.allowance)
    rows = features.owner[pairs.first]
    found = []
    for edge in dict.fromkeys(edges):
        here = np.flatnonzero(np.array(edges) == edge)
        owner = rows[here]
        judged = Judged(measured[here], np.zeros(len(here)), needed[pairs.first[here]], owner, owner)
        shorts = shortfalls(judged)
        some = Pairs(pairs.first[here], pairs.second[here], pairs.distance[here])
        ways = ways_apart(features, places, some, [s.row for s in shorts], [False] * len(shorts)) if shorts else []
        for short, way in zip(shorts, ways, strict=True):
            first, second = int(some.first[short.row]), int(some.second[short.row])
            what = WORDS[int(features.kind[first])]
            found.append(StripClash(layout.ids[int(owner[short.row])], what, strips[second], short, way))
    return found


def against_strips(
    layout: Layout, strips: Sequence[Strip], which: Ints, reach: float
) -> tuple[Features, Pairs, Features]:
    """Features ``which`` and the strips nearer to them than ``reach``: the features, the pairs, the strips as features.

    What overlaps a strip leaves it to the inside or past its ends, never over the edge: the strip is drawn out there.
    """
    features = layout.features.take(which)
    true, beyond = shape_set([s.shape for s in strips]), shape_set([s.beyond for s in strips])
    pairs = features.shapes.against(true, reach)
    over = np.flatnonzero(pairs.distance < 0)
    if len(over):
        i, j = pairs.first[over], pairs.second[over]
        pairs.distance[over] = features.shapes.gaps(i, beyond, j).distance - features.shapes.radii[i] - beyond.radii[j]
    blank = np.zeros(len(strips), np.intp)
    return features, pairs, Features(beyond, blank, blank)
