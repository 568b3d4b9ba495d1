"""How far places are from each other, beside every one measured to every other."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from app.geometry.nearest import Places, nearest_others

# Few values, so that places often lie upon each other; −0 is where 0 is.
spots = st.sampled_from((-0.0, 0.0, 1.0, 1e-9, -7.25, 1e6)) | st.floats(-1e4, 1e4)


@given(st.lists(st.tuples(spots, spots), min_size=1, max_size=12))
def test_the_nearest_of_the_others_is_the_least_of_their_distances(places: list[tuple[float, float]]) -> None:
    found = nearest_others(np.array(places)).tolist()
    for k, at in enumerate(places):
        others = [math.dist(at, other) for other in places[:k] + places[k + 1 :]]
        # Squares of less than 1e-154 are 0 in floating point.
        assert math.isclose(found[k], min(others, default=math.inf), rel_tol=1e-12, abs_tol=1e-150)


@given(
    st.lists(st.tuples(spots, spots), max_size=12), st.lists(st.tuples(spots, spots), max_size=12), st.floats(0.0, 1e3)
)
def test_the_places_near_a_point_are_those_no_farther_off(
    points: list[tuple[float, float]], places: list[tuple[float, float]], within: float
) -> None:
    i, j = Places(np.array(places).reshape(-1, 2)).near(np.array(points).reshape(-1, 2), within)
    found = list(zip(i.tolist(), j.tolist(), strict=True))
    assert found == sorted(found)
    apart = {(a, b): math.dist(p, q) for a, p in enumerate(points) for b, q in enumerate(places)}
    assert set(found) >= {pair for pair, far in apart.items() if far <= within * (1 - 1e-12)}
    assert set(found) <= {pair for pair, far in apart.items() if far <= within * (1 + 1e-12)}
