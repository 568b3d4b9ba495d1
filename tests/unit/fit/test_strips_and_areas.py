"""What a placement asks of rails, slots and areas to keep clear.

Each on both sides of its limits, which are defaults of the fit table (common practice, no source) or of the materials
made up for tests; distances are plain geometry.
"""

from __future__ import annotations

import math

import pytest

from app.geometry.outline import Corner, EdgeName, Outline, rectangle_outline
from app.geometry.shapes import rectangle
from app.model.board import EdgeFeature, KeepClear
from app.model.part import Face
from app.values import replace
from tests.unit.fit.boards import (
    HAND,
    at,
    board,
    button,
    found,
    hanging,
    near,
    plate,
    stick,
)
from tests.unit.fit.things_of_each_kind import (
    HAIR,
    PARTS,
    PLAIN,
    Want,
    only,
    put,
    reach,
    screwed,
    steps,
    told,
)

RAIL = (EdgeFeature("left", rail=19),)
UNDER = ("hole", "counterbore", "recess", "body", "plate", "screw head", "nut")
OVER = ("hole", "flange", "plate on top", "screw head on top")


def room(kind: str) -> float:
    """A nut needs room for a spanner."""
    return 3.0 if kind == "nut" else 1.0


@pytest.mark.parametrize("kind", UNDER)
def test_what_is_cut_or_hangs_below_clears_a_rail(kind: str) -> None:
    for gap, want in steps(0, room(kind)):
        assert only(board(put(kind, 19 + reach(kind) + gap, 150, angle=180), edges=RAIL), "rail-clash") == want
        worst = board(put(kind, 19 + reach(kind) + gap + 1.5, 150, angle=180), edges=RAIL, allowance=HAND)
        assert only(worst, "rail-clash") == want
    (finding,) = found(board(put(kind, 19 + reach(kind), 150, angle=180), edges=RAIL), "rail-clash")
    assert (finding.detail.what, finding.detail.edge) == (told(kind), "left")


@pytest.mark.parametrize("kind", [k for k in PARTS if k not in UNDER])
def test_what_lies_on_top_may_be_over_a_rail(kind: str) -> None:
    assert not found(board(put(kind, 19 + reach(kind) - 5, 150, angle=180), edges=RAIL), "rail-clash")


def test_a_hole_over_a_rail_is_found_though_its_body_ends_inside_the_board() -> None:
    shallow = button(20, flange=0, body=19, depth=10)
    checked = board(at(19 + 10 - HAIR, 150, shallow), edges=RAIL)
    assert only(checked, "rail-clash") == ("stop", near(-HAIR), 0)
    assert found(checked, "rail-clash")[0].detail.what == "hole"


@pytest.mark.parametrize("kind", [*PARTS, "screw"])
def test_only_what_is_in_the_board_meets_a_slot(kind: str) -> None:
    slotted = (EdgeFeature("left", slot_depth=10),)
    meets = kind in ("hole", "counterbore", "recess", "screw")
    for gap, want in steps(0, 3):
        if kind == "screw":
            checked = board(at(10 + 42 + gap, 150, screwed("under", (-40, 0))), edges=slotted)
        else:
            checked = board(put(kind, 10 + reach(kind) + gap, 150, angle=180), edges=slotted)
        findings = [f for f in found(checked, "edge-slot") if f.detail.what == told(kind)]
        assert [(f.severity, f.measured, f.required) for f in findings] == ([want] if want and meets else [])


@pytest.mark.parametrize(("face", "kinds"), [("top", OVER), ("under", UNDER)])
@pytest.mark.parametrize("kind", PARTS)
def test_an_area_is_kept_clear_of_what_is_on_its_face(kind: str, face: Face, kinds: tuple[str, ...]) -> None:
    area = KeepClear(face, rectangle(100, 80, 50, 150), "hinge")
    for gap, want in steps(0, room(kind)):
        for off, allowance in ((0, board().tooling.drilling), (1, HAND)):
            checked = board(
                put(kind, 100 + reach(kind) + gap + off, 150, angle=180), keep_clear=(area,), allowance=allowance
            )
            assert only(checked, "rail-clash") == (want if kind in kinds else ())


def test_a_lever_may_come_near_an_area_on_top_but_not_swing_into_it() -> None:
    lever = replace(stick(screws=plate("under", 30, 60, (0, -25), (0, 25))), flange=None)
    throw = 76 * math.sin(math.radians(15))
    area = KeepClear("top", rectangle(100, 80, 50, 150), "hinge")
    for gap, want in (
        (0, ()),
        (-HAIR, ("caution", near(-HAIR), 0)),
        (-throw, ("caution", near(-throw), 0)),
        (-throw - HAIR, ("stop", near(-throw - HAIR), near(-throw))),  # its knob is there at rest
    ):
        x = 100 + 35 / 2 + throw + gap
        assert only(board(at(x, 150, lever), keep_clear=(area,)), "rail-clash") == want
        below = board(at(x, 150, lever), keep_clear=(replace(area, face="under"),))
        assert "lever" not in [f.detail.what for f in found(below, "rail-clash")]


SET_BACK = rectangle_outline(600, 300, 60)


@pytest.mark.parametrize(("gap", "want"), steps(0, 1))
def test_a_rail_is_as_long_as_the_straight_part_of_its_edge(gap: float, want: Want) -> None:
    """The back rail ends at x = 60, where the corner begins: a plate over the left edge may be beside it."""
    part = hanging(24, hole=8, flange=0, fixing=plate("under", 40, 24))
    for back in (EdgeFeature("back", rail=19), EdgeFeature("back", rail=40)):
        checked = board(at(60 - gap - 20, 270, part), outline=SET_BACK, edges=(back,))
        assert only(checked, "rail-clash") == want
        if want:
            assert found(checked, "rail-clash")[0].detail.edge == "back"


@pytest.mark.parametrize(("gap", "want"), steps(0, 1))
def test_a_straight_rail_that_runs_into_a_set_back_corner_is_seen_to_its_very_end(gap: float, want: Want) -> None:
    """The left rail ends at y = 240, and a body beyond its end is measured to that end."""
    part = hanging(rectangle(24, 24), hole=8, flange=0)
    checked = board(at(13, 240 + gap + 12, part), outline=SET_BACK, edges=RAIL)
    assert only(checked, "rail-clash") == want


ELBOW = Outline(tuple(Corner(x, y) for x, y in ((0, 0), (600, 0), (600, 200), (300, 200), (300, 300), (0, 300))))
BOTH = (EdgeFeature("back", rail=19), EdgeFeature("right", rail=19))
SMALL = hanging(12, hole=8, flange=0)


def test_where_two_rails_meet_at_a_corner_each_is_met_on_its_own_side() -> None:
    edges = (EdgeFeature("front", rail=19), EdgeFeature("left", rail=19))
    checked = board(at(60, 19 + 6 - HAIR, SMALL), edges=edges)
    assert only(checked, "rail-clash") == ("stop", near(-HAIR), 0)
    findings = found(board(at(22, 22, SMALL), edges=edges), "rail-clash")
    assert [(f.severity, f.measured, f.detail.edge) for f in findings] == [
        ("stop", near(22 - 6 - 19), "front"),
        ("stop", near(22 - 6 - 19), "left"),
    ]


@pytest.mark.parametrize("spot", [(9, 9), (12, 6), (6, 12)])
@pytest.mark.parametrize("feature", ["rail", "slot_depth"])
def test_what_lies_where_two_rails_or_slots_meet_is_a_stop(feature: str, spot: tuple[float, float]) -> None:
    names: tuple[EdgeName, ...] = ("front", "left")
    edges = tuple(EdgeFeature(name, **{feature: 19}) for name in names)
    findings = found(board(at(*spot, SMALL), edges=edges), "rail-clash" if feature == "rail" else "edge-slot")
    assert "stop" in [f.severity for f in findings]


@pytest.mark.parametrize("into", [-0.5, HAIR, 3, 6])
def test_what_meets_two_rails_where_they_are_mitred_about_an_inner_corner_is_found(into: float) -> None:
    """The rails meet at (281, 181); out along the diagonal from there."""
    away = (6 - into) / math.sqrt(2)
    findings = found(board(at(281 - away, 181 - away, SMALL), outline=ELBOW, edges=BOTH), "rail-clash")
    assert {f.severity for f in findings} == {"stop" if into > 0 else "caution"}


def test_a_board_without_openings_and_placements_has_nothing_to_find() -> None:
    edges = (*BOTH, EdgeFeature("front", 10, 19), EdgeFeature("left", 10, 19))
    checked = board(edges=edges, keep_clear=(KeepClear("top", rectangle(700, 40, 300, 0), ""),))
    rules = ("opening-distance", "rail-clash", "edge-slot", "under-overhang")
    assert [f for rule in rules for f in found(checked, rule)] == []
    off = board(at(0, 0, PLAIN, drill=False), edges=edges)
    assert [f for rule in (*rules, "outside-board", "edge-distance") for f in found(off, rule)] == []
