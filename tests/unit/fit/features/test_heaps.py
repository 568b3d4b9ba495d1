"""A heap is one finding that says what its pairs would; everything else is judged as if each pair were told."""

from __future__ import annotations

import math
import random
import time
from itertools import combinations

import pytest

from app.fit.features import heaps
from app.fit.features.layout import layout_of
from app.fit.finding import Finding
from app.fit.report.report import Report, check
from app.fit.words.messages import message, remedy
from app.geometry.outline import rectangle_outline
from app.geometry.shapes import Shape, circle, rectangle, slot
from app.model.resolved import Placed, ResolvedBoard
from app.units import Unit
from tests.unit.fit.boards import CATALOGUE, at, board, button, near

HOLE = 28.0
BUTTON = button(HOLE)
WIDE = rectangle_outline(1000, 1000)


def heap(count: int, x: float = 300, y: float = 150, spread: float = 0.0, start: int = 0) -> list[Placed]:
    """``count`` buttons within ``spread`` mm of a place, by a fixed seed."""
    rng = random.Random(count)
    off = [(rng.uniform(-spread, spread), rng.uniform(-spread, spread)) for _ in range(count)]
    return [at(x + dx, y + dy, BUTTON, name=f"p{start + k}") for k, (dx, dy) in enumerate(off)]


def heaped(report: Report) -> list[Finding]:
    return [f for f in report.findings if f.detail.cause == heaps.HEAP]


def told(findings: tuple[Finding, ...]) -> dict[tuple[object, ...], Finding]:
    return {(f.rule, f.subjects, f.detail.edge): f for f in findings}


def test_so_many_on_one_are_told_pair_by_pair_and_one_more_as_a_heap() -> None:
    few, many = (check(board(*heap(1 + heaps.MOST + more)), CATALOGUE) for more in (0, 1))
    assert not heaped(few)
    assert len([f for f in few.findings if f.rule == "web"]) == math.comb(1 + heaps.MOST, 2)
    (one,) = heaped(many)
    assert one.subjects == tuple(f"p{k}" for k in range(2 + heaps.MOST))
    assert [f for f in many.findings if f.rule in ("web", "flange-overlap", "under-clash")] == [one]
    assert many.worst == few.worst == "stop"


@pytest.mark.parametrize("spread", [0.0, 5.0, 60.0])
def test_with_heaps_nothing_is_told_that_pairs_do_not_tell_and_nothing_else_is_left_out(
    spread: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Left out are only pairs of which one lies on another that stands for it; of each of those the pair is a stop."""
    judged = board(*heap(60, spread=spread), *heap(5, 500, 150, 40, start=60), outline=WIDE)
    some = check(judged, CATALOGUE)
    monkeypatch.setattr(heaps, "MOST", len(judged.placements))
    every = told(check(judged, CATALOGUE).findings)
    lying = set[str]()
    for one in heaped(some):
        first, *others = one.subjects
        lying.update(others)
        for other in others:
            pair = every["web", tuple(sorted((first, other), key=lambda s: int(s[1:]))), ""]
            assert pair.severity == "stop"
            assert (pair.measured or 0.0) < 0.0
    assert lying
    mine = told(tuple(f for f in some.findings if f not in heaped(some)))
    left_out = {key: f for key, f in every.items() if not (len(f.subjects) == 2 and lying & set(f.subjects))}
    assert mine == left_out


def test_a_heap_is_the_same_whatever_order_parts_were_put_there_in() -> None:
    placed = heap(80, spread=45.0)
    reports = [check(board(*order, outline=WIDE), CATALOGUE) for order in (placed, placed[::-1])]
    one, other = ([(f.rule, f.severity, f.subjects) for f in report.findings] for report in reports)
    assert one == other
    assert len(heaped(reports[0])) >= 1


def test_parts_set_close_are_no_heap() -> None:
    """Holes a tenth of a millimetre apart: each pair of neighbours is told, and nobody lies on anybody."""
    small = button(5, flange=0, body=4)
    close = [at(300 + 5.1 * (k % 6), 150 + 5.1 * (k // 6), small, name=f"p{k}") for k in range(36)]
    report = check(board(*close), CATALOGUE)
    assert not heaped(report)
    sides = 2 * 6 * 5
    assert len([f for f in report.findings if f.rule == "web" and (f.measured or 9) == near(0.1)]) == sides


@pytest.mark.parametrize(
    ("shape", "inside"),
    [(circle(20), 10.0), (slot(40, 20), 10.0), (rectangle(40, 20), 10.0), (rectangle(40, 20, corner=6), 10.0)],
)
def test_what_counts_as_lying_on_another_is_the_largest_disc_in_its_hole(shape: Shape, inside: float) -> None:
    """Two such holes whose middles are just less than twice its radius apart overlap; further off they may not."""
    part = button(8, more=(shape,))
    for off, lies in ((2 * inside - 0.01, True), (2 * inside + 0.01, False)):
        turned = [at(300, 150 + off, part, name=f"q{k}") for k in range(heaps.MOST + 2)]
        found = layout_of(board(at(300, 150, part, name="a"), *turned), CATALOGUE).heaps
        assert [heap.first for heap in found] == [0 if lies else 1]


def test_a_heap_is_said_in_words_and_nothing_is_tried_meanwhile() -> None:
    report = check(board(*heap(20), at(40, 40, BUTTON, name="z")), CATALOGUE)
    (one,) = heaped(report)
    assert message(one, report.board, Unit.MM) == "The holes of 19 parts run into the hole of P0."
    assert remedy(one, report, Unit.MM).startswith("Move them apart")
    assert report.fix_for(one) is None
    assert not report.advice_for(one).tried
    assert [g.title for g in report.groups(Unit.MM) if g.rule == "web"] == ["20 buttons: on top of one another"]


@pytest.mark.parametrize("spread", [0.0, 100.0])
def test_thousands_on_one_spot_are_judged_at_once(spread: float) -> None:
    """Four and a half million pairs; three seconds are many times what it takes."""
    crowd: ResolvedBoard = board(*heap(3000, 500, 500, spread), outline=WIDE)
    began = time.process_time()
    report = check(crowd, CATALOGUE)
    (holes,) = [t for t in report.tightest() if (t.what, t.other) == ("hole", "hole")]
    assert time.process_time() - began < 3.0
    assert holes.tried == math.comb(3000, 2)
    assert {s for f in report.stops for s in f.subjects} == {p.id for p in crowd.placements}
    assert len(report.findings) < len(list(combinations(range(200), 2)))
