"""Pitch for an open area by the published formulas of perforated sheet, and what is made of it."""

from __future__ import annotations

import pytest

from app.geometry.lattices import Lattice
from app.model.open_area import hole_area, pitch_for_open_area

# Open area of round holes, hole and pitch in mm, by the formulas that perforators publish [%]: 90.69 (d/p)² staggered
# at 60°, 78.54 (d/p)² in squares, and the same at 45° where the pitch is that of nearest holes.
PUBLISHED = [
    (3, 5, 32.65, 28.27),
    (4, 6, 40.31, 34.91),
    (5, 7, 46.27, 40.07),
    (6, 8, 51.01, 44.18),
    (6, 9, 40.31, 34.91),
]


@pytest.mark.parametrize(("hole", "pitch", "staggered", "square"), PUBLISHED)
def test_the_pitch_for_an_open_area_is_the_published_one(
    hole: float, pitch: float, staggered: float, square: float
) -> None:
    within = 0.005 / square  # of the pitch: the shares are printed to two places
    assert pitch_for_open_area("staggered-60", hole, staggered) == pytest.approx(pitch, rel=within)
    assert pitch_for_open_area("square", hole, square) == pytest.approx(pitch, rel=within)
    assert pitch_for_open_area("staggered-45", hole, square) == pytest.approx(pitch, rel=within)


def test_slots_with_round_ends_have_the_published_area_and_keep_one_web_all_round() -> None:
    """Published: (w·l − 0.215 w²) / (t1·t2) of slots w × l at t1 × t2; 3 × 20 in 6 × 23 has 3 mm of web either way."""
    assert hole_area(3, 20) == pytest.approx(3 * 20 - 0.215 * 9, abs=0.005)
    share = 100 * (3 * 20 - 0.215 * 9) / (6 * 23)
    assert pitch_for_open_area("slots", 3, share, 20) == pytest.approx(6, abs=0.001)


def test_a_distance_that_is_given_is_kept() -> None:
    """A slot or ring has pitch × distance along to itself: 3 × 20 at 6 × 25, rings 10 apart."""
    share = 100 * hole_area(3, 20) / (6 * 25)
    assert pitch_for_open_area("slots", 3, share, 20, gap=5) == pytest.approx(6)
    pitch = pitch_for_open_area("rings", 5, 25, gap=10)
    assert 100 * hole_area(5) / Lattice("rings", pitch, 10).share == pytest.approx(25)
