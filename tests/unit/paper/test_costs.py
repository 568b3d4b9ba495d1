"""What sheets cost grows no faster than the board: ten times as many holes, at most fifteen times the work."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.cover.cover import cover_page
from app.paper.sheet.sheet_map import sheet_map
from app.paper.sheet.sheets import Pages, plan_sheets
from tests.bench.boards import grid
from tests.reading.counting import calls


def laid_out(board: ResolvedBoard) -> object:
    """The sheets over the board."""
    return sheet_map(board, plan_sheets(board, "top", _paper()))


def one_page(board: ResolvedBoard) -> object:
    """The first sheet alone."""
    return Pages(board, "top", _paper())[0]


def cover(board: ResolvedBoard) -> object:
    """The cover."""
    return cover_page(board, _paper())


def _paper() -> Printing:
    return Printing(catalogue().papers["a4"])


@pytest.mark.parametrize("made", [laid_out, one_page, cover])
def test_ten_times_as_many_holes_are_at_most_fifteen_times_the_work(made: Callable[[ResolvedBoard], object]) -> None:
    counts = []
    for holes in (10, 100, 1000):
        board = resolve(grid(holes), None, None, catalogue())
        counts.append(calls(lambda board=board: made(board)))  # type: ignore[misc]
    few, some, many = counts
    assert some <= 15 * few
    assert many <= 15 * some
