"""What a placement asks of the board's edges, openings, rails, slots, areas and free depth; and the board of itself.

Each on both sides of its limits, which are defaults of the fit table (common practice, no source) or of the materials
made up for tests; distances are plain geometry.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from app.geometry.outline import Corner, EdgeName, Outline, rectangle_outline
from app.geometry.shapes import rectangle
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.material import Layer, Limit
from app.model.part import Face, Part
from app.model.resolved import Recess, ResolvedBoard
from tests.unit.fit.boards import (
    ACRYLIC,
    HAND,
    MDF,
    at,
    board,
    button,
    found,
    hanging,
    material,
    near,
    nut,
    plate,
    stick,
)
from tests.unit.fit.things_of_each_kind import PARTS, PLAIN, put, reach, screwed, told

HAIR = 0.001  # mm past a limit
PLYWOOD = material("Plywood", "plywood")
ALUMINIUM = material(
    "Aluminium",
    "aluminium",
    edge_stop=Limit(per_thickness=1),
    edge_caution=Limit(2, 2),
    edge_caution_backed=Limit(2, 2),
)
Want = tuple[object, ...]


def window(x0: float, y0: float, x1: float, y1: float) -> Outline:
    return Outline(tuple(Corner(x, y) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))))


OPENING = window(250, 100, 350, 200)


def only(checked: ResolvedBoard, rule: str) -> Want:
    """Severity, measured and required of the one finding of a rule; nothing where there is none."""
    findings = found(checked, rule)
    assert len(findings) <= 1, findings
    return next(((f.severity, f.measured, f.required) for f in findings), ())


def steps(stop: float, caution: float) -> list[tuple[float, Want]]:
    """Distances at both limits and a hair below, with what is found there."""
    return [
        (caution, ()),
        (caution - HAIR, ("caution", near(caution - HAIR), near(caution))),
        (stop, ("caution", near(stop), near(caution))),
        (stop - HAIR, ("stop", near(stop - HAIR), near(stop))),
    ]


# --- edges and openings ----------------------------------------------------------------------------------------------

SHANKS = [
    ((Layer(PLYWOOD, 18),), "under", None, 6, 12),
    # Of a multiple of the thickness it is as much as the screw goes in: 2 · 4 mm where its length is not known, else
    # what is left of it under 2 mm of plate, no less than it is wide, no more than the layer is thick.
    ((Layer(ACRYLIC, 2),), "under", None, 1.5 * 2, 4),  # by itself: the screw's own width of board
    ((Layer(ALUMINIUM, 3),), "under", None, 3, 2 * 3),
    ((Layer(ALUMINIUM, 18),), "under", None, 8, 2 * 8),
    ((Layer(ALUMINIUM, 18),), "under", 7, 5, 2 * 5),
    ((Layer(ALUMINIUM, 18),), "top", 3, 4, 2 * 4),
    # Backed by another layer, acrylic asks for twice its thickness; the layer that is entered counts alone.
    ((Layer(ACRYLIC, 4), Layer(MDF, 14)), "top", None, 1.5 * 4, 2 * 4),
    ((Layer(MDF, 14), Layer(ACRYLIC, 4)), "under", None, 1.5 * 4, 2 * 4),
    ((Layer(ACRYLIC, 4), Layer(PLYWOOD, 14)), "under", None, 6, 12),
]


@pytest.mark.parametrize(("layers", "side", "length", "stop", "caution"), SHANKS)
def test_a_screw_is_as_far_from_an_edge_as_the_layer_it_enters_asks(
    layers: tuple[Layer, ...], side: str, length: float | None, stop: float, caution: float
) -> None:
    part = screwed(side, (-40, 0), length=length)
    for gap, want in steps(stop, caution):
        assert only(board(at(gap + 2 + 40, 150, part), layers=layers), "edge-distance") == want
        worst = board(at(gap + 2 + 40 + 1.5, 150, part), layers=layers, allowance=HAND)
        assert only(worst, "edge-distance") == want
        beside = board(at(350 + gap + 2 + 40, 150, part), layers=layers, openings=(OPENING,))
        assert only(beside, "edge-distance") == want
    (finding,) = found(board(at(stop + 42 - HAIR, 150, part), layers=layers), "edge-distance")
    entered = layers[0 if side == "top" else -1].material.name
    assert (finding.detail["what"], finding.detail["layer"]) == ("screw", entered)


@pytest.mark.parametrize(
    ("centre", "want"),
    [
        (12, ()),  # a trade body's advice on MDF, from the screw's middle
        (12 - HAIR, ("caution", near(12 - HAIR), 12)),
        (8, ("caution", near(8), 12)),
        (8 - HAIR, ("stop", near(6 - HAIR), 6)),  # its shank, 4 mm wide, is nearer than any hole may be
        (2, ("stop", near(0), 6)),
        (-3, ("stop", near(-3 - 2), 6)),  # it goes into nothing
    ],
)
@pytest.mark.parametrize("side", ["under", "top"])
def test_a_screw_into_mdf_keeps_its_middle_from_an_edge_and_its_shank_all_the_more(
    centre: float, want: Want, side: str
) -> None:
    part = screwed(side, (-40, 0))
    assert only(board(at(40 + centre, 150, part)), "edge-distance") == want
    assert only(board(at(350 + 40 + centre, 150, part), openings=(OPENING,)), "edge-distance") == want


def test_a_screw_over_an_opening_is_a_stop() -> None:
    checked = board(at(330, 150, screwed("under", (-40, 0))), openings=(window(270, 135, 310, 165),))
    (finding,) = found(checked, "edge-distance")
    assert (finding.severity, finding.measured, finding.detail["edge"]) == ("stop", near(-15 - 2), "opening")


@pytest.mark.parametrize("kind", ["flange", "plate on top", "screw head on top"])
def test_what_lies_on_top_does_not_hang_over_an_edge_or_an_opening(kind: str) -> None:
    for gap, want in steps(0, 0.5):
        assert only(board(put(kind, reach(kind) + gap, 150, angle=180)), "flange-overhang") == want
        inside = board(put(kind, 250 - reach(kind) - gap, 150), openings=(OPENING,))
        assert only(inside, "flange-overhang") == want
    (finding,) = found(board(put(kind, reach(kind), 150, angle=180)), "flange-overhang")
    assert finding.detail["what"] == told(kind)


@pytest.mark.parametrize("kind", ["body", "plate", "nut", "screw head"])
def test_what_hangs_below_does_not_reach_past_an_edge(kind: str) -> None:
    for gap, want in steps(0, 0.5):
        assert only(board(put(kind, reach(kind) + gap, 150, angle=180)), "under-overhang") == want
        worst = board(put(kind, reach(kind) + gap + 1.5, 150, angle=180), allowance=HAND)
        assert only(worst, "under-overhang") == want
    (finding,) = found(board(put(kind, 600 - reach(kind), 150)), "under-overhang")
    assert (finding.detail["what"], finding.detail["edge"]) == (kind, "right")


@pytest.mark.parametrize("kind", ["body", "plate", "nut", "screw head"])
def test_only_a_nut_may_by_no_means_reach_into_an_opening(kind: str) -> None:
    """A body or a plate there may be meant, as behind a window; a nut presses on nothing."""
    for gap, want in steps(0 if kind == "nut" else -math.inf, 0.5):
        if math.isfinite(gap):
            checked = board(put(kind, 250 - reach(kind) - gap, 150), openings=(OPENING,))
            assert only(checked, "under-overhang") == want
    deep = board(put(kind, 250 - reach(kind) + 6, 150), openings=(OPENING,))
    assert only(deep, "under-overhang") == (("stop", near(-6), 0) if kind == "nut" else ("caution", near(-6), 0.5))


def test_past_an_edge_counts_more_than_into_an_opening() -> None:
    wide = hanging(rectangle(80, 20), hole=20, flange=0)
    checked = board(at(39, 150, wide), openings=(window(75, 100, 200, 200),))
    assert only(checked, "under-overhang") == ("stop", near(-1), 0)


def test_what_does_not_come_through_the_board_hangs_over_nothing() -> None:
    shallow = button(20, flange=0, body=19, depth=18)
    assert not found(board(at(5, 150, shallow)), "under-overhang")
    assert found(board(at(5, 150, replace(shallow, body=replace(shallow.body, depth=18.1)))), "under-overhang")


# --- rails, slots, areas ---------------------------------------------------------------------------------------------

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
    assert (finding.detail["what"], finding.detail["edge"]) == (told(kind), "left")


@pytest.mark.parametrize("kind", [k for k in PARTS if k not in UNDER])
def test_what_lies_on_top_may_be_over_a_rail(kind: str) -> None:
    assert not found(board(put(kind, 19 + reach(kind) - 5, 150, angle=180), edges=RAIL), "rail-clash")


def test_a_hole_over_a_rail_is_found_though_its_body_ends_inside_the_board() -> None:
    shallow = button(20, flange=0, body=19, depth=10)
    checked = board(at(19 + 10 - HAIR, 150, shallow), edges=RAIL)
    assert only(checked, "rail-clash") == ("stop", near(-HAIR), 0)
    assert found(checked, "rail-clash")[0].detail["what"] == "hole"


@pytest.mark.parametrize("kind", [*PARTS, "screw"])
def test_only_what_is_in_the_board_meets_a_slot(kind: str) -> None:
    slotted = (EdgeFeature("left", slot_depth=10),)
    meets = kind in ("hole", "counterbore", "recess", "screw")
    for gap, want in steps(0, 3):
        if kind == "screw":
            checked = board(at(10 + 42 + gap, 150, screwed("under", (-40, 0))), edges=slotted)
        else:
            checked = board(put(kind, 10 + reach(kind) + gap, 150, angle=180), edges=slotted)
        findings = [f for f in found(checked, "edge-slot") if f.detail["what"] == told(kind)]
        assert [(f.severity, f.measured, f.required) for f in findings] == ([want] if want and meets else [])


@pytest.mark.parametrize(("face", "kinds"), [("top", OVER), ("under", UNDER)])
@pytest.mark.parametrize("kind", PARTS)
def test_an_area_is_kept_clear_of_what_is_on_its_face(kind: str, face: Face, kinds: tuple[str, ...]) -> None:
    area = KeepClear(face, rectangle(100, 80, 50, 150), "hinge")
    for gap, want in steps(0, room(kind)):
        for off, allowance in ((0, board().shop.drilling), (1, HAND)):
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
        assert "lever" not in [f.detail["what"] for f in found(below, "rail-clash")]


EASED = rectangle_outline(600, 300, 60)


@pytest.mark.parametrize(("gap", "want"), steps(0, 1))
def test_a_rail_is_as_long_as_the_straight_part_of_its_edge(gap: float, want: Want) -> None:
    """The back rail ends at x = 60, where the corner begins: a plate over the left edge may be beside it."""
    part = hanging(24, hole=8, flange=0, fixing=plate("under", 40, 24))
    for back in (EdgeFeature("back", rail=19), EdgeFeature("back", rail=40)):
        checked = board(at(60 - gap - 20, 270, part), outline=EASED, edges=(back,))
        assert only(checked, "rail-clash") == want
        if want:
            assert found(checked, "rail-clash")[0].detail["edge"] == "back"


@pytest.mark.parametrize(("gap", "want"), steps(0, 1))
def test_a_straight_rail_that_runs_into_an_eased_corner_is_seen_to_its_very_end(gap: float, want: Want) -> None:
    """The left rail ends at y = 240, and a body beyond its end is measured to that end."""
    part = hanging(rectangle(24, 24), hole=8, flange=0)
    checked = board(at(13, 240 + gap + 12, part), outline=EASED, edges=RAIL)
    assert only(checked, "rail-clash") == want


ELBOW = Outline(tuple(Corner(x, y) for x, y in ((0, 0), (600, 0), (600, 200), (300, 200), (300, 300), (0, 300))))
BOTH = (EdgeFeature("back", rail=19), EdgeFeature("right", rail=19))
SMALL = hanging(12, hole=8, flange=0)


def test_where_two_rails_meet_at_a_corner_each_is_met_on_its_own_side() -> None:
    edges = (EdgeFeature("front", rail=19), EdgeFeature("left", rail=19))
    checked = board(at(60, 19 + 6 - HAIR, SMALL), edges=edges)
    assert only(checked, "rail-clash") == ("stop", near(-HAIR), 0)
    findings = found(board(at(22, 22, SMALL), edges=edges), "rail-clash")
    assert [(f.severity, f.measured, f.detail["edge"]) for f in findings] == [
        ("stop", near(22 - 6 - 19), "front"),
        ("stop", near(22 - 6 - 19), "left"),
    ]


@pytest.mark.xfail(reason="Drawn out beyond the edge a rail lacks its mitred ends: what lies on them is not found.")
@pytest.mark.parametrize("spot", [(9, 9), (12, 6), (6, 12)])
@pytest.mark.parametrize("feature", ["rail", "slot_depth"])
def test_what_lies_where_two_rails_or_slots_meet_is_a_stop(feature: str, spot: tuple[float, float]) -> None:
    names: tuple[EdgeName, ...] = ("front", "left")
    edges = tuple(EdgeFeature(name, **{feature: 19}) for name in names)
    findings = found(board(at(*spot, SMALL), edges=edges), "rail-clash" if feature == "rail" else "edge-slot")
    assert "stop" in [f.severity for f in findings]


@pytest.mark.xfail(reason="Only things as near to the rim as a rail is wide are looked at; the mitre reaches further.")
@pytest.mark.parametrize("into", [-0.5, HAIR, 3, 6])
def test_what_meets_two_rails_where_they_are_mitred_about_an_inner_corner_is_found(into: float) -> None:
    """The rails meet at (281, 181); out along the diagonal from there."""
    away = (6 - into) / math.sqrt(2)
    findings = found(board(at(281 - away, 181 - away, SMALL), outline=ELBOW, edges=BOTH), "rail-clash")
    assert {f.severity for f in findings} == {"stop" if into > 0 else "caution"}


# --- free depth ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "what", "hangs"),
    [
        (hanging(40, depth=22), "body", 22),
        (button(20, flange=0, fixing=nut(width=34, height=6, washer=1.5)), "nut", 7.5),
        (button(20, flange=0, fixing=plate("under", 60, 40)), "plate", 2),
        # A countersunk head is half as high as its shank is thick, below 2 mm of plate.
        (button(20, flange=0, fixing=plate("under", 60, 40, (29, 0))), "screw head", 2 + 4 / 2),
    ],
)
def test_what_hangs_below_fits_the_free_depth(part: Part, what: str, hangs: float) -> None:
    for free, want in ((hangs, ()), (hangs - HAIR, ("stop", near(-HAIR), 0))):
        checked = board(at(200, 150, part), depth=DepthPlane(free, 0, 0))
        assert only(checked, "depth-below") == want
    (finding,) = found(board(at(200, 150, part), depth=DepthPlane(hangs - 1, 0, 0)), "depth-below")
    assert (finding.detail["what"], finding.detail["depth"]) == (what, near(hangs))


@pytest.mark.parametrize(
    ("part", "recess", "hangs"),
    [
        (screwed("under"), Recess(110, 70, 6, 1.5), 22 - 1.5),  # its body is sunk as deep
        (button(20, flange=0, fixing=plate("under", 60, 40)), Recess(70, 50, 6, 1.5), 0.5),
        (button(20, flange=0, fixing=nut(width=34, height=6)), Recess(60, 60, 6, 2), 4),
        (button(20, flange=0, fixing=plate("under", 60, 40)), Recess(70, 50, 6, 3), 0),
    ],
)
def test_what_lies_in_a_recess_hangs_the_less(part: Part, recess: Recess, hangs: float) -> None:
    assert not found(board(at(200, 150, part, recess=recess), depth=DepthPlane(hangs, 0, 0)), "depth-below")
    short = board(at(200, 150, part, recess=recess), depth=DepthPlane(hangs - HAIR, 0, 0))
    assert only(short, "depth-below") == ("stop", near(-HAIR), 0)


# --- openings of the board itself ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("gap", "want"), steps(6, 12))
def test_an_opening_leaves_board_to_the_edge(gap: float, want: Want) -> None:
    for off, allowance in ((0, board().shop.drilling), (2 * HAND.edge, HAND)):
        checked = board(openings=(window(200, gap + off, 300, 100),), allowance=allowance)
        assert only(checked, "opening-distance") == want
    for finding in found(board(openings=(window(200, gap, 300, 100),)), "opening-distance"):
        assert (finding.subjects, finding.detail["edge"], finding.detail["layer"]) == ((), "front", "MDF")


@pytest.mark.parametrize(("gap", "want"), steps(1.5 * 4, 30))
def test_an_opening_in_acrylic_asks_for_its_own_width_to_the_edge(gap: float, want: Want) -> None:
    checked = board(openings=(window(200, gap, 300, gap + 30),), layers=(Layer(ACRYLIC, 4),))
    assert only(checked, "opening-distance") == want


@pytest.mark.parametrize(("gap", "want"), steps(3, 5))
def test_two_openings_leave_a_web(gap: float, want: Want) -> None:
    for off, allowance in ((0, board().shop.drilling), (2 * HAND.edge, HAND)):
        openings = (window(100, 100, 200, 200), window(200 + gap + off, 120, 300, 180))
        assert only(board(openings=openings, allowance=allowance), "opening-distance") == want


def test_openings_that_touch_or_cross_each_other_or_the_edge_are_a_stop() -> None:
    least = Limit(HAIR)
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
    lax = material(edge_stop=Limit(), edge_caution=Limit())
    edges = (EdgeFeature("left", **{feature: 19}),)
    for gap, want in steps(0, caution):
        for off, allowance in ((0, board().shop.drilling), (2 * HAND.edge, HAND)):
            opening = window(19 + gap + off, 100, 200, 200)
            checked = board(openings=(opening,), edges=edges, layers=(Layer(lax, 18),), allowance=allowance)
            assert only(checked, "opening-distance") == want
    (finding,) = found(board(openings=(window(19, 100, 200, 200),), edges=edges), "opening-distance")
    assert (finding.detail["edge"], finding.detail["side"]) == (feature.removesuffix("_depth"), "left")


@pytest.mark.parametrize("face", ["top", "under"])
def test_an_opening_clears_areas_on_both_faces(face: Face) -> None:
    area = KeepClear(face, rectangle(100, 80, 150, 150), "hinge")
    for gap, want in steps(0, 1):
        for off, allowance in ((0, board().shop.drilling), (HAND.edge, HAND)):
            opening = window(200 + gap + off, 120, 300, 180)
            checked = board(openings=(opening,), keep_clear=(area,), allowance=allowance)
            assert only(checked, "opening-distance") == want


@pytest.mark.xfail(reason="How deep they lie in each other is told by corners within alone, none of which there is.")
@pytest.mark.parametrize("shape", [rectangle(100, 100, 300, 150), rectangle(20, 200, 300, 150)])
def test_an_opening_just_as_large_as_an_area_or_across_it_is_a_stop(shape: object) -> None:
    area = KeepClear("top", shape, "hinge")  # type: ignore[arg-type]
    assert only(board(openings=(OPENING,), keep_clear=(area,)), "opening-distance")[0] == "stop"


def test_each_opening_and_what_it_is_too_near_to_is_told_by_itself() -> None:
    openings = (window(10, 8, 80, 50), window(84, 8, 200, 50))
    findings = found(board(openings=openings), "opening-distance")
    causes = [(f.detail["index"], f.detail["edge"]) for f in findings]
    assert sorted(causes) == [(0.0, "front"), (0.0, "opening"), (1.0, "front")]
    assert len({f.detail["cause"] for f in findings}) == 3


def test_a_board_without_openings_and_placements_has_nothing_to_find() -> None:
    edges = (*BOTH, EdgeFeature("front", 10, 19), EdgeFeature("left", 10, 19))
    checked = board(edges=edges, keep_clear=(KeepClear("top", rectangle(700, 40, 300, 0), ""),))
    rules = ("opening-distance", "rail-clash", "edge-slot", "under-overhang")
    assert [f for rule in rules for f in found(checked, rule)] == []
    off = board(at(0, 0, PLAIN, drill=False), edges=edges)
    assert [f for rule in (*rules, "outside-board", "edge-distance") for f in found(off, rule)] == []
