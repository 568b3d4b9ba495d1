"""From the front a column of like parts is one part: what another covers exactly is drawn once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import scenario_list
from app.drafting.facing import facing
from app.drafting.view import elevation as drawn
from app.drafting.view.board_view import board_scene
from app.drafting.weights import weighted
from app.fit.report.report import check
from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.paper.sheet.sheets import plan_sheets, template_tiling
from app.scene.primitives import Arc, Circle, Group, Item, Line, Path, Text
from app.values import replace
from tests.unit.fit.boards import at, board, button

BOARDS = [resolve(s.design, None, None, catalogue()) for s in scenario_list()]


Primitive = Line | Circle | Arc | Path | Text


def flat(items: tuple[Item, ...]) -> Iterator[Primitive]:
    for item in items:
        if isinstance(item, Group):
            yield from flat(item.items)
        else:
            yield item


def seen(items: list[Primitive]) -> list[Primitive]:
    """What is left if each opaque item is left out that the same item covers again later."""
    last = {item: k for k, item in enumerate(items) if not isinstance(item, Text) and item.style.opacity == 1}
    return [item for k, item in enumerate(items) if isinstance(item, Text) or last.get(item, k) == k]


def row_of(judged: ResolvedBoard) -> list[Primitive]:
    return list(flat((drawn.elevation_row(judged, view=facing(judged, "top")),)))


@pytest.mark.parametrize("number", range(len(BOARDS)))
def test_only_what_is_covered_by_the_same_is_left_out(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    judged = BOARDS[number]
    few = row_of(judged)
    monkeypatch.setattr(drawn, "_look", id)  # no two are alike
    assert seen(few) == seen(row_of(judged))
    assert len(few) <= len(row_of(judged))


def test_a_column_takes_no_more_than_its_last_part() -> None:
    one, column = (
        [item for item in row_of(board(*parts)) if item.style.opacity == 1.0]
        for parts in ([one_of(0)], [one_of(k) for k in range(6)])
    )
    assert len(column) == len(one)


PART = button(24)


def one_of(k: int) -> Placed:
    return at(100.0, 40.0 + 40.0 * k, PART, name=f"p{k}")


@pytest.mark.parametrize("number", range(len(BOARDS)))
def test_heavier_lines_change_nothing_but_styles(number: int) -> None:
    judged = BOARDS[number]
    items = board_scene(judged, check(judged, catalogue()).findings).items
    heavy = weighted(items, 3.0)
    same = [
        one == replace(other, style=one.style)
        for one, other in zip(flat(items), flat(heavy), strict=True)
        if not isinstance(other, Text)
    ]
    assert len(same) > 10
    assert all(same)


@pytest.mark.parametrize("number", range(len(BOARDS)))
def test_sheets_are_counted_as_they_are_laid(number: int) -> None:
    judged = BOARDS[number]
    faces: tuple[Face, ...] = ("top", "under")
    for face in faces:
        laid = plan_sheets(judged, face, judged.tooling.paper).tiling
        assert template_tiling(judged, face, judged.tooling.paper) == laid
