"""Ways for wires: shortest by Pythagoras and by scipy, the least tree by scipy, gaps to the last 0.1 mm."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import scipy.sparse as sparse
from scipy.sparse import csgraph

from app.geometry.free_places import free_places
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.shapes import Point, circle, rectangle
from app.geometry.wire_trees import least_tree, way_between, ways_to
from app.geometry.wire_ways import Obstacle, Ways, parted, ways_among

FACE = rectangle_outline(600.0, 300.0)


def cluttered(seed: int, parts: int = 12) -> tuple[list[Obstacle], list[Point]]:
    """Round bodies that do not touch, a point in each, and a few areas between."""
    dice = np.random.default_rng(seed)
    places: list[Point] = []
    while len(places) < parts:
        x, y = float(dice.uniform(30, 570)), float(dice.uniform(30, 270))
        if all(math.dist((x, y), other) > 40 for other in places):
            places.append((x, y))
    things = [Obstacle(circle(24, *at), k) for k, at in enumerate(places)]
    areas = [
        Obstacle(
            rectangle(60, 8, float(dice.uniform(80, 520)), float(dice.uniform(60, 240)), float(dice.uniform(0, 90)))
        )
        for _ in range(4)
    ]
    return things + areas, places


def all_distances(ways: Ways) -> np.ndarray:
    """Between every two points, by scipy; no way leads through a third."""
    n = len(ways.nodes)
    full = sparse.csr_matrix((ways.length, ways.other, ways.start), shape=(n, n)).toarray()
    found = np.zeros((ways.points, ways.points))
    for k in range(ways.points):
        own = full.copy()
        own[: ways.points] = 0
        own[k] = full[k]
        found[k] = csgraph.dijkstra(sparse.csr_matrix(own), indices=k)[: ways.points]
    return found


def test_a_way_round_a_rectangle_is_as_long_as_its_three_straight_pieces() -> None:
    """Two points either side of 40 × 60 mm, 2 mm clear: 2·√((100 − 22)² + 32²) + 44, by Pythagoras."""
    ways = ways_among(FACE, (), [Obstacle(rectangle(40, 60, 300, 150))], [(200.0, 150.0), (400.0, 150.0)], 2.0)
    found = way_between(ways, 0, 1)
    assert found is not None
    assert found.length == pytest.approx(2 * math.hypot(78, 32) + 44, abs=1e-6)


def test_a_way_round_a_circle_is_no_shorter_than_a_taut_string_and_hardly_longer() -> None:
    """The string: two tangents and the arc between them; an octagon about the circle adds 1.4 % of that at most."""
    r, d = 32.0, 100.0
    ways = ways_among(FACE, (), [Obstacle(circle(60, 300, 150))], [(200.0, 150.0), (400.0, 150.0)], 2.0)
    found = way_between(ways, 0, 1)
    string = 2 * math.sqrt(d * d - r * r) + r * (math.pi - 2 * math.acos(r / d))
    assert found is not None
    assert string <= found.length <= string * 1.02


def test_where_nothing_is_between_a_way_is_straight_and_a_notch_of_the_rim_is_gone_round() -> None:
    points = [(50.0, 250.0), (550.0, 250.0)]
    straight = way_between(ways_among(FACE, (), [], points, 2.0), 0, 1)
    assert straight is not None and straight.length == 500.0
    corners = [(0, 0), (600, 0), (600, 300), (350, 300), (350, 100), (250, 100), (250, 300), (0, 300)]
    notched = Outline(tuple(Corner(x, y) for x, y in corners))
    round_it = way_between(ways_among(notched, (), [], points, 2.0), 0, 1)
    assert round_it is not None
    assert round_it.length == pytest.approx(2 * math.hypot(248 - 50, 250 - 98) + 104, abs=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_ways_and_the_least_tree_are_those_of_scipy(seed: int) -> None:
    things, places = cluttered(seed)
    ways = ways_among(FACE, (), things, places, 2.0)
    apart = all_distances(ways)
    here = {k: length for k, (length, _) in ways_to(ways, 0, range(len(places))).items()}
    assert here == {k: pytest.approx(apart[0, k], abs=1e-6) for k in here}
    for k in range(2, len(places)):
        joined = way_between(ways, 1, k)
        assert joined is not None and joined.length == pytest.approx(apart[1, k], abs=1e-6)
    tree = least_tree(ways, range(len(places)))
    whole = sum(branch.length for branch in tree)
    assert whole == pytest.approx(csgraph.minimum_spanning_tree(sparse.csr_matrix(apart)).sum(), abs=1e-6)
    for branch in tree:
        steps = ways.path(branch.path)
        assert sum(math.dist(a, b) for a, b in pairwise(steps)) == pytest.approx(branch.length)


@pytest.mark.parametrize("seed", range(4))
def test_ways_that_share_are_longer_by_no_more_than_the_share_says(seed: int) -> None:
    things, places = cluttered(seed)
    ways = ways_among(FACE, (), things, places, 2.0)
    alone, shared = ways_to(ways, 0, range(len(places))), ways_to(ways, 0, range(len(places)), 0.75)
    assert set(alone) == set(shared)
    for k, (length, path) in shared.items():
        steps = ways.path(path)
        assert sum(math.dist(a, b) for a, b in pairwise(steps)) == pytest.approx(length)
        assert alone[k][0] - 1e-6 <= length <= alone[k][0] / 0.75 + 1e-6


@pytest.mark.parametrize("seed", range(4))
def test_no_way_comes_nearer_than_the_gap_to_what_it_goes_round(seed: int) -> None:
    """By shapely, on its own buffers of what is there."""
    import shapely

    things, places = cluttered(seed)
    ways = ways_among(FACE, (), things, places, 2.0)
    for k, (_, path) in ways_to(ways, 0, range(1, len(places))).items():
        line = shapely.LineString(ways.path(path))
        for thing in things:
            if thing.owner in (0, k):
                continue
            core = shapely.MultiPoint(thing.shape.core).convex_hull
            assert line.distance(core) - thing.shape.radius >= 2.0 - 0.011


@pytest.mark.parametrize(("width", "open_"), [(4.1, True), (3.9, False)])
def test_a_gap_lets_a_wire_through_when_it_is_twice_as_wide_as_a_wire_keeps_clear(width: float, open_: bool) -> None:
    side = (300.0 - width) / 2
    walls = [Obstacle(rectangle(10, side, 300, side / 2)), Obstacle(rectangle(10, side, 300, 300 - side / 2))]
    points = [(100.0, 150.0), (500.0, 150.0)]
    ways = ways_among(FACE, (), walls, points, 2.0)
    assert (way_between(ways, 0, 1) is not None) is open_
    first, second = parted(FACE, (), walls, points, 2.0)
    assert (first == second) is open_


@pytest.mark.parametrize("seed", range(8))
def test_parts_of_a_face_tell_of_a_way_exactly_where_there_is_one(seed: int) -> None:
    things, places = cluttered(seed)
    wall = 30.0 + 60.0 * seed
    walls = [Obstacle(rectangle(6, 300, wall, 150)), Obstacle(rectangle(300, 6, 450, 20 + 30 * seed))]
    ways, groups = ways_among(FACE, (), things + walls, places, 2.0), parted(FACE, (), things + walls, places, 2.0)
    for k in range(1, len(places)):
        joined = groups[0] >= 0 and groups[0] == groups[k]
        assert (way_between(ways, 0, k) is not None) is joined


@pytest.mark.parametrize("seed", range(3))
def test_free_places_are_clear_of_everything_and_begin_with_the_nearest(seed: int) -> None:
    import shapely

    things, _ = cluttered(seed)
    board = rectangle(70, 40)
    found = free_places(FACE, (), [t.shape for t in things], board, 5.0, (300.0, 150.0))
    assert found
    far = [math.dist(at, (300.0, 150.0)) for at in found]
    assert far == sorted(far) or max(a - b for a, b in pairwise(far)) < 1e-3
    for x, y in found[:: max(1, len(found) // 40)]:
        box = shapely.box(x - 35, y - 20, x + 35, y + 20)
        assert shapely.box(5, 5, 595, 295).contains(box)
        for thing in things:
            assert box.distance(shapely.MultiPoint(thing.shape.core).convex_hull) - thing.shape.radius >= 5.0 - 1e-6
