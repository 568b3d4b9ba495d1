"""Places that draw a dragged part: each is a formula of the others' centres, rims and distances."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.drafting.facing import facing
from app.drafting.hardware.part_letters import rim_radius
from app.drafting.view.dimensions import dimensions
from app.drafting.view.snaps import Snap, guides, landing, on_grid, snaps
from app.model.resolved import Placed, ResolvedBoard
from app.scene.primitives import Line, Text
from app.service.edits.landing import landed
from app.values import replace
from tests.unit.document.designs import small_design

BOARD = resolve(small_design(), None, None, catalogue())
"""A at (100, 100), B at (190, 100), C at (232, 100) on a board 400 mm wide."""


def at(x: float, y: float, of: str = "c") -> Placed:
    held = BOARD.placed(of)
    assert held is not None
    return held.moved(x - held.x, y - held.y)


def words(held: Placed, axis: str, board: ResolvedBoard = BOARD) -> dict[float, str]:
    return {round(s.at, 6): s.words for s in snaps(board, held, {held.id}) if s.axis == axis}


def test_centres_draw_on_both_axes() -> None:
    found = snaps(BOARD, at(191.0, 103.0), {"c"})
    assert {(s.axis, s.at): s.words for s in found}[("x", 190.0)] == "in line with B"
    assert {(s.axis, s.at) for s in found} >= {("y", 100.0)}


def test_the_centre_line_draws() -> None:
    assert words(at(203, 20), "x")[200.0] == "on the centre line"


@pytest.mark.parametrize(
    ("x", "place", "said"),
    [
        (281, 280.0, "evenly spaced, 90 mm"),  # B is 90 mm from A, so 190 + 90
        (146, 145.0, "midway between A and B"),
        (12, 10.0, "evenly spaced, 90 mm"),  # 100 − 90
    ],
)
def test_even_spaces_in_the_row_draw(x: float, place: float, said: str) -> None:
    assert words(at(x, 101), "x")[place] == said
    assert place not in words(at(x, 150), "x"), "only in the row"


def test_rims_draw_where_they_are_not_those_of_centres() -> None:
    # The stick's hole and a 24 mm button's have other radii; two holes of 28 mm share rims and centres.
    wide = at(60, 150)
    theirs = BOARD.placed("b")
    assert theirs is not None
    alike = [s for s in snaps(BOARD, wide, {"c"}) if "hole edges in line with B" in s.words]
    assert alike == []
    design = small_design()
    within = design.boards[0].arrangements[0]
    rows = tuple(p.model_copy(update={"part": "button-24-nut-long"}) if p.id == "c" else p for p in within.placements)
    holder = design.boards[0].model_copy(update={"arrangements": (within.model_copy(update={"placements": rows}),)})
    board = resolve(design.model_copy(update={"boards": (holder,)}), None, None, catalogue())
    held = board.placed("c")
    assert held is not None
    mine, other = held.holes[0].diameter / 2, theirs.holes[0].diameter / 2
    found = words(held.moved(190 - 232, 50), "x", board)
    for place in (190 - other + mine, 190 + other - mine):
        assert found[round(place, 6)] == "hole edges in line with B"


def test_a_part_lands_on_a_place_else_on_the_grid_else_where_it_is() -> None:
    # B moved so that its y is C's to a hair, its x on nothing
    assert landed(BOARD, ["c"], 100.3, 0.0, 1.0) == (332.0, 100.0)
    assert landed(BOARD, ["c"], 48.0, 0.0, 25.0) == (280.0, 100.0), "even spacing is off the grid and holds"
    assert landed(BOARD, ["c"], 100.3, 7.7, 0.0) == (332.3, 107.7)


def test_what_has_taken_hold_is_drawn_and_named() -> None:
    held = at(190.0, 140.0)
    board_now = BOARD
    taken = landing(snaps(board_now, held, {"c"}), held)
    assert set(taken) == {"x"}
    items = guides(board_now, held, taken.values(), view=facing(board_now, "top"), scale=1.0, avoid=())
    (line,) = (i for i in items if isinstance(i, Line))
    assert line.a[0] == line.b[0] == 190.0
    assert min(line.a[1], line.b[1]) < 100 and max(line.a[1], line.b[1]) > 140
    assert [i.text for i in items if isinstance(i, Text)] == ["in line with B"]


def test_nothing_moved_along_draws() -> None:
    found: tuple[Snap, ...] = snaps(BOARD, at(191, 103), {"b", "c"})
    assert not [s for s in found if "B" in s.words]


def test_all_distances_to_the_part_meant_are_told() -> None:
    group = dimensions(BOARD, "b", view=facing(BOARD, "top"), to="c")
    told = [i.text for i in group.items if isinstance(i, Text)]
    # Centres 42 mm apart, holes of 28 mm, flanges of 34 mm.
    assert "centres 42 · hole edges 14 · flanges 8 mm" in told


def test_a_line_of_the_grid_is_shown_where_nothing_else_holds() -> None:
    """Two strokes from the rim outward for each axis: 30 mm is 30 steps of a millimetre, 30.4 mm is none."""
    held = at(30.0, 30.4)
    (line,) = on_grid(held, (), 1.0)
    assert (line.axis, line.at) == ("x", 30.0)
    assert on_grid(held, {"x"}, 1.0) == () == on_grid(held, (), 0.0), "another place holds it, or Alt is held"
    board = replace(BOARD, placements=tuple(held if p.id == "c" else p for p in BOARD.placements))
    drawn = guides(board, held, (line,), view=facing(board, "top"), scale=1.0, avoid=())
    assert [type(item) for item in drawn] == [Line, Line], "no words"
    for stroke in drawn:
        assert isinstance(stroke, Line)
        assert stroke.a[0] == stroke.b[0] == 30.0
        assert min(abs(stroke.a[1] - held.y), abs(stroke.b[1] - held.y)) > rim_radius(held)
