"""A late page is the same whether those before it were drawn or not; the best free place is that of all."""

from __future__ import annotations

import numpy as np
import pytest

from app.drafting.labels import covered
from app.drafting.labels.covered import Covered
from app.drafting.labels.ink_mask import RIM, SOLID, InkMask
from app.drafting.labels.placer import Obstacles, Placer
from app.drafting.labels.word_key import WordKey
from app.model.resolved import ResolvedBoard
from app.paper.sheet import sheets
from app.paper.sheet.page_ink import Sheets, page_ink
from app.paper.sheet.sheets import Pages
from app.paper.sheet.tiling import Tile
from app.scene.primitives import Group
from tests.boards.dense_boards import dense_board
from tests.unit.drafting.boards import A4, two_player

BOARDS = {"two players": two_player(), "full": dense_board(300, 21.0), "sparse": dense_board(60, 70.0)}


@pytest.mark.parametrize("name", BOARDS)
def test_pages_asked_for_last_first_are_those_asked_for_in_order(name: str) -> None:
    board: ResolvedBoard = BOARDS[name]
    ordered, late = Pages(board, "top", A4), Pages(board, "top", A4)
    there = list(ordered)
    assert len(there) > 2
    assert [late[k] for k in reversed(range(len(late)))][::-1] == there


def test_a_late_page_without_a_number_of_its_own_is_drawn_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    pages, inked = Pages(BOARDS["sparse"], "top", A4), page_ink
    drawn: list[Tile] = []

    def counted(common: Sheets, tile: Tile, key: WordKey) -> tuple[Group, ...]:
        drawn.append(tile)
        return inked(common, tile, key)

    monkeypatch.setattr(sheets, "page_ink", counted)
    assert pages[len(pages) - 1].items
    assert drawn == [pages.plan.tiling.tiles[-1]]


@pytest.mark.parametrize("seed", range(6))
def test_a_few_rectangles_and_many_are_told_alike(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(seed)
    mask = InkMask((0.0, 0.0, 60.0, 40.0))
    mask.lines(rng.uniform(-5, 60, (2, 2, 2)), 0.3)
    for ink in (SOLID, RIM):
        mask.rings([(x, y, 0.5, 2.0) for x, y in rng.uniform(-5, 60, (12, 2)).tolist()], ink)
    corners = rng.uniform(-8, 66, (200, 2))
    boxes = np.column_stack([corners, corners + rng.uniform(0.05, 6, (200, 2))])
    few = Covered(mask).any(boxes)
    monkeypatch.setattr(covered, "_FEW", 0)
    assert (few == Covered(mask).any(boxes)).all()
    assert 0 < few.sum() < len(few)


@pytest.mark.parametrize("seed", range(6))
def test_a_grid_of_rectangles_is_told_as_each_of_them(seed: int) -> None:
    """Columns and rows of every width, from less than a pixel to most of the page, some beyond its edges."""
    rng = np.random.default_rng(seed)
    discs = [(x, y, 6.0) for x, y in rng.uniform(0, 100, (12, 2)).tolist()]
    placer = Placer(Obstacles((0.0, 0.0, 100.0, 90.0), discs=discs, ruled=[((0.0, 31.0), (100.0, 31.0))]))
    for x, y in rng.uniform(0, 80, (6, 2)).tolist():
        placer.take((x, y, x + 9.0, y + 4.0))
    for width, height in rng.choice((0.1, 3.0, 7.9, 8.0, 30.0, 70.0), (12, 2)).tolist():
        across, up = np.arange(-5.0, 104.0, 2.3), np.arange(-4.0, 99.0, 3.1)
        columns, rows = np.column_stack([across, across + width]), np.column_stack([up, up + height])
        x, y = np.tile(across, len(up)), np.repeat(up, len(across))
        free = placer.free(np.column_stack([x, y, x + width, y + height]))
        first = divmod(int(np.argmax(free)), len(across)) if free.any() else None
        assert placer.first_in_grid(columns, rows) == first
