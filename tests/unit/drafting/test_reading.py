"""Parts are read like words on a page: from the back row to the front one, each from left to right as it is seen."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.drafting.facing import facing
from app.drafting.reading import ROW, reading_order
from app.drafting.view.plan import plan
from app.drafting.view.underside import underside
from app.model.resolved import ResolvedBoard
from app.scene.primitives import Group
from app.values import replace
from tests.unit.document.designs import small_design

BOARD = resolve(small_design(), None, None, catalogue())


def board(*places: tuple[str, float, float]) -> ResolvedBoard:
    """The board with one part at each of the places, in the order given."""
    one = BOARD.placements[0]
    rows = (replace(one.moved(x - one.x, y - one.y), id=name, label=name.upper()) for name, x, y in places)
    return replace(BOARD, placements=tuple(rows))


def order(of: ResolvedBoard, face: str = "top") -> str:
    view = facing(of, "under" if face == "under" else "top")
    return "".join(p.id for p in reading_order(of.placements, view))


def test_rows_from_the_back_each_from_left_to_right() -> None:
    four = board(("d", 200, 60), ("c", 100, 60), ("b", 200, 140), ("a", 100, 140))
    assert order(four) == "abcd"
    assert order(four, "under") == "badc", "left and right are exchanged on the underside"


@pytest.mark.parametrize(("lower", "read"), [(ROW - 0.1, "ba"), (ROW + 0.1, "ab")])
def test_a_stepped_row_is_one_row_until_it_is_two(lower: float, read: str) -> None:
    assert order(board(("a", 200, 140), ("b", 100, 140 - lower))) == read


def test_both_faces_draw_their_parts_in_that_order_which_is_the_order_of_the_tab_key() -> None:
    four = board(("d", 200, 60), ("c", 100, 60), ("b", 200, 140), ("a", 100, 140))
    for face, draw in (("top", plan), ("under", underside)):
        parts = next(group for group in draw(four) if group.name == "parts")
        drawn = [g.data["placement"] for g in parts.items if isinstance(g, Group)]
        assert "".join(drawn) == order(four, face)


def test_every_part_is_read_once() -> None:
    many = board(*((f"p{k}", 20.0 + 37 * k % 300, 10.0 + 53 * k % 170) for k in range(30)))
    read = reading_order(many.placements, facing(many, "top"))
    assert sorted(p.id for p in read) == sorted(p.id for p in many.placements)
