"""What pairs of cores lack of a distance, against shapely and against their gaps worked out in full."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
import shapely

from app.geometry.convex import gaps_between, lacks_between

Floats = npt.NDArray[np.float64]
PAIRS = 300


def _cores(rng: np.random.Generator, corners: int) -> Floats:
    """Points, segments or polygons on circles thrown about, every fifth with its last corner twice."""
    angles = np.sort(rng.uniform(0, 2 * np.pi, (PAIRS, corners)), axis=1)
    found = rng.uniform(1, 20, (PAIRS, 1, 1)) * np.stack((np.cos(angles), np.sin(angles)), axis=-1)
    found += rng.uniform(-25, 25, (PAIRS, 1, 2))
    if corners > 1:
        found[::5, -1] = found[::5, -2]
    return np.asarray(found, float)


def _as_seen(core: Floats) -> shapely.Geometry:
    points = np.unique(core, axis=0)
    return shapely.MultiPoint(points).convex_hull


@pytest.mark.parametrize(("one", "other"), [(1, 1), (1, 4), (2, 2), (4, 4), (6, 3), (1, 2)])
def test_lacks_are_those_of_the_gaps_and_of_shapely(one: int, other: int) -> None:
    rng = np.random.default_rng(10 * one + other)
    a, b, need = _cores(rng, one), _cores(rng, other), rng.uniform(0, 30, PAIRS)
    lack, way = lacks_between(a, b, need)
    gaps = gaps_between(a, b)
    assert np.array_equal(lack, np.maximum(need - gaps.distance, 0.0))
    short = lack > 0
    assert np.array_equal(way[short], gaps.direction[short])
    assert 0 < short.sum() < PAIRS
    far = np.array([shapely.distance(_as_seen(p), _as_seen(q)) for p, q in zip(a, b, strict=True)])
    apart = far > 1e-6
    assert np.allclose(lack[apart], np.maximum(need - far, 0.0)[apart], atol=1e-9)
    # Moved along its way by what they lack, two that overlap are as far apart as they need to be.
    moved = b + (way * lack[:, None])[:, None]
    after = np.array([shapely.distance(_as_seen(p), _as_seen(q)) for p, q in zip(a, moved, strict=True)])
    assert (after[short] >= need[short] - 1e-6).all()
