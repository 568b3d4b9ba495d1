"""Orders of holes: distances of nearest holes, room to each hole, symmetry, cells that stay their own.

Sources: the open area of perforated sheet, π/(2·√3)·(d/p)² for rows staggered at 60° and π/4·(d/p)² for squares, as
perforators publish it, from which a hole has √3/2·p² or p² to itself; the rest follows from the definition.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from app.errors import GeometryError
from app.geometry.lattices import MOST_CELLS, Lattice, Order
from tests.folding import each

ORDERS: list[Order] = ["square", "staggered-60", "staggered-45", "rings", "slots"]
STRAIGHT: list[Order] = ["square", "staggered-60", "staggered-45"]


@each("order, middle", [(order, middle) for order in STRAIGHT for middle in ("hole", "gap")])
def test_nearest_holes_are_a_pitch_apart(order: Order, middle: str) -> None:
    _, places = Lattice(order, 7.5, middle=middle).cells(200, 150)  # type: ignore[arg-type]
    nearest = cKDTree(places).query(places, 2)[0][:, 1]
    assert nearest == pytest.approx(np.full(len(places), 7.5), abs=1e-9)


@pytest.mark.parametrize(("order", "turn"), [("square", 90.0), ("staggered-60", 60.0), ("staggered-45", 45.0)])
def test_rows_of_nearest_holes_meet_at_the_angle_of_the_name(order: Order, turn: float) -> None:
    """Against the x axis: 45° rows of nearest holes lie between rows that are wider apart."""
    _, places = Lattice(order, 10.0).cells(100, 100)
    near = places[np.isclose(np.hypot(*places.T), 10.0)]
    angles = np.sort(np.mod(np.degrees(np.arctan2(near[:, 1], near[:, 0])), 360))
    assert angles[angles > 1][0] == pytest.approx(turn)
    assert np.diff(angles) == pytest.approx(np.full(len(angles) - 1, 60.0 if turn == 60.0 else 90.0))


@each("order, share", [("square", 1.0), ("staggered-60", math.sqrt(3) / 2), ("staggered-45", 1.0)])
def test_a_hole_has_as_much_board_to_itself_as_published(order: Order, share: float) -> None:
    lattice = Lattice(order, 4.0)
    cells, _ = lattice.cells(1000, 800)
    assert lattice.share == pytest.approx(share * 16)
    assert len(cells) * lattice.share == pytest.approx(1000 * 800, rel=0.01)


@each("order, middle", [(order, middle) for order in ORDERS for middle in ("hole", "gap")])
def test_both_lines_through_the_middle_are_lines_of_symmetry(order: Order, middle: str) -> None:
    _, places = Lattice(order, 9.0, 31.0 if order == "slots" else 9.0, middle).cells(170, 130)  # type: ignore[arg-type]
    there = {(round(x, 6), round(y, 6)) for x, y in (places + 0.0).tolist()}
    assert there == {(round(-x, 6) + 0.0, round(y, 6)) for x, y in there}
    assert there == {(round(x, 6), round(-y, 6) + 0.0) for x, y in there}
    assert ((0.0, 0.0) in there) == (middle == "hole")


@given(pitch=st.floats(2, 30), along=st.floats(2, 30), middle=st.sampled_from(["hole", "gap"]))
def test_holes_of_a_ring_are_at_least_a_pitch_apart_and_as_many_as_go(pitch: float, along: float, middle: str) -> None:
    """On a ring of radius r, n holes are 2·r·sin(π/n) apart; two more would be nearer than the pitch."""
    lattice = Lattice("rings", pitch, along, middle)  # type: ignore[arg-type]
    cells, places = lattice.cells(200, 200)
    whole = 100 // along  # the corners cut off rings farther out
    for ring in range(int(whole)):
        mine = places[cells[:, 0] == ring]
        radius = (ring + (0.0 if middle == "hole" else 0.5)) * along
        assert np.hypot(*mine.T) == pytest.approx(np.full(len(mine), radius))
        if radius > 0:
            apart = [2 * radius * math.sin(math.pi / n) for n in (max(len(mine), 2), len(mine) + 2)]
            assert len(mine) % 2 == 0
            assert len(mine) == 0 or apart[0] >= pitch * (1 - 1e-6)
            assert apart[1] < pitch * (1 + 1e-6)


@pytest.mark.parametrize("order", ORDERS)
def test_a_place_keeps_its_cell_however_far_the_order_reaches(order: Order) -> None:
    lattice = Lattice(order, 6.0, 20.0)
    small, large = lattice.cells(60, 60), lattice.cells(200, 120)
    known = {tuple(cell): place for cell, place in zip(large[0].tolist(), large[1].tolist(), strict=True)}
    assert len(small[0]) > 3
    for cell, place in zip(small[0].tolist(), small[1].tolist(), strict=True):
        assert known[tuple(cell)] == pytest.approx(place)


def test_slots_are_as_far_apart_as_they_say() -> None:
    _, places = Lattice("slots", 8.0, 40.0).cells(200, 50)
    assert sorted(set(np.round(places[:, 0], 6) + 0.0)) == [-80.0, -40.0, 0.0, 40.0, 80.0]
    assert sorted(set(np.round(places[:, 1], 6) + 0.0)) == [-24.0, -16.0, -8.0, 0.0, 8.0, 16.0, 24.0]


@each("order, pitch, along", [("square", 0.0, 0.0), ("square", math.nan, 0.0), ("rings", 5.0, 0.0), ("slots", 5, -1)])
def test_a_distance_is_above_nothing(order: Order, pitch: float, along: float) -> None:
    with pytest.raises(GeometryError, match=r"above 0 mm, got .* Enter it again"):
        Lattice(order, pitch, along)


def test_more_than_anybody_drills_is_refused_before_it_is_made() -> None:
    side = math.sqrt(MOST_CELLS)
    assert len(Lattice("square", 1.0).cells(side - 1, side - 1)[0]) < MOST_CELLS
    with pytest.raises(GeometryError, match="Widen the pitch"):
        Lattice("square", 1e-9).cells(5000, 5000)
