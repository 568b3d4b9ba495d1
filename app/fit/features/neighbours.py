"""Features near each other: the one place where pairs are found and measured.

Placements near each other are found first, each by the circle about all it brings; then their features, those that the
table gives to a rule. A hole under its own flange, or over its own nut, need not be asked for what lies on that face:
the flange or the nut is nearer, and asks for as much.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from propcache.api import cached_property

from app.fit.features.features import BELOW, HOLE, KINDS, ON_TOP, SCREW, Flags, Floats, Ints, is_any
from app.fit.features.part_features import CAPPED, CAPPED_CLAMPED, CLAMPED
from app.fit.limits.cut_depths import SLIGHT
from app.fit.limits.pair_table import PAIR_RULES, judged_by
from app.fit.limits.required_distances import asked_between, asked_within, most_asked
from app.geometry.clearance import Pairs, ShapeSet

if TYPE_CHECKING:
    from app.fit.features.layout import Layout


class Neighbours(Struct, frozen=True, eq=False, dict=True):
    """Pairs of features that a rule judges, near enough to matter.

    Args:
        pairs: indices into the layout's features, and the nominal distance [mm].
        rule: index into ``PAIR_RULES`` of each, shape (n,).
        measured: distance in the worst case, shape (n,) [mm].
        stop: below this it cannot be built, shape (n,) [mm].
        caution: below this it is likely to fail, shape (n,) [mm].
    """

    pairs: Pairs
    rule: Ints
    measured: Floats
    stop: Floats
    caution: Floats

    def __len__(self) -> int:
        return len(self.rule)

    @cached_property
    def short(self) -> Ints:
        """Those that are too near."""
        return np.flatnonzero(self.measured < np.maximum(self.stop, self.caution) - SLIGHT)

    def where(self, keep: Flags | Ints) -> Neighbours:
        """Some of them."""
        p = self.pairs
        some = Pairs(p.first[keep], p.second[keep], p.distance[keep])
        return Neighbours(some, self.rule[keep], self.measured[keep], self.stop[keep], self.caution[keep])


_NONE = Neighbours(
    Pairs(np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0)),
    np.zeros(0, np.intp), np.zeros(0), np.zeros(0), np.zeros(0),
)  # fmt: skip

_MANY = 20_000
"""Pairs of features of two placements beyond which those near each other are looked for."""


def neighbours_of(layout: Layout, reach: float | None = None) -> Neighbours:
    """Pairs of features of different placements.

    Args:
        layout: the board.
        reach: pairs as far apart as this, every one of them [mm]; None for those that may be too near, and without
            those that cannot be the worst of their placements, or are of a heap that another placement stands for.
    """
    features, codes = layout.features, layout.codes if reach is None else layout.features.kind
    off = 2 * layout.allowance.position
    far = most_asked(layout) + off if reach is None else reach
    every = reach is not None or not layout.heaps
    which = np.arange(len(layout.placed)) if every else np.flatnonzero(~layout.stacked)
    i, j = _features_of(layout, *_near_placements(layout, far, which), far)
    rules = _rule_matrix("between")
    kept = np.flatnonzero((rules[codes[i], codes[j]] >= 0) & ~_meant(layout, i, j))
    pairs = features.shapes.measured(features.shapes, i[kept], j[kept], far)
    stop, caution = asked_between(layout, pairs.first, pairs.second)
    rule = rules[features.kind[pairs.first], features.kind[pairs.second]]
    return Neighbours(pairs, rule, pairs.distance - off, stop, caution)


def pairs_judged(layout: Layout) -> tuple[Ints, Ints, Ints]:
    """Every pair of features of different placements that a rule judges: both indices, and the rule's."""
    codes, owner = layout.codes, layout.features.owner
    i, j = np.triu_indices(len(owner), 1)
    rule = _rule_matrix("between")[codes[i], codes[j]]
    kept = np.flatnonzero((rule >= 0) & (owner[i] != owner[j]) & ~_meant(layout, i, j))
    return i[kept], j[kept], rule[kept]


def _meant(layout: Layout, i: Ints, j: Ints) -> Flags:
    """Which pairs are a hole of a pattern over what the same maker hung below it, as a fan: air goes through there."""
    owner, kind, made = layout.features.owner, layout.features.kind, layout.made_by
    if (made < 0).all():
        return np.zeros(len(i), np.bool_)
    hole, below = layout.patterned[owner] & (kind == HOLE), is_any(*BELOW)[kind]
    same = (made[owner[i]] >= 0) & (made[owner[i]] == made[owner[j]])
    found: Flags = same & ((hole[i] & below[j]) | (hole[j] & below[i]))
    return found


def own_pairs(layout: Layout) -> Neighbours:
    """Pairs of features of one placement that a rule about two features judges.

    What one part brings is judged as drawn, since nothing shifts it; the holes of a pattern each drift by themselves.
    """
    features, which = layout.features, _with_own_pairs(layout)
    found = _pattern_pairs(layout) if any(layout.patterned) else _NONE
    if not which:
        return found
    i, j = _expanded(layout, *(np.array(which, np.intp),) * 2)
    rules = _rule_matrix("own")
    kept = np.flatnonzero((rules[features.kind[i], features.kind[j]] >= 0) & (i < j))
    pairs = features.shapes.measured(features.shapes, i[kept], j[kept], np.inf)
    stop, caution = asked_within(layout, pairs)
    rule = rules[features.kind[pairs.first], features.kind[pairs.second]]
    return _joined(Neighbours(pairs, rule, pairs.distance, stop, caution), found)


def _with_own_pairs(layout: Layout) -> list[int]:
    """Placements with several holes, screws in the board, or something cut from below; no patterns."""
    parts = [row.kinds.count(HOLE) > 1 or SCREW in row.kinds for row in layout.part_things]
    found = [i for i, part in enumerate(layout.parts[1].tolist()) if parts[part] and not layout.patterned[i]]
    return sorted({*found, *layout.cuts.owner.tolist()}) if len(layout.cuts) else found


def _pattern_pairs(layout: Layout) -> Neighbours:
    """Holes of one pattern that may be too near each other, in the worst case."""
    features = layout.features
    rows = np.flatnonzero(layout.patterned[features.owner] & (features.kind == HOLE))
    off = 2 * layout.allowance.position
    near = features.shapes.take(rows).within(most_asked(layout) + off)
    first, second = rows[near.first], rows[near.second]
    own = features.owner[first] == features.owner[second]
    pairs = Pairs(first[own], second[own], near.distance[own])
    stop, caution = asked_between(layout, pairs.first, pairs.second)
    rule = _rule_matrix("between")[HOLE, HOLE]
    return Neighbours(pairs, np.full(len(pairs), rule), pairs.distance - off, stop, caution)


def _joined(a: Neighbours, b: Neighbours) -> Neighbours:
    if not len(b):
        return a
    p, q = a.pairs, b.pairs
    first, second = np.concatenate((p.first, q.first)), np.concatenate((p.second, q.second))
    pairs = Pairs(first, second, _both(p.distance, q.distance))
    rule = np.concatenate((a.rule, b.rule))
    limits = (_both(a.measured, b.measured), _both(a.stop, b.stop), _both(a.caution, b.caution))
    return Neighbours(pairs, rule, *limits)


def _both(a: Floats, b: Floats) -> Floats:
    return np.concatenate((a, b))


def _near_placements(layout: Layout, reach: float, which: Ints) -> tuple[Ints, Ints]:
    """Of the placements ``which``, those whose features may be within ``reach`` of each other, each two once."""
    places = layout.poses[which, :2]
    pairs = ShapeSet(places[:, None], np.ones(len(places), np.intp), layout.extents[which]).within(reach)
    return which[pairs.first], which[pairs.second]


def _features_of(layout: Layout, one: Ints, other: Ints, reach: float) -> tuple[Ints, Ints]:
    """Features of two placements each that may be within ``reach`` of each other: of most placements all of them."""
    features = layout.features
    many = np.bincount(features.owner, minlength=len(layout.placed))
    large: Flags = many[one] * many[other] > _MANY
    i, j = _expanded(layout, one[~large], other[~large])
    if not large.any():
        return i, j
    wanted = np.zeros((len(many), len(many)), np.bool_)
    wanted[one[large], other[large]] = wanted[other[large], one[large]] = True
    owners: Flags = np.isin(features.owner, np.flatnonzero(wanted.any(axis=1)))
    rows = np.flatnonzero(owners)
    near = features.shapes.take(rows).within(reach)
    first, second = rows[near.first], rows[near.second]
    kept = wanted[features.owner[first], features.owner[second]]
    return np.concatenate((i, first[kept])), np.concatenate((j, second[kept]))


def _expanded(layout: Layout, one: Ints, other: Ints) -> tuple[Ints, Ints]:
    """Every feature of each placement of ``one`` with every feature of its fellow of ``other``."""
    owner = layout.features.owner
    many = np.bincount(owner, minlength=len(layout.placed))
    first = np.cumsum(many) - many
    width = many[other]
    total = many[one] * width
    pair = np.repeat(np.arange(len(one)), total)
    k = np.arange(len(pair)) - (np.cumsum(total) - total)[pair]
    row, column = np.divmod(k, width[pair])
    return first[one[pair]] + row, first[other[pair]] + column


@lru_cache(maxsize=2)
def _rule_matrix(table: str) -> Ints:
    """Index of the rule that judges two kinds, −1 for none, shape (codes, codes)."""
    n = len(KINDS)
    rules = np.full((n + 3, n + 3), -1, np.intp)
    for index, rule in enumerate(PAIR_RULES):
        rules[:n, :n][judged_by(rule, table)] = index
    for code, faces in ((CAPPED, ON_TOP), (CLAMPED, BELOW), (CAPPED_CLAMPED, (*ON_TOP, *BELOW))):
        rules[code] = rules[HOLE]
        rules[:, code] = rules[:, HOLE]
        rules[code, list(faces)] = rules[list(faces), code] = -1
    for one in (CAPPED, CLAMPED, CAPPED_CLAMPED):
        for two in (CAPPED, CLAMPED, CAPPED_CLAMPED):
            rules[one, two] = rules[HOLE, HOLE]
    return rules
