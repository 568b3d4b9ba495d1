"""A board's outline exchanged: parts stay, the step says what came, and no board is left broken."""

from __future__ import annotations

import pytest

from app.arrange.board.outline import take_outline
from app.document.resolve import find_board
from app.document.scenarios import load_scenario
from app.errors import EditError, NotFoundError
from app.geometry.outline import Corner

DESIGN = load_scenario("lantern-hill-solo")


def box(x: float, y: float, w: float, h: float) -> list[Corner]:
    return [Corner(x, y), Corner(x + w, y), Corner(x + w, y + h), Corner(x, y + h)]


def test_the_outline_changes_and_nothing_else() -> None:
    before = find_board(DESIGN, None)
    edit = take_outline(DESIGN, None, box(0, 0, 700, 300), [box(100, 100, 50, 40)], "shop drawing.dxf")
    after = find_board(edit.design, None)
    assert [(c.x, c.y) for c in after.outline.corners] == [(0, 0), (700, 0), (700, 300), (0, 300)]
    assert [[(c.x, c.y) for c in o] for o in after.outline.openings] == [
        [(100, 100), (150, 100), (150, 140), (100, 140)]
    ]
    assert after.model_copy(update={"outline": before.outline}) == before
    assert "shop drawing.dxf" in edit.summary
    assert "700" in edit.summary
    assert "300" in edit.summary


def test_a_clockwise_outline_is_turned_round_with_its_easings() -> None:
    corners = [Corner(0, 0), Corner(0, 300, (20, 10)), Corner(700, 300), Corner(700, 0)]
    after = find_board(take_outline(DESIGN, None, corners, []).design, None)
    (set_back,) = [c for c in after.outline.corners if c.setback]
    assert (set_back.x, set_back.y, set_back.setback) == (0, 300, (10, 20))


@pytest.mark.parametrize(
    ("corners", "openings", "said"),
    [
        (box(0, 0, 700, 0), [], "no area"),
        ([Corner(0, 0), Corner(700, 300), Corner(700, 0), Corner(0, 300)], [], "crosses"),
        (box(0, 0, 700, 300), [box(690, 100, 50, 40)], "not wholly inside"),
        (box(0, 0, 700, 300), [box(0, 100, 50, 40)], "not wholly inside"),
        (box(0, 0, 700, 300), [box(100, 100, 50, 40), box(140, 120, 50, 40)], "touch or overlap"),
        (box(0, 0, 700, 300), [box(100, 100, 90, 90), box(110, 110, 10, 10)], "touch or overlap"),
    ],
)
def test_what_no_board_can_be_is_refused(corners: list[Corner], openings: list[list[Corner]], said: str) -> None:
    with pytest.raises(EditError, match=said):
        take_outline(DESIGN, None, corners, openings)


def test_a_board_that_is_not_there() -> None:
    with pytest.raises(NotFoundError):
        take_outline(DESIGN, "no-such-board", box(0, 0, 700, 300), [])
