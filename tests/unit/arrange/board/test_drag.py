"""Handles dragged, layers, edges, depth below and areas to keep clear: what a drag or an entry comes to."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from app.arrange.board import below
from app.arrange.board import layers as board_layers
from app.arrange.board.drag import Pull, datum_shift, drag
from app.arrange.board.rings import rings_of
from app.arrange.change import Edit, with_board
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import find_board
from app.document.scenarios import load_scenario
from app.document.schema import (
    BoardEntry,
    CornerEntry,
    DepthBelowEntry,
    Design,
    KeepClearEntry,
    LayerEntry,
    OutlineEntry,
)
from app.errors import EditError, NotFoundError

CATALOGUE = catalogue()


def deck(design: Design) -> BoardEntry:
    return find_board(design, None)


def start() -> Design:
    """A deck 600 × 250 with one set-back corner, one opening, one area to keep clear, two layers."""
    design = load_scenario("lantern-hill-solo")
    rim = [CornerEntry(x=x, y=y) for x, y in ((0, 0), (600, 0), (600, 250), (0, 250))]
    rim[2] = CornerEntry(x=600, y=250, setback=(40, 40))
    hole = tuple(CornerEntry(x=x, y=y) for x, y in ((100, 100), (160, 100), (160, 140), (100, 140)))
    return with_board(
        design,
        deck(design).model_copy(
            update={
                "outline": OutlineEntry(corners=tuple(rim), openings=(hole,)),
                "keep_clear": (KeepClearEntry(face="under", x=10.0, y=20.0, width=30.0, height=40.0),),
                "layers": (LayerEntry(material="acrylic", thickness=3.0), LayerEntry(material="mdf", thickness=16.0)),
                "depth_below": DepthBelowEntry(front=60.0, back=90.0),
            }
        ),
    )


START = start()


def pulled(handle: str, dx: float, dy: float, grid: float = 1.0, *, alone: bool = False) -> Design:
    return drag(START, None, handle, Pull(dx, dy, grid, alone), CATALOGUE).design


def corner(design: Design, ring: int, index: int) -> tuple[float, float, tuple[float, float] | None]:
    c = rings_of(deck(design))[ring][index]
    return c.x, c.y, c.setback


def test_a_corner_lands_on_the_grid_and_falls_in_line_with_its_neighbours() -> None:
    assert corner(pulled("corner-0-2", 12.3, -30.6), 0, 2) == (612, 219, (40, 40))
    assert corner(pulled("corner-0-2", 12.3, -2.1), 0, 2) == (612, 250, (40, 40)), "within reach of the next corner"
    assert corner(pulled("corner-0-2", 12.34, -2.1, 0.0), 0, 2) == (612.34, 247.9, (40, 40)), "free"


def test_an_edge_moves_square_to_itself_and_its_corners_keep_the_rest() -> None:
    moved = pulled("edge-0-1", 20.4, 77.0)
    assert corner(moved, 0, 1)[:2] == (620, 0)
    assert corner(moved, 0, 2)[:2] == (620, 250)
    inner = pulled("edge-1-1", 15.0, 3.0)
    assert [corner(inner, 1, k)[0] for k in range(4)] == [100, 175, 175, 100]


def test_a_datum_edge_leaves_the_parts_on_the_material_and_tells_by_how_much() -> None:
    moved = pulled("edge-0-3", -10.0, 0.0)
    assert datum_shift(START, moved, None, "edge-0-3") == (10, 0)
    before, after = (deck(d).arrangements[0].placements for d in (START, moved))
    assert [p.x - 10 for p in after] == pytest.approx([p.x for p in before])
    assert corner(moved, 1, 0)[:2] == (110, 100)
    assert corner(moved, 0, 1)[:2] == (610, 0)
    assert datum_shift(START, pulled("edge-0-1", 10.0, 0.0), None, "edge-0-1") == (0, 0)
    assert datum_shift(START, pulled("corner-0-0", -10.0, -5.0), None, "corner-0-0") == (10, 5)


def test_an_even_easing_stays_even_unless_one_end_is_moved_alone() -> None:
    """The edge before the corner runs to the front, that after it to the left: so goes the hand."""
    assert corner(pulled("before-0-2", 3.0, -20.2), 0, 2)[2] == (60, 60)
    assert corner(pulled("after-0-2", -15.0, 9.0, alone=True), 0, 2)[2] == (40, 55)
    assert corner(pulled("after-0-2", 60.0, 0.0), 0, 2)[2] is None, "dragged past the corner it is sharp"
    assert corner(pulled("before-0-1", -25.0, 0.0), 0, 1)[2] == (25, 25), "a sharp corner is set back evenly"


def test_openings_and_areas_move_whole_and_areas_grow_from_their_far_corner() -> None:
    assert corner(pulled("opening-1", 10.2, 20.7), 1, 0)[:2] == (110, 121)
    area = deck(pulled("clear-0", 5.4, 0.0)).keep_clear[0]
    assert (area.x, area.y, area.width, area.height) == (15, 20, 30, 40)
    area = deck(pulled("size-0", 5.4, -10.0)).keep_clear[0]
    assert (area.x, area.y, area.width, area.height) == (10, 20, 35, 30)


@pytest.mark.parametrize(
    ("handle", "dx", "dy"),
    [("corner-0-2", -590.0, -400.0), ("edge-0-1", -650.0, 0.0), ("before-0-2", 0.0, -240.0), ("opening-1", 500.0, 0.0)],
)
def test_a_drag_no_board_can_follow_is_refused(handle: str, dx: float, dy: float) -> None:
    with pytest.raises(EditError):
        pulled(handle, dx, dy)


@pytest.mark.parametrize("handle", ["corner-0-9", "corner-3-0", "opening-2", "opening-0", "clear-4", "lid-1", ""])
def test_a_handle_that_is_not_there(handle: str) -> None:
    with pytest.raises(NotFoundError):
        pulled(handle, 1.0, 1.0)


@pytest.mark.parametrize("handle", ["corner-0-1", "edge-0-0", "after-0-2", "opening-1", "clear-0", "size-0"])
def test_a_drag_by_nothing_changes_nothing(handle: str) -> None:
    assert pulled(handle, 0.0, 0.0) == START


@pytest.mark.parametrize("handle", ["corner-0-3", "edge-0-2", "before-0-2", "opening-1", "size-0"])
def test_what_a_drag_makes_can_be_saved_and_read_again(handle: str) -> None:
    moved = pulled(handle, -7.3, 4.9)
    assert loads(dumps(moved)) == moved


# -- layers -------------------------------------------------------------------------------------------------


def rows(design: Design) -> list[tuple[str, float]]:
    return [(layer.material, layer.thickness) for layer in deck(design).layers]


def test_layers_are_changed_added_moved_and_removed() -> None:
    edit = board_layers.set_layers(START, None, {0: "aluminium"}, {1: 18.0}, CATALOGUE)
    assert rows(edit.design) == [("aluminium", 3), ("mdf", 18)]
    assert edit.summary.startswith("Made layer 1 3 mm ")
    more = board_layers.add_layer(edit.design, None, "plywood", 4.0, CATALOGUE).design
    assert rows(more)[2] == ("plywood", 4)
    up = board_layers.move_layer(more, None, 2, -1, CATALOGUE).design
    assert rows(up) == [("aluminium", 3), ("plywood", 4), ("mdf", 18)]
    assert board_layers.move_layer(up, None, 0, -1, CATALOGUE).design == up
    assert rows(board_layers.remove_layer(up, None, 0, CATALOGUE).design) == [("plywood", 4), ("mdf", 18)]


def test_layers_that_cannot_be() -> None:
    wrong: list[tuple[Callable[[], Edit], str]] = [
        (lambda: board_layers.set_layers(START, None, {1: "cheese"}, {}, CATALOGUE), "material-1"),
        (lambda: board_layers.set_layers(START, None, {}, {0: 0.0}, CATALOGUE), "thickness-0"),
        (lambda: board_layers.add_layer(START, None, "mdf", 101.0, CATALOGUE), "thickness-new"),
        (lambda: board_layers.add_layer(START, None, "cheese", 3.0, CATALOGUE), "material-new"),
    ]
    for change, field in wrong:
        with pytest.raises(EditError) as told:
            change()
        assert told.value.field == field
    one = board_layers.remove_layer(START, None, 0, CATALOGUE).design
    with pytest.raises(EditError, match="the board’s only layer"):
        board_layers.remove_layer(one, None, 0, CATALOGUE)
    with pytest.raises(NotFoundError):
        board_layers.move_layer(one, None, 1, 1, CATALOGUE)


# -- edges, depth, areas ------------------------------------------------------------------------------------


def test_edges_take_slots_and_rails_and_keep_the_others() -> None:
    edit = below.set_edges(START, None, {"front": 8.0}, {"left": 0.0, "back": 20.0})
    before, after = deck(START).edges, deck(edit.design).edges
    assert after.front.slot_depth == 8
    assert (after.left.rail, after.back.rail) == (0, 20)
    assert after.right == before.right
    assert "a slot of 8 mm at the front edge" in edit.summary
    with pytest.raises(EditError, match="0 to 250") as told:
        below.set_edges(START, None, {"front": 251.0}, {})
    assert told.value.field == "slot-front"


def test_depth_below_is_set_one_by_one_and_may_be_without_end() -> None:
    deep = below.set_free_depth(START, None, CATALOGUE, back=120.0).design
    assert deck(deep).depth_below == DepthBelowEntry(front=60, back=120)
    free = below.clear_free_depth(deep, None).design
    assert deck(free).depth_below is None
    again = deck(below.set_free_depth(free, None, CATALOGUE, front=70.0).design).depth_below
    assert again == DepthBelowEntry(front=70, back=CATALOGUE.rule("deck-depth-back"))
    with pytest.raises(EditError) as told:
        below.set_free_depth(START, None, CATALOGUE, front=-1.0)
    assert told.value.field == "front"


def test_areas_are_kept_clear_changed_and_given_up() -> None:
    edit = below.add_area(START, None, "top", (50, 60, 70, 80), " monitor foot ")
    assert deck(edit.design).keep_clear[1].label == "monitor foot"
    other = below.set_area(edit.design, None, 1, face="under", width=75.0).design
    area = deck(other).keep_clear[1]
    assert (area.face, area.x, area.width, area.label) == ("under", 50, 75, "monitor foot")
    assert deck(below.remove_area(other, None, 0).design).keep_clear == (area,)
    for wrong, field in (({"face": "side"}, "face"), ({"height": 0.0}, "height"), ({"label": "a\nb"}, "label")):
        with pytest.raises(EditError) as told:
            below.set_area(START, None, 0, **wrong)
        assert told.value.field == field
