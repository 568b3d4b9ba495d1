"""What the openings of a board ask of its edges, of each other, and of rails, slots and areas to keep clear.

Each on both sides of its limits, which are defaults of the fit table (common practice, no source) or of the materials
made up for tests; distances are plain geometry.
"""

from __future__ import annotations

import pytest

from app.fit.report.report import check
from app.geometry.shapes import rectangle
from app.model.board import EdgeFeature, KeepClear
from app.model.material import Layer, MaterialLimit
from app.model.part import Face
from tests.unit.fit.boards import (
    ACRYLIC,
    CATALOGUE,
    HAND,
    at,
    board,
    button,
    found,
    material,
    near,
)
from tests.unit.fit.things_of_each_kind import (
    HAIR,
    OPENING,
    Want,
    only,
    steps,
    window,
)


@pytest.mark.parametrize(("gap", "want"), steps(6, 12))
def test_an_opening_leaves_board_to_the_edge(gap: float, want: Want) -> None:
    for off, allowance in ((0, board().tooling.drilling), (2 * HAND.edge, HAND)):
        checked = board(openings=(window(200, gap + off, 300, 100),), allowance=allowance)
        assert only(checked, "opening-distance") == want
    for finding in found(board(openings=(window(200, gap, 300, 100),)), "opening-distance"):
        assert (finding.subjects, finding.detail.edge, finding.detail.layer) == ((), "front", "MDF")


@pytest.mark.parametrize(("gap", "want"), steps(1.5 * 4, 30))
def test_an_opening_in_acrylic_asks_for_its_own_width_to_the_edge(gap: float, want: Want) -> None:
    checked = board(openings=(window(200, gap, 300, gap + 30),), layers=(Layer(ACRYLIC, 4),))
    assert only(checked, "opening-distance") == want


@pytest.mark.parametrize(("gap", "want"), steps(3, 5))
def test_two_openings_leave_a_web(gap: float, want: Want) -> None:
    for off, allowance in ((0, board().tooling.drilling), (2 * HAND.edge, HAND)):
        openings = (window(100, 100, 200, 200), window(200 + gap + off, 120, 300, 180))
        assert only(board(openings=openings, allowance=allowance), "opening-distance") == want


def test_openings_that_touch_or_cross_each_other_or_the_edge_are_a_stop() -> None:
    least = MaterialLimit(HAIR)
    lax = material(edge_stop=least, edge_caution=least, web_stop=least, web_caution=least)
    layers = (Layer(lax, 18),)  # that asks for next to nothing
    one = window(100, 100, 200, 200)
    assert not found(board(openings=(one, window(200 + HAIR, 100, 300, 200)), layers=layers), "opening-distance")
    for other in (window(200, 100, 300, 200), window(190, 120, 300, 180), window(120, 50, 180, 250)):
        (finding,) = found(board(openings=(one, other), layers=layers), "opening-distance")
        assert finding.severity == "stop"
    for over in (window(200, 0, 300, 50), window(200, -10, 300, 50)):
        (finding,) = found(board(openings=(over,), layers=layers), "opening-distance")
        assert finding.severity == "stop"


@pytest.mark.parametrize(("feature", "caution"), [("rail", 1), ("slot_depth", 3)])
def test_an_opening_clears_rails_and_slots(feature: str, caution: float) -> None:
    lax = material(edge_stop=MaterialLimit(), edge_caution=MaterialLimit())
    edges = (EdgeFeature("left", **{feature: 19}),)
    for gap, want in steps(0, caution):
        for off, allowance in ((0, board().tooling.drilling), (2 * HAND.edge, HAND)):
            opening = window(19 + gap + off, 100, 200, 200)
            checked = board(openings=(opening,), edges=edges, layers=(Layer(lax, 18),), allowance=allowance)
            assert only(checked, "opening-distance") == want
    (finding,) = found(board(openings=(window(19, 100, 200, 200),), edges=edges), "opening-distance")
    assert (finding.detail.edge, finding.detail.side) == (feature.removesuffix("_depth"), "left")


def test_an_opening_over_a_rail_parts_from_it_to_the_inside_never_over_the_edge() -> None:
    """From 4 to 14 mm off an edge with a rail of 19 mm: 14 mm over the edge would do, 15 mm to the inside are due."""
    over = window(4, 100, 14, 200)
    edges = (EdgeFeature("left", rail=19),)
    by_itself = [f for f in found(board(openings=(over,), edges=edges), "opening-distance") if f.detail.edge == "rail"]
    assert [f.measured for f in by_itself] == [near(4 - 19)]
    told = [t for t in check(board(openings=(over,), edges=edges), CATALOGUE).tightest() if t.other == "rail"]
    assert [nearest.measured for one in told for nearest in one.nearest] == [near(4 - 19)]


@pytest.mark.parametrize("face", ["top", "under"])
def test_an_opening_clears_areas_on_both_faces(face: Face) -> None:
    area = KeepClear(face, rectangle(100, 80, 150, 150), "hinge")
    for gap, want in steps(0, 1):
        for off, allowance in ((0, board().tooling.drilling), (HAND.edge, HAND)):
            opening = window(200 + gap + off, 120, 300, 180)
            checked = board(openings=(opening,), keep_clear=(area,), allowance=allowance)
            assert only(checked, "opening-distance") == want


@pytest.mark.parametrize("shape", [rectangle(100, 100, 300, 150), rectangle(20, 200, 300, 150)])
def test_an_opening_just_as_large_as_an_area_or_across_it_is_a_stop(shape: object) -> None:
    area = KeepClear("top", shape, "hinge")  # type: ignore[arg-type]
    assert only(board(openings=(OPENING,), keep_clear=(area,)), "opening-distance")[0] == "stop"


def test_each_opening_and_what_it_is_too_near_to_is_told_by_itself() -> None:
    openings = (window(10, 8, 80, 50), window(84, 8, 200, 50))
    findings = found(board(openings=openings), "opening-distance")
    causes = [(f.detail.index, f.detail.edge) for f in findings]
    assert sorted(causes) == [(0.0, "front"), (0.0, "opening"), (1.0, "front")]
    assert len({f.detail.cause for f in findings}) == 3


def test_a_hole_in_what_two_crossing_openings_share_is_off_the_board() -> None:
    # Squares of 100 mm, 60 mm further on: they share 40 mm, and a hole of 20 mm in the middle of that leaves the first
    # to its nearer side by 20 mm and its own radius, 30 mm.
    first, second = window(100, 100, 200, 200), window(160, 100, 260, 200)
    findings = found(board(at(180, 150, button(20)), openings=(first, second)), "outside-board")
    assert [(f.severity, f.measured) for f in findings] == [("stop", near(-30))]
