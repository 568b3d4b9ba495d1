"""Seams against brute force, with the cost counted anew here."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.paper.sheet.seams import Holes, place_seams, sheets_needed
from tests.long_run import examples

ROOM, OVERLAP = 180.0, 10.0

holes = st.lists(st.tuples(st.floats(5, 500), st.floats(1.5, 51)), min_size=1, max_size=14)


def counted(seams: tuple[float, ...], circles: list[tuple[float, float]]) -> tuple[int, int, int]:
    """Centres within 1 mm of a seam, within 10 mm of one, and holes with less than 1 mm to one."""
    off = [(abs(s - at), r) for s in seams for at, r in circles]
    return (
        sum(d < 1.0 - 1e-7 for d, _ in off),
        sum(d < 10.0 - 1e-7 for d, _ in off),
        sum(d < r + 1.0 - 1e-7 for d, r in off),
    )


def possible(seams: tuple[float, ...], low: float, high: float) -> bool:
    """Whether windows of ROOM can show every stretch between the seams and half an overlap beyond them."""
    edges = [low, *seams, high]
    for k, (a, b) in enumerate(itertools.pairwise(edges)):
        first = a - (OVERLAP / 2 if k > 0 else 0.0)
        last = b + (OVERLAP / 2 if k < len(edges) - 2 else 0.0)
        if not 0 < last - first <= ROOM + 1e-6:
            return False
    return True


def placed(
    circles: list[tuple[float, float]], low: float, high: float
) -> tuple[tuple[float, ...], tuple[int, int, int]]:
    made = Holes(np.array([c[0] for c in circles]), np.array([c[1] for c in circles]))
    seams, cost, _ = place_seams(low, high, ROOM, OVERLAP, made)
    return seams, (cost.through, cost.near, cost.cut)


@pytest.mark.parametrize(
    ("length", "sheets"),
    # n windows of 180 that overlap by 10 cover 180 + 170·(n − 1) mm.
    [(180.0, 1), (180.1, 2), (350.0, 2), (350.1, 3), (520.0, 3), (690.0, 4), (690.1, 5)],
)
def test_fewest_windows(length: float, sheets: int) -> None:
    assert sheets_needed(length, ROOM, OVERLAP) == sheets


@given(holes, st.floats(181, 349))
@examples(25)
def test_one_seam_is_never_beaten_by_a_fine_grid(circles: list[tuple[float, float]], high: float) -> None:
    seams, cost = placed(circles, 0.0, high)
    assert possible(seams, 0.0, high)
    assert counted(seams, circles) == cost
    grid = [(s,) for s in np.arange(OVERLAP / 2, high, 0.25) if possible((s,), 0.0, high)]
    assert all(cost <= counted(s, circles) for s in grid)


@given(holes, st.floats(351, 519))
@examples(25)
def test_two_seams_are_never_beaten_by_a_grid(circles: list[tuple[float, float]], high: float) -> None:
    seams, cost = placed(circles, 0.0, high)
    assert possible(seams, 0.0, high)
    assert counted(seams, circles) == cost
    steps = np.arange(OVERLAP / 2, high, 1.5)
    grid = [(a, b) for a in steps for b in steps if a < b and possible((a, b), 0.0, high)]
    assert all(cost <= counted(pair, circles) for pair in grid)


def test_without_holes_the_seams_are_even() -> None:
    made = Holes(np.zeros(0), np.zeros(0))
    seams, cost, _ = place_seams(0.0, 500.0, ROOM, OVERLAP, made)
    assert seams == pytest.approx((500 / 3, 1000 / 3))
    assert cost.key == (0, 0, 0, 0.0)


def test_a_seam_goes_round_a_hole_that_stands_in_its_even_place() -> None:
    seams, cost = placed([(150.0, 15.0)], 0.0, 300.0)
    assert abs(seams[0] - 150.0) == pytest.approx(16.0)
    assert cost == (0, 0, 0)
