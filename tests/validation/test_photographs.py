"""Holes measured in rendered photographs against where they are: perspective, lens, blur, light, grain, JPEG, decoys.

The renderer traces light from a pinhole with a bent lens; of what measures, it knows only where cards belong. Cards lie
and are printed a little off, as builders and printers have them. The aim on a 600 mm board, 95 of 100 centres within
0.5 mm, is our own; common practice, no source.
"""

from __future__ import annotations

import sys

import numpy as np
import pytest

from tests.long_run import long
from tests.photographs.trial import tried

AIM = 0.5  # mm


def test_no_wrong_hole_is_measured_and_each_is_as_near_as_was_said() -> None:
    found = tried(range(4), 480.0, (1600, 1200))
    sys.stdout.write(f"{found}\n")
    assert found.wrong == [] and found.outside == [] and found.refused == []
    assert len(found.errors) > 10 and float(np.percentile(found.errors, 95)) < AIM


@long
@pytest.mark.parametrize("lot", range(3))
def test_so_are_those_of_small_thick_boards_seen_from_near(lot: int, capsys: pytest.CaptureFixture[str]) -> None:
    found = tried(range(5000 + 12 * lot, 5000 + 12 * (lot + 1)), 200.0, (2000, 1500))
    with capsys.disabled():
        sys.stdout.write(f"\nsmall boards, lot {lot + 1}: {found}\n")
    assert found.wrong == [] and len(found.outside) <= 1
    assert float(np.percentile(found.errors, 95)) < AIM


@long
@pytest.mark.parametrize("lot", range(12))
def test_so_are_those_of_three_hundred_photographs(lot: int, capsys: pytest.CaptureFixture[str]) -> None:
    found = tried(range(1000 + 26 * lot, 1000 + 26 * (lot + 1)), 600.0, (3000, 2250))
    with capsys.disabled():
        sys.stdout.write(f"\nlot {lot + 1}: {found}\n")
    assert found.wrong == []
    assert float(np.percentile(found.errors, 95)) < AIM
    # 99 times of 100, as was said: of 120 holes more than 4 would be outside once in a hundred lots (binomial).
    assert len(found.outside) <= max(1, 4 * len(found.errors) // 120)
    assert len(found.refused) <= 1
    assert np.mean(found.plain) > 0.8
