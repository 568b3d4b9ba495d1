"""The fewest lines that carry all centres: as many as a largest matching has pairs (König), by scipy's own matching."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import coo_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from app.shop.rulings import fewest_rulings, ordinates, places_of

PLACES = st.lists(st.tuples(st.integers(0, 12), st.integers(0, 8)), max_size=60)


def matched(places: list[tuple[float, float]]) -> int:
    """Size of a largest matching of distances from the left with distances from the front."""
    if not places:
        return 0
    left, column = np.unique([x for x, _ in places], return_inverse=True)
    front, row = np.unique([y for _, y in places], return_inverse=True)
    graph = coo_array((np.ones(len(places)), (row, column)), (len(front), len(left))).tocsr()
    return int((maximum_bipartite_matching(graph, perm_type="column") >= 0).sum())


@given(PLACES)
def test_every_centre_is_on_one_line_and_no_fewer_lines_carry_them(places: list[tuple[int, int]]) -> None:
    at = [(float(x), float(y)) for x, y in places]
    rulings = fewest_rulings([x for x, _ in at], [y for _, y in at])
    carried = sorted(k for ruling in rulings for k in ruling.centres)
    assert carried == list(range(len(at)))
    assert len(rulings) <= matched(at)
    for ruling in rulings:
        along = [at[k][0] if ruling.edge == "front" else at[k][1] for k in ruling.centres]
        across = {at[k][1] if ruling.edge == "front" else at[k][0] for k in ruling.centres}
        assert across == {ruling.at}
        assert along == sorted(along)


@given(PLACES)
def test_no_set_of_lines_is_smaller_than_the_matching(places: list[tuple[int, int]]) -> None:
    at = sorted({(float(x), float(y)) for x, y in places})
    assert len(fewest_rulings([x for x, _ in at], [y for _, y in at])) == matched(at)


@given(PLACES)
def test_every_centre_is_on_one_line_of_each_direction(places: list[tuple[int, int]]) -> None:
    for way in (0, 1):
        values = [float(place[way]) for place in places]
        lines = ordinates(values)
        assert sorted(k for _, on in lines for k in on) == list(range(len(places)))
        assert [at for at, _ in lines] == sorted(set(values))
        assert all(values[k] == at for at, on in lines for k in on)


@given(PLACES)
def test_undoing_the_grouping_gives_the_same_places(places: list[tuple[int, int]]) -> None:
    at = [(float(x), float(y)) for x, y in places]
    rulings = fewest_rulings([x for x, _ in at], [y for _, y in at])
    along = [[at[k][0] if line.edge == "front" else at[k][1] for k in line.centres] for line in rulings]
    assert places_of(rulings, along) == dict(enumerate(at))


@pytest.mark.parametrize("many", [10, 100, 1000, 5000])
def test_a_deck_of_any_size_is_ruled(many: int) -> None:
    """Two staggered rows of so many, and a grid: two lines, and as many as its shorter side."""
    left = [10.0 * k for k in range(many)]
    assert len(fewest_rulings(left, [50.0 + 20.0 * (k % 2) for k in range(many)])) == 2
    assert len(fewest_rulings([float(k // 10) for k in range(many)], [float(k % 10) for k in range(many)])) == min(
        10, max(1, many // 10)
    )
