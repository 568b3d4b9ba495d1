"""A view is drawn for the page it is on, and not for every page that was looked at for its size."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from app.drafting.scaling import scaled
from app.model.printing import Printing
from app.paper.sheet import view_page
from app.scene.primitives import Item
from tests.unit.drafting.boards import A4, two_player


def test_a_view_is_scaled_once_whatever_pages_it_might_have_had(monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[float] = []

    def counted(items: Iterable[Item], k: float) -> tuple[Item, ...]:
        done.append(k)
        return scaled(items, k)

    monkeypatch.setattr(view_page, "scaled", counted)
    page = view_page.board_page(two_player(), "top", Printing(A4))
    assert len(done) == 1
    assert done[0] in {1.0 / reduction for reduction in view_page.REDUCTIONS}
    assert page.items
