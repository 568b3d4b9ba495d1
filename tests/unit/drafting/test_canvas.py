"""Memory lent to one page after another: empty when it should be, to one page at a time, and not too much of it."""

from __future__ import annotations

import numpy as np
import pytest

from app.drafting.labels import canvas as module
from app.drafting.labels.canvas import lent_canvas


@pytest.fixture(autouse=True)
def nothing_spare(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_SPARE", type(module._SPARE)(maxlen=2))


def test_what_was_drawn_on_a_page_is_not_on_the_next() -> None:
    with lent_canvas() as first:
        first.blank(30, 20).fill(True)
        first.blank(30, 20).fill(True)
    with lent_canvas() as second:
        assert second is first
        for shape in ((30, 20), (10, 40), (50, 60), (1, 1)):
            found = second.blank(*shape)
            assert found.shape == shape
            assert not found.any()


def test_rasters_of_one_page_and_of_pages_drawn_at_once_share_nothing() -> None:
    with lent_canvas() as one, lent_canvas() as other:
        found = [one.blank(9, 7), one.room(9, 7), other.blank(9, 7)]
        assert not any(np.shares_memory(a, b) for k, a in enumerate(found) for b in found[:k])


def test_a_large_page_is_not_kept() -> None:
    with lent_canvas() as large:
        large.blank(4_000, 2_001)
    with lent_canvas() as small:
        assert small is not large
        assert small.size == 0
