"""A board's size, corners, openings and shapes changed: what moves, what stays, and what no board can be.

Lengths are worked out by plane geometry in each test; the area of a set-back rectangle is that of the rectangle less
(1 − π/4) of the square at each set-back corner.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from app.arrange.board import corners as board_corners
from app.arrange.board import openings as board_openings
from app.arrange.board import presets
from app.arrange.board import size as board_size
from app.arrange.board.rings import rings_of
from app.arrange.change import Edit, with_board
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import find_board
from app.document.scenarios import load_scenario
from app.document.schema import BoardEntry, CornerEntry, Design, KeepClearEntry, OutlineEntry
from app.errors import EditError, NotFoundError
from app.geometry.outline import Corner, Outline

CATALOGUE = catalogue()
Rows = list[tuple[float, float]]


def made(corners: list[CornerEntry], openings: list[list[CornerEntry]] | None = None) -> Design:
    """A deck with parts and one area to keep clear, of another outline."""
    design = load_scenario("lantern-hill-solo")
    board = find_board(design, None)
    outline = OutlineEntry(corners=tuple(corners), openings=tuple(tuple(o) for o in openings or []))
    area = KeepClearEntry(face="under", x=10.0, y=20.0, width=30.0, height=40.0)
    return with_board(design, board.model_copy(update={"outline": outline, "keep_clear": (area,)}))


def points(*rows: tuple[float, float]) -> list[CornerEntry]:
    return [CornerEntry(x=x, y=y) for x, y in rows]


def rim(edit: Edit | Design) -> Rows:
    design = edit if isinstance(edit, Design) else edit.design
    return [(c.x, c.y) for c in find_board(design, None).outline.corners]


def deck(design: Design) -> BoardEntry:
    return find_board(design, None)


BOX = made(points((0, 0), (600, 0), (600, 250), (0, 250)))
SET_BACK = made([*points((0, 0), (600, 0)), CornerEntry(x=600, y=250, setback=(40, 30)), CornerEntry(x=0, y=250)])
SLOPED = made(points((80, 0), (520, 0), (600, 60), (600, 250), (0, 250), (0, 60)))
HOLED = made(points((0, 0), (600, 0), (600, 250), (0, 250)), [points((100, 100), (200, 100), (200, 150), (100, 150))])


# -- size ---------------------------------------------------------------------------------------------------


def test_a_wider_board_moves_its_far_corners_and_nothing_else() -> None:
    edit = board_size.set_size(SET_BACK, None, CATALOGUE, width=620)
    assert rim(edit) == [(0, 0), (620, 0), (620, 250), (0, 250)]
    assert deck(edit.design).outline.corners[2].setback == (40, 30)
    before, after = deck(SET_BACK), deck(edit.design)
    assert after.model_copy(update={"outline": before.outline}) == before, "parts, areas and layers stay"
    assert edit.summary == "Made the deck 620 mm wide"


def test_a_symmetrical_board_stays_so_and_its_slopes_keep_their_run_and_rise() -> None:
    edit = board_size.set_size(SLOPED, None, CATALOGUE, width=700, depth=300)
    assert rim(edit) == [(80, 0), (620, 0), (700, 60), (700, 300), (0, 300), (0, 60)]
    assert edit.summary == "Made the deck 700 mm wide and 300 mm deep"


def test_a_corner_in_the_middle_stays_in_the_middle() -> None:
    pointed = made(points((0, 0), (600, 0), (600, 200), (300, 250), (0, 200)))
    assert rim(board_size.set_size(pointed, None, CATALOGUE, width=700))[3] == (350, 250)


def test_the_same_size_leaves_the_document_as_it_was() -> None:
    assert board_size.set_size(SET_BACK, None, CATALOGUE, width=600, depth=250).design == SET_BACK


def test_too_narrow_says_how_narrow_it_can_be() -> None:
    """The slopes take 80 mm each, so that nothing is left of the front edge at 160 mm."""
    with pytest.raises(EditError) as told:
        board_size.set_size(SLOPED, None, CATALOGUE, width=150)
    assert told.value.field == "width"
    assert "150 mm" in str(told.value)
    least = board_size.set_size(SLOPED, None, CATALOGUE, width=161)
    assert rim(least)[1] == (81, 0)
    assert "it can be 161 mm" in str(told.value)


def test_an_opening_sets_how_small_the_board_can_be() -> None:
    with pytest.raises(EditError, match=r"opening 1 .* it can be 201 mm") as told:
        board_size.set_size(HOLED, None, CATALOGUE, width=180)
    assert told.value.field == "width"


@pytest.mark.parametrize(("name", "value"), [("width", 0.0), ("depth", -5.0), ("width", 5001.0), ("depth", math.nan)])
def test_sizes_no_board_has_are_refused_beside_their_field(name: str, value: float) -> None:
    with pytest.raises(EditError) as told:
        board_size.set_size(BOX, None, CATALOGUE, **{name: value})
    assert told.value.field == name


# -- corners ------------------------------------------------------------------------------------------------


def test_a_corner_is_placed_and_set_back_by_two_offsets() -> None:
    edit = board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, x=580, before=50, after=30)
    corner = deck(edit.design).outline.corners[2]
    assert (corner.x, corner.y, corner.setback) == (580, 250, (50, 30))
    assert edit.summary == "Moved corner 3 to 580 mm, 250 mm; Set corner 3 back by 50 mm × 30 mm"


def test_one_offset_of_a_sharp_corner_counts_for_both_and_none_makes_it_sharp() -> None:
    one = board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, before=40).design
    assert deck(one).outline.corners[2].setback == (40, 40)
    area = 600 * 250 - (1 - math.pi / 4) * 40**2
    outline = Outline(rings_of(deck(one))[0])
    flat = outline.flattened(1e-5)
    got = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(flat, flat[1:] + flat[:1], strict=True)) / 2
    assert got == pytest.approx(area, abs=0.01)
    assert (
        deck(board_corners.set_corner(one, None, (0, 2), CATALOGUE, after=0).design).outline.corners[2].setback is None
    )


def test_a_slope_is_set_by_run_and_rise() -> None:
    edit = board_corners.set_corner(SLOPED, None, (0, 1), CATALOGUE, run=100, rise=45)
    assert rim(edit)[2] == (620, 45)
    assert "100 mm right, 45 mm back" in edit.summary


def test_a_new_corner_lies_in_the_middle_of_what_is_straight() -> None:
    edit = board_corners.add_corner(SET_BACK, None, (0, 1), CATALOGUE)
    assert rim(edit)[2] == (600, 105), "of 250 mm, 40 at the end are set-back"
    assert len(rim(edit)) == 5


def test_a_corner_cut_off_becomes_two() -> None:
    edit = board_corners.cut_corner(BOX, None, (0, 1), 80, 60, CATALOGUE)
    assert rim(edit) == [(0, 0), (520, 0), (600, 60), (600, 250), (0, 250)]
    assert rim(board_corners.remove_corner(edit.design, None, (0, 2), CATALOGUE)) == [
        (0, 0), (520, 0), (600, 250), (0, 250),
    ]  # fmt: skip


def test_a_moved_datum_edge_leaves_everything_where_it_is_on_the_material() -> None:
    """The left edge goes 15 mm out: all is 15 mm farther from it, and as far from the right edge as before."""
    out = board_corners.set_corner(BOX, None, (0, 0), CATALOGUE, x=-15).design
    out = board_corners.set_corner(out, None, (0, 3), CATALOGUE, x=0).design
    assert rim(out) == [(0, 0), (615, 0), (615, 250), (0, 250)]
    before, after = deck(BOX), deck(out)
    for old, new in zip(before.arrangements, after.arrangements, strict=True):
        assert [(p.x - 15, p.y) for p in new.placements] == [(p.x, p.y) for p in old.placements]
        assert [s.centre - 15 for s in new.stations] == [s.centre for s in old.stations]
    assert (after.keep_clear[0].x, after.keep_clear[0].y) == (25, 20)


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        (lambda: board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, x=300.0, y=-50.0), "x", "crosses"),
        (lambda: board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, x=-50.0, y=-50.0), "x", "inside out"),
        (lambda: board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, before=251.0), "before", "250 mm long"),
        (lambda: board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, before=10.0, after=0.0), "after", "both"),
        (lambda: board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, after=-1.0), "after", "from 0"),
        (lambda: board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, x=math.inf), "x", "not a finite number"),
        (lambda: board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, y=9000.0), "y", "from 20 to 5000 mm"),
        (lambda: board_corners.set_corner(BOX, None, (0, 2), CATALOGUE, run=0.0, rise=0.0), "run", "a run or a rise"),
        (lambda: board_corners.set_corner(HOLED, None, (0, 2), CATALOGUE, x=150.0, y=120.0), "x", "Opening 1"),
        (lambda: board_corners.cut_corner(BOX, None, (0, 1), 600.0, 10.0, CATALOGUE), "cut-before", "has 600 mm"),
        (lambda: board_corners.cut_corner(BOX, None, (0, 1), 10.0, 0.0, CATALOGUE), "cut-after", "above 0"),
        (lambda: board_openings.set_opening(HOLED, None, 1, CATALOGUE, x=550.0), "x", "not be wholly inside"),
        (lambda: board_openings.set_opening(HOLED, None, 1, CATALOGUE, setback=26.0), "setback", "0 to 25"),
        (lambda: board_openings.add_opening(HOLED, None, (150, 120, 90, 60), CATALOGUE), "x", "overlap"),
    ],
)  # fmt: skip
def test_what_no_board_can_be_is_refused_beside_its_field(change: Callable[[], Edit], field: str, said: str) -> None:
    with pytest.raises(EditError, match=said) as told:
        change()
    assert told.value.field == field


def test_three_corners_are_kept() -> None:
    triangle = made(points((0, 0), (600, 0), (0, 250)))
    with pytest.raises(EditError, match="at least 3"):
        board_corners.remove_corner(triangle, None, (0, 0), CATALOGUE)


@pytest.mark.parametrize("spot", [(0, 4), (1, 0), (0, -1), (-1, 0)])
def test_a_corner_that_is_not_there(spot: tuple[int, int]) -> None:
    with pytest.raises(NotFoundError):
        board_corners.set_corner(BOX, None, spot, CATALOGUE, x=1)


def test_a_document_that_goes_round_clockwise_is_counted_counter_clockwise() -> None:
    turned = made(points((0, 250), (600, 250), (600, 0), (0, 0)))
    first = rings_of(deck(turned))[0]
    edit = board_corners.set_corner(turned, None, (0, 0), CATALOGUE, before=5)
    (set_back,) = [c for c in rings_of(deck(edit.design))[0] if c.setback]
    assert (set_back.x, set_back.y) == (first[0].x, first[0].y)


# -- openings -----------------------------------------------------------------------------------------------


def test_an_opening_set_back_by_half_its_side_is_round() -> None:
    design = board_openings.add_opening(BOX, None, (100, 50, 60, 60), CATALOGUE, setback=30).design
    ring = Outline(rings_of(deck(design))[1])
    distances = [math.dist(p, (130, 80)) for p in ring.flattened()]
    assert min(distances) == pytest.approx(30, abs=1e-3)
    assert max(distances) == pytest.approx(30, abs=1e-3)


def test_an_opening_moves_and_grows_from_its_front_left_corner() -> None:
    edit = board_openings.set_opening(HOLED, None, 1, CATALOGUE, x=120, width=130, height=70)
    assert [(c.x, c.y) for c in rings_of(deck(edit.design))[1]] == [(120, 100), (250, 100), (250, 170), (120, 170)]
    assert edit.summary == "Moved opening 1 to 120 mm, 100 mm; Made opening 1 130 mm × 70 mm"
    assert deck(board_openings.remove_opening(edit.design, None, 1, CATALOGUE).design).outline.openings == ()


# -- shapes -------------------------------------------------------------------------------------------------


def _area(ring: tuple[Corner, ...]) -> float:
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return sum(a.x * b.y - b.x * a.y for a, b in pairs) / 2


W, D, A, B = 600.0, 250.0, 50.0, 30.0


@pytest.mark.parametrize(
    ("shape", "area"),
    [
        # of the corners, as if none were set back: whole rectangle less triangles, notches or trapezia
        ("rectangle", W * D),
        ("rounded-back", W * D),
        ("rounded", W * D),
        ("round-ends", W * D),
        ("oval", W * D),
        ("cut-back", W * D - A * B),
        ("sloped-front", W * D - A * B),
        ("cut", W * D - 2 * A * B),
        ("notched-back", W * D - 2 * A * B),
        ("narrow-front", W * D - A * D),
        ("waisted", W * D - A * (D + B)),
    ],
)
def test_every_shape_fills_the_size_and_has_its_area(shape: str, area: float) -> None:
    edit = presets.set_shape(SET_BACK, None, shape, A, B, CATALOGUE)
    ring = rings_of(deck(edit.design))[0]
    assert _area(ring) == pytest.approx(area)
    assert Outline(ring).bounds == pytest.approx((0, 0, W, D), abs=1e-3)
    assert {round(W - x, 6) for x, _ in rim(edit)} == {round(x, 6) for x, _ in rim(edit)}, "alike left and right"
    assert presets.SHAPES[shape] in edit.summary
    assert loads(dumps(edit.design)) == edit.design


def test_shapes_set_back_keep_their_offsets_the_right_way_round() -> None:
    ring = rings_of(deck(presets.set_shape(BOX, None, "rounded", A, B, CATALOGUE).design))[0]
    for corner, before in zip(ring, (B, A, B, A), strict=True):
        assert corner.setback == (before, A + B - before)


def test_every_shape_has_a_picture_and_an_area_here() -> None:
    marks: Any = test_every_shape_fills_the_size_and_has_its_area
    listed = {row[0] for mark in marks.pytestmark for row in mark.args[1]}
    assert listed == set(presets.SHAPES)


@pytest.mark.parametrize(
    ("shape", "across", "along", "field"),
    [("star", 1, 1, "shape"), ("cut", 300, 10, "across"), ("cut", 10, 125, "along"), ("waisted", 0, 10, "across")],
)
def test_shapes_without_room_are_refused(shape: str, across: float, along: float, field: str) -> None:
    with pytest.raises(EditError) as told:
        presets.set_shape(BOX, None, shape, across, along, CATALOGUE)
    assert told.value.field == field
