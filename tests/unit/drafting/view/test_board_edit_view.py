"""The sheet on which the board itself is changed: sizes, handles, and what follows a hand."""

from __future__ import annotations

import pytest

from app.arrange.board.drag import Pull, datum_shift, drag, grip_of
from app.catalogue.load import catalogue
from app.document.resolve import find_board, resolve
from app.document.scenarios import load_scenario
from app.drafting.view.board_edit_view import GROUPS, board_sheet, follower_groups, handle_place
from app.drafting.view.board_handles import Handle, handles_of
from app.drafting.view.board_view import view_scale
from app.fit.report.report import check
from app.geometry.outline import Corner, Outline
from app.model.resolved import ResolvedBoard
from app.scene.primitives import Group, Text, walk
from app.values import replace

DESIGN = load_scenario("lantern-hill-solo")
BOARD = resolve(DESIGN, None, None, catalogue())
RIM = Outline(
    (
        Corner(80, 0),
        Corner(520, 0),
        Corner(600, 60),
        Corner(600, 250, (40, 30)),
        Corner(0, 250, (35, 35)),
        Corner(0, 60),
    )
)
HOLE = Outline((Corner(200, 200), Corner(280, 200), Corner(280, 230), Corner(200, 230)))
SHAPED = replace(BOARD, outline=RIM, openings=(HOLE,), placements=())


def words(board: ResolvedBoard, held: str = "") -> list[str]:
    scene = board_sheet(board, (), held)
    return [item.text for item, _ in walk(scene.items) if isinstance(item, Text)]


def named(board: ResolvedBoard, held: str = "") -> dict[str, Handle]:
    return {handle.name: handle for handle in handles_of(board, held, view_scale(board))}


def test_every_edge_is_measured_slopes_by_run_and_rise() -> None:
    said = words(SHAPED)
    assert said.count("80 × 60 mm") == 2
    assert "440 mm" in said, "the front edge between the slopes"
    assert said.count("190 mm") == 2, "the upright edges from slope to corner"
    assert "600 mm" in said, "the back edge, which is the whole width"
    assert "250 mm" in said, "the whole depth, which no edge has"
    assert {"set back 40 × 30 mm", "set back 35 mm", "80 × 30 mm"} <= set(said)
    assert [t for t in said if t.isdigit()] == ["1", "2", "3", "4", "5", "6"]


def test_sizes_are_in_display_units() -> None:
    """600 mm is 23.622 in, 0.003 in less than 23 5/8 in."""
    assert '23 5/8"' in words(replace(SHAPED, units="inch"))


def test_every_corner_edge_easing_and_opening_has_a_handle_in_its_place() -> None:
    found = named(SHAPED)
    assert [h for h in found if h.startswith("corner-0")] == [f"corner-0-{k}" for k in range(6)]
    assert found["corner-0-2"].at == (600, 60)
    assert found["edge-0-0"].at == (300, 0)
    assert found["edge-0-2"].at == pytest.approx((600, (60 + 210) / 2)), "the middle of what is straight"
    assert found["before-0-3"].at == pytest.approx((600, 210))
    assert found["after-0-3"].at == pytest.approx((570, 250))
    assert found["opening-1"].at == pytest.approx((240, 215))
    assert "before-0-1" not in found
    assert "before-0-1" in named(SHAPED, "corner-0-1"), "a sharp corner in hand can be set back"


def test_every_handle_can_be_dragged_under_its_name() -> None:
    for name in named(BOARD, "corner-0-0"):
        grip_of(name)
        drag(DESIGN, None, name, Pull(0.0, 0.0), catalogue())


def test_handles_are_groups_with_words_for_the_keyboard() -> None:
    scene = board_sheet(BOARD, (), "corner-0-1")
    (group,) = [g for g in scene.items if isinstance(g, Group) and g.name == "handles"]
    inner = [g for g in group.items if isinstance(g, Group)]
    assert [g.data["handle"] for g in inner] == list(named(BOARD, "corner-0-1"))
    assert all(g.title for g in inner)
    assert [g.data["handle"] for g in inner if "held" in g.role.split()] == ["corner-0-1"]
    assert {"board-shape", "board-parts", *GROUPS, "handles"} == {g.name for g in scene.items if isinstance(g, Group)}


def test_the_thing_in_hand_is_measured_from_both_datum_edges() -> None:
    said = words(SHAPED, "opening-1")
    assert said.count("200 mm") == 2
    assert words(SHAPED).count("200 mm") == 0


def test_edges_are_called_by_their_side_where_there_is_one() -> None:
    assert named(SHAPED)["edge-0-0"].words == "The front edge, 440 mm long"
    assert named(SHAPED)["edge-0-1"].words == "The edge after corner 2, 100 mm long"
    notched = Outline((*RIM.corners[:2], Corner(520, 60), Corner(600, 60), *RIM.corners[3:]))
    assert named(replace(SHAPED, outline=notched))["edge-0-0"].words.startswith("The edge after corner 1")


def test_a_dragged_datum_edge_is_drawn_where_the_hand_is() -> None:
    """The left edge goes 15 mm out: on the page its handle goes as far, and the right edge stays."""
    rim = find_board(DESIGN, None).outline.corners
    left = next(h.name for h in named(BOARD).values() if h.words.startswith("The left edge"))
    edit = drag(DESIGN, None, left, Pull(-15.0, 0.0), catalogue())
    after, shift = resolve(edit.design, None, None, catalogue()), datum_shift(DESIGN, edit.design, None, left)
    scale = view_scale(BOARD)
    was, now = handle_place(BOARD, left, scale), handle_place(after, left, scale, shift)
    assert was is not None and now is not None
    assert now[0] - was[0] == pytest.approx(-15)
    assert max(c.x for c in after.outline.corners) - shift[0] == pytest.approx(max(c.x for c in rim))
    groups = follower_groups(after, (), left, shift)
    assert [g.name for g in groups] == list(GROUPS)
    assert all(isinstance(g.items[0], Group) and g.items[0].shift == (-15, 0) for g in groups)


def test_parts_outside_are_marked_by_their_letters() -> None:
    narrow = replace(BOARD, outline=Outline((Corner(0, 0), Corner(150, 0), Corner(150, 200), Corner(0, 200))))
    wrong = [f for f in check(narrow, catalogue()).open if f.rule == "outside-board"]
    assert wrong
    (marks,) = [g for g in board_sheet(narrow, wrong, "").items if isinstance(g, Group) and g.name == "board-marks"]
    assert sum(1 for _ in walk(marks.items)) > 0
    (none,) = [g for g in board_sheet(narrow, (), "").items if isinstance(g, Group) and g.name == "board-marks"]
    assert not list(walk(none.items))
