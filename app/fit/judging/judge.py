"""From arrays of distances to findings: which fall short, the worst of each placement, and the way out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

import numpy as np
from msgspec import Struct

from app.fit.detail import Detail
from app.fit.features.features import WORDS, Features, Floats, Ints
from app.fit.features.layout import Layout, subjects_of
from app.fit.features.neighbours import Neighbours
from app.fit.finding import Finding, FindingOf, Severity
from app.fit.limits.cut_depths import SLIGHT, TINY
from app.fit.limits.pair_table import PAIR_RULES
from app.geometry.clearance import Pairs
from app.geometry.convex import gaps_between
from app.geometry.shapes import Point

D = TypeVar("D", bound=Detail)


class Judged(Struct, frozen=True, eq=False):
    """Distances beside what is required of them, each of shape (n,) [mm].

    Args:
        measured: worst case.
        stop: below this it cannot be built.
        caution: below this it is likely to fail.
        first: index of the placement.
        second: index of the other placement; the same as ``first`` if there is none.
    """

    measured: Floats
    stop: Floats
    caution: Floats
    first: Ints
    second: Ints


def judged_alone(measured: Floats, stop: Floats | float, caution: Floats | float, owner: Ints) -> Judged:
    """Distances of features by themselves; a limit may be one for all."""
    lowest, low = (np.full(len(measured), v) if isinstance(v, int | float) else v for v in (stop, caution))
    return Judged(measured, lowest, low, owner, owner)


class Short(Struct, frozen=True):
    """One distance that falls short: its row, how badly, and what it should be [mm]."""

    row: int
    severity: Severity
    measured: float
    required: float


def shortfalls(judged: Judged) -> list[Short]:
    """The distances that fall short, the worst of each placement or pair only: one cause, one finding."""
    severe = judged.measured < judged.stop - SLIGHT
    bad = np.flatnonzero(severe | (judged.measured < judged.caution - SLIGHT))
    if not len(bad):
        return []
    severe = severe[bad]
    measured = judged.measured[bad]
    required = np.where(severe, judged.stop[bad], judged.caution[bad])
    low = np.minimum(judged.first[bad], judged.second[bad])
    high = np.maximum(judged.first[bad], judged.second[bad])
    order = np.lexsort((measured - required, ~severe, high, low))
    low, high = low[order], high[order]
    fresh = np.concatenate(([True], (low[1:] != low[:-1]) | (high[1:] != high[:-1])))
    order = order[fresh]
    rows = zip(
        bad[order].tolist(), severe[order].tolist(), measured[order].tolist(), required[order].tolist(), strict=True
    )
    return [Short(row, "stop" if worst else "caution", got, needed) for row, worst, got, needed in rows]


class Shortfall(Struct, frozen=True):
    """Where a distance is short, and which way the first subject moves to mend it: a unit vector."""

    where: Point
    toward: Point


def ways_in(features: Features, rows: list[int], distance: Floats, foot_x: Floats, foot_y: Floats) -> list[Shortfall]:
    """For features near an edge: the middle of what lies between, and the way in from the edge.

    Args:
        features: all of them.
        rows: those that are too near.
        distance: inside distance of every feature [mm].
        foot_x: nearest point of the edge to every feature [mm].
        foot_y: its other coordinate [mm].
    """
    points, radius = features.shapes.points[rows], features.shapes.radii[rows]
    foot = np.stack((foot_x[rows], foot_y[rows]), axis=1)
    core = distance[rows] + radius  # of the core; negative where a vertex is off the board
    gap = gaps_between(foot[:, None], points)
    spans = np.hypot(*(points - foot[:, None]).transpose(2, 0, 1))
    off = points[np.arange(len(rows)), np.abs(spans + core[:, None]).argmin(axis=1)]  # the vertex furthest off
    back = foot - off
    length = np.maximum(np.hypot(back[:, 0], back[:, 1]), TINY)
    toward = np.where((core < -TINY)[:, None], back / length[:, None], gap.direction)
    middle = foot + toward * (np.maximum(distance[rows], 0.0) / 2)[:, None]
    return _ways(middle, toward)


def ways_apart(a: Features, b: Features, pairs: Pairs, rows: list[int], flip: list[bool]) -> list[Shortfall]:
    """For pairs too near: the middle between them, and the way the first subject moves off the second.

    Args:
        a: the features the pairs' first indices mean.
        b: the features their second indices mean.
        pairs: all pairs.
        rows: those that are too near.
        flip: whether the first subject of each is the pair's second.
    """
    i, j, d = pairs.first[rows], pairs.second[rows], pairs.distance[rows]
    gap = a.shapes.gaps(i, b.shapes, j)
    apart = (gap.distance > TINY)[:, None]
    centres = (a.shapes.centres[i] + b.shapes.centres[j]) / 2
    between = gap.nearest[:, 0] + gap.direction * (a.shapes.radii[i] + d / 2)[:, None]
    sign = np.where(flip, 1.0, -1.0)[:, None]  # a direction leads from the first to the second
    return _ways(np.where(apart, between, centres), gap.direction * sign)


def finding_of(
    rule: str, subjects: tuple[str, ...], short: Short, way: Shortfall, source: str, detail: D
) -> FindingOf[D]:
    """A finding about a distance that falls short.

    Args:
        rule: name of the rule.
        subjects: placement ids.
        short: how badly, and what it should be.
        way: where it is; which way it is mended the caller puts into the detail.
        source: where the requirement comes from.
        detail: values for the words.
    """
    return FindingOf(rule, short.severity, subjects, way.where, short.measured, short.required, source, detail)


class Clash(Struct, frozen=True):
    """Two features too near each other.

    Args:
        subjects: placement ids in their order; one, if both are of one placement.
        first, second: indices of the features, those of the first subject first.
        what, other: what a finding calls them.
        short: how badly, and what it should be.
        way: where, and which way the first subject moves to mend it.
    """

    subjects: tuple[str, ...]
    first: int
    second: int
    what: str
    other: str
    short: Short
    way: Shortfall


def clashes(layout: Layout, near: Neighbours, rule: str) -> list[Clash]:
    """What a rule finds among pairs: of each two placements the worst."""
    rows = near.short
    if len(rows):
        rows = rows[near.rule[rows] == PAIR_RULES.index(rule)]
    if not len(rows):
        return []
    some, owner = near.where(rows), layout.features.owner
    judged = Judged(some.measured, some.stop, some.caution, owner[some.pairs.first], owner[some.pairs.second])
    shorts = shortfalls(judged)
    named = list(pair_subjects(layout, judged, shorts))
    ways = ways_apart(
        layout.features, layout.features, some.pairs, [s.row for s in shorts], [flip for _, flip in named]
    )
    found = []
    for short, (subjects, flip), way in zip(shorts, named, ways, strict=True):
        pair = int(some.pairs.first[short.row]), int(some.pairs.second[short.row])
        first, second = reversed(pair) if flip else pair
        what, other = (WORDS[int(layout.features.kind[k])] for k in (first, second))
        found.append(Clash(subjects, first, second, what, other, short, way))
    return found


def pair_subjects(layout: Layout, judged: Judged, shorts: list[Short]) -> Iterator[tuple[tuple[str, ...], bool]]:
    """The subjects of each pair in their order, and whether that order is the other way round."""
    for short in shorts:
        first, second = int(judged.first[short.row]), int(judged.second[short.row])
        subjects = subjects_of(layout, (first, second) if first != second else (first,))
        yield subjects, subjects[0] != layout.ids[first]


def _ways(where: Floats, toward: Floats) -> list[Shortfall]:
    rows = zip(where.tolist(), toward.tolist(), strict=True)
    return [Shortfall((wx, wy), (tx, ty)) for (wx, wy), (tx, ty) in rows]


def worst_each(found: Iterable[FindingOf[D]]) -> list[FindingOf[D]]:
    """Of findings about the same subjects only the worst: the severest, then the one that lacks most."""
    kept: dict[tuple[str, ...], FindingOf[D]] = {}
    for finding in found:
        other = kept.get(finding.subjects)
        if other is None or _badness(finding) > _badness(other):
            kept[finding.subjects] = finding
    return list(kept.values())


def _badness(finding: Finding) -> tuple[bool, float]:
    return (finding.severity == "stop", -(finding.margin or 0.0))
