"""Spreading a cluster of parts that are too near each other: each moves away from the middle, so its form stays.

A cluster is what findings about two parts connect. It is enlarged by what its tightest two lack; where that does harm,
or one of it is locked, it stays as it is and its parts are moved one by one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from app.fit.changes.moved_board import Shifted, key_of
from app.fit.changes.trial import Trial
from app.fit.finding import Finding
from app.fit.limits.cut_depths import outward
from app.geometry.shapes import Point

_TRIES = 3  # a cluster is enlarged this often before it is given up
_LEAST = 3  # parts: of two, one moves


def spread(trial: Trial, findings: Sequence[Finding], step: float) -> dict[str, Point]:
    """How far each part moves of clusters whose spreading clears every finding about them and adds none [mm].

    Args:
        trial: the board they were found on.
        findings: of one cause.
        step: moves are on it [mm].
    """
    clusters = _clusters(trial, findings)
    work = Shifted(trial, frozenset(key_of(f) for f in findings))
    wide = dict.fromkeys(clusters, 0.0)
    lacking = list(findings)
    for _ in range(_TRIES if clusters else 0):
        for ids in wide:
            wide[ids] = max(wide[ids], _enlarged(trial, ids, work.offsets, lacking))
        work.offsets = {one: by for ids, k in wide.items() for one, by in _offsets(trial, ids, k, step).items()}
        left, harm = work.judged()
        hurt = {s for f in harm for s in f.subjects}
        wide = {ids: k for ids, k in wide.items() if hurt.isdisjoint(ids)}
        lacking = list(left.values())
        if not left and not harm:
            break
    short = {s for f in lacking for s in f.subjects}
    good = [ids for ids in wide if short.isdisjoint(ids)]
    return {one: work.offsets[one] for ids in good for one in ids if one in work.offsets}


def _clusters(trial: Trial, findings: Sequence[Finding]) -> list[tuple[str, ...]]:
    """Parts that findings about two of them connect; none with a locked one among them, and none of two."""
    group: dict[str, set[str]] = {}
    for finding in findings:
        if len(finding.subjects) != 2 or finding.detail.toward is None:
            continue
        a, b = (group.setdefault(s, {s}) for s in finding.subjects)
        if a is not b:
            a, b = (a, b) if len(a) >= len(b) else (b, a)
            a |= b
            group.update(dict.fromkeys(b, a))
    found = {id(ids): tuple(sorted(ids)) for ids in group.values() if len(ids) >= _LEAST}
    placed = trial.board.placed
    return [ids for ids in found.values() if all((p := placed(s)) and not p.locked for s in ids)]


def _enlarged(trial: Trial, ids: tuple[str, ...], offsets: dict[str, Point], lacking: Sequence[Finding]) -> float:
    """By which share of itself a cluster, as it is on the board, has to grow so that no two of it lack anything."""
    places = {s: _place(trial, s) for s in ids}
    share = 0.0
    for finding in lacking:
        if len(finding.subjects) == 2 and finding.subjects[0] in places:
            one, other = (places[s] for s in finding.subjects)
            a, b = (offsets.get(s, (0.0, 0.0)) for s in finding.subjects)
            was, now = math.dist(one, other), math.dist(np.add(one, a), np.add(other, b))
            if was > 0:
                share = max(share, (now + finding.lack) / was - 1)
    return share


def _offsets(trial: Trial, ids: tuple[str, ...], share: float, step: float) -> dict[str, Point]:
    """Each part of a cluster moved away from its middle by a share of how far it is [mm]."""
    places = np.array([_place(trial, s) for s in ids])
    by = (places - (places.min(axis=0) + places.max(axis=0)) / 2) * share
    return {s: (outward(x, step), outward(y, step)) for s, (x, y) in zip(ids, by.tolist(), strict=True)}


def _place(trial: Trial, one: str) -> Point:
    placed = trial.board.placed(one)
    return (placed.x, placed.y) if placed else (0.0, 0.0)
