"""Rules about distances, each just inside and just outside its limits; expected numbers are formulas.

The limits are the defaults of the fit table (common practice, no source); the distances are plain geometry.
"""

from __future__ import annotations

import math

import pytest

from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.shapes import rectangle, slot
from app.model.board import EdgeFeature, KeepClear
from app.model.material import Layer, MaterialLimit
from app.model.resolved import ResolvedBoard
from tests.unit.fit.boards import ACRYLIC, HAND, MDF, at, board, button, found, hanging, material, near, nut, plate

HAIR = 0.01  # mm past a limit: what is said to that; less is not short


def one(checked: ResolvedBoard, rule: str) -> tuple[str, float, float]:
    """Severity, measured and required of the only finding of a rule."""
    findings = found(checked, rule)
    assert len(findings) == 1, findings
    assert findings[0].measured is not None and findings[0].required is not None
    return findings[0].severity, findings[0].measured, findings[0].required


def is_(severity: str, measured: float, required: float) -> tuple[object, ...]:
    return (severity, near(measured), near(required))


def test_a_hole_that_touches_the_rim_is_on_the_board_and_one_past_it_is_not() -> None:
    assert not found(board(at(14, 150)), "outside-board")
    assert one(board(at(14 - HAIR, 150)), "outside-board") == is_("stop", -HAIR, 0)
    assert one(board(at(-20, 150)), "outside-board") == is_("stop", -20 - 14, 0)


def test_a_hole_in_an_inner_opening_is_not_on_the_board() -> None:
    opening = Outline(tuple(Corner(x, y) for x, y in ((100, 100), (200, 100), (200, 200), (100, 200))))
    assert not found(board(at(85, 150), openings=(opening,)), "outside-board")
    assert one(board(at(105, 150), openings=(opening,)), "outside-board") == is_("stop", -5 - 14, 0)
    assert one(board(at(200 + 14 + 6 - HAIR, 150), openings=(opening,)), "edge-distance") == is_("stop", 6 - HAIR, 6)


def test_a_counterbore_off_the_board_counts_as_well() -> None:
    assert not found(board(at(20, 150, bore=(40, 5))), "outside-board")
    assert one(board(at(20 - HAIR, 150, bore=(40, 5))), "outside-board") == is_("stop", -HAIR, 0)


@pytest.mark.parametrize(("left", "want"), [(12, None), (12 - HAIR, "caution"), (6, "caution"), (6 - HAIR, "stop")])
def test_edge_distance_of_a_hole(left: float, want: str | None) -> None:
    checked = board(at(14 + left, 150))
    if want is None:
        assert not found(checked, "edge-distance")
    else:
        assert one(checked, "edge-distance") == is_(want, left, 6 if want == "stop" else 12)
        assert found(checked, "edge-distance")[0].detail.edge == "left"


def test_edge_distance_is_the_worst_case() -> None:
    # nominal − how far the hole may be off − how far the edge may be off
    just = 14 + 12 + 1.0 + 0.5
    assert not found(board(at(just, 150), allowance=HAND), "edge-distance")
    assert one(board(at(just - HAIR, 150), allowance=HAND), "edge-distance") == is_("caution", 12 - HAIR, 12)


def test_a_bit_oversize_takes_half_of_it_from_the_edge_distance() -> None:
    part = button(27, smallest=27, largest=28.5)  # made with the 28 mm bit
    assert one(board(at(12 + 14 - HAIR, 150, part)), "edge-distance") == is_("caution", 12 - HAIR, 12)


def test_a_set_back_corner_is_an_edge() -> None:
    # Set back 60, 60: an arc of radius 60 about (540, 240); out along the diagonal, radius less distance is left.
    outline = rectangle_outline(600, 300, setback=60)
    away = (60 - 14 - 12) / math.sqrt(2)
    assert not found(board(at(540 + away, 240 + away), outline=outline), "edge-distance")
    away += HAIR / math.sqrt(2)
    assert one(board(at(540 + away, 240 + away), outline=outline), "edge-distance") == is_("caution", 12 - HAIR, 12)


def test_a_slot_and_a_rectangle_keep_their_distance_by_their_nearest_point() -> None:
    long = button(more=(slot(60, 10, 0, 60, 90),))  # its far end 60 + 30 mm above the origin
    assert one(board(at(300, 300 - 90 - 12 + HAIR, long)), "edge-distance") == is_("caution", 12 - HAIR, 12)
    square = button(more=(rectangle(20, 20, 60, 0),))
    turned = at(600 - (60 + 10 * math.sqrt(2) + 12) + HAIR, 150, square, angle=0)
    assert not found(board(turned), "edge-distance")  # its corner does not point at the edge yet
    x = 600 - (60 + 10 + 12) + HAIR
    assert one(board(at(x, 150, square)), "edge-distance") == is_("caution", 12 - HAIR, 12)


def test_acrylic_by_itself_wants_a_hole_width_of_edge_and_backed_twice_its_thickness() -> None:
    alone, lax = (Layer(ACRYLIC, 4),), MaterialLimit(1)
    back = material(edge_stop=lax, edge_caution=lax, edge_caution_backed=lax)
    cover = (Layer(ACRYLIC, 4), Layer(back, 15))
    assert one(board(at(14 + 28 - HAIR, 150), layers=alone), "edge-distance") == is_("caution", 28 - HAIR, 28)
    assert not found(board(at(14 + 28, 150), layers=alone), "edge-distance")
    assert one(board(at(14 + 8 - HAIR, 150), layers=cover), "edge-distance") == is_("caution", 8 - HAIR, 2 * 4)
    assert not found(board(at(14 + 8, 150), layers=cover), "edge-distance")
    assert one(board(at(14 + 6 - HAIR, 150), layers=cover), "edge-distance") == is_("stop", 6 - HAIR, 1.5 * 4)


def test_the_strictest_layer_governs_and_is_named() -> None:
    layers = (Layer(ACRYLIC, 3), Layer(MDF, 15))
    finding = found(board(at(14 + 7, 150), layers=layers), "edge-distance")[0]
    assert (finding.required, finding.detail.layer) == (12, "MDF")
    layers = (Layer(ACRYLIC, 8), Layer(MDF, 15))
    finding = found(board(at(14 + 7, 150), layers=layers), "edge-distance")[0]
    assert (finding.severity, finding.required, finding.detail.layer) == ("stop", 1.5 * 8, "Acrylic")


def test_a_counterbore_asks_for_edge_of_the_layers_it_cuts() -> None:
    layers = (Layer(ACRYLIC, 3), Layer(MDF, 15))
    checked = board(at(20 + 12 - HAIR, 150, bore=(40, 10)), layers=layers)
    assert one(checked, "edge-distance") == is_("caution", 12 - HAIR, 12)
    assert found(checked, "edge-distance")[0].detail.what == "counterbore"


@pytest.mark.parametrize(("left", "fails"), [(12.0, False), (11.9, True)])
def test_a_screw_into_mdf_is_12_mm_from_an_edge(left: float, fails: bool) -> None:
    # A trade body's advice on MDF; 11.9 fails, 12.0 passes.
    part = button(fixing=plate("under", 210, 40, (-100.0, 0.0)))
    checked = board(at(100 + left, 150, part))
    assert [f.measured for f in found(checked, "edge-distance")] == ([near(11.9)] if fails else [])
    # Another family splits less: its own limits are asked of the shank, not of the centre.
    lax = material("Aluminium", "aluminium", edge_stop=MaterialLimit(2), edge_caution=MaterialLimit(left - 2))
    assert not found(board(at(100 + left, 150, part), layers=(Layer(lax, 3),)), "edge-distance")


def test_a_screw_into_mdf_is_25_mm_from_a_corner() -> None:
    part = button(fixing=plate("under", 220, 220, (-100.0, -100.0)))
    out = 25 / math.sqrt(2)
    assert not found(board(at(100 + out, 100 + out, part)), "edge-distance")
    out -= HAIR
    checked = board(at(100 + out, 100 + out, part))
    assert one(checked, "edge-distance") == is_("caution", out * math.sqrt(2), 25)


@pytest.mark.parametrize("radius", [4.0, 10.0, 24.9])
def test_a_screw_near_a_set_back_corner_counts_from_its_curve(radius: float) -> None:
    """On the diagonal, beyond the centre of the curve, its ends are nearest: r from the corner along both edges.

    So far along both edges t that (t − r)² + t² = 25².
    """
    setback = (radius, radius)
    outline = Outline((Corner(0, 0, setback), Corner(600, 0), Corner(600, 300), Corner(0, 300)))
    part = button(fixing=plate("under", 220, 220, (-100.0, -100.0)))
    out = (radius + math.sqrt(2 * 25**2 - radius**2)) / 2
    assert not found(board(at(100 + out, 100 + out, part), outline=outline), "edge-distance")
    checked = board(at(100 + out - HAIR, 100 + out - HAIR, part), outline=outline)
    assert one(checked, "edge-distance") == is_("caution", math.hypot(out - HAIR - radius, out - HAIR), 25)
    (finding,) = found(checked, "edge-distance")
    assert finding.detail.edge == "corner"


def test_a_curve_that_a_disc_of_25_mm_fits_into_is_an_edge_but_no_laxer_than_if_it_were_sharp() -> None:
    part = button(fixing=plate("under", 220, 220, (-100.0, -100.0)))

    def at_corner(radius: float, in_from_rim: float) -> list[float | None]:
        """Findings of a screw on the diagonal, so far from the curve."""
        outline = Outline((Corner(0, 0, (radius, radius)), Corner(600, 0), Corner(600, 300), Corner(0, 300)))
        out = radius - (radius - in_from_rim) / math.sqrt(2)
        return [f.measured for f in found(board(at(100 + out, 100 + out, part), outline=outline), "edge-distance")]

    # Sharp, the corner of a radius r lies r (√2 − 1) before its curve: of 25 mm that is 10.4, of 40 mm 16.6.
    sharp = 25 - 25 * (math.sqrt(2) - 1)
    assert at_corner(25.0, sharp) == []
    assert at_corner(25.0, sharp - HAIR) == [near(sharp - HAIR)]
    assert at_corner(40.0, 12.0) == []
    assert at_corner(40.0, 12.0 - HAIR) == [near(12.0 - HAIR)], "as of any edge"


def test_an_elliptic_corner_is_one_where_it_bends_tightest() -> None:
    """Set back a and b it is a quarter of an ellipse, whose radius at the end of the axis a is b² / a."""
    part = button(fixing=plate("under", 220, 220, (-100.0, -100.0)))
    for setback, counted in (((40.0, 40.0 * math.sqrt(0.6)), True), ((40.0, 40.0 * math.sqrt(0.63)), False)):
        outline = Outline((Corner(0, 0, setback), Corner(600, 0), Corner(600, 300), Corner(0, 300)))
        # Above the curve's end on the front edge: 20 mm from it, and farther than 25 mm from the sharp corner.
        checked = board(at(100 + setback[1], 100 + 20, part), outline=outline)
        assert bool(found(checked, "edge-distance")) == counted


@pytest.mark.parametrize(("left", "want"), [(3, None), (3 - HAIR, "caution"), (0, "caution"), (-HAIR, "stop")])
def test_edge_slot(left: float, want: str | None) -> None:
    slotted = (EdgeFeature("front", slot_depth=10),)
    checked = board(at(300, 10 + left + 14), edges=slotted)
    if want is None:
        assert not found(checked, "edge-slot")
    else:
        assert one(checked, "edge-slot") == is_(want, left, 0 if want == "stop" else 3)
    bored = board(at(300, 10 + left + 20, bore=(40, 5)), edges=slotted)
    assert [f.severity for f in found(bored, "edge-slot")] == ([want] if want else [])


def test_edge_slot_is_the_worst_case_and_minds_its_own_edge_only() -> None:
    checked = board(at(300, 10 + 3 + 14 + 1.5 - HAIR), edges=(EdgeFeature("front", slot_depth=10),), allowance=HAND)
    assert one(checked, "edge-slot") == is_("caution", 3 - HAIR, 3)
    other = board(at(300, 10 + 3 + 14 - HAIR), edges=(EdgeFeature("back", slot_depth=10),))
    assert not found(other, "edge-slot")


@pytest.mark.parametrize(
    ("web", "want"), [(5, None), (5 - HAIR, "caution"), (3, "caution"), (3 - HAIR, "stop"), (-4, "stop")]
)
def test_web(web: float, want: str | None) -> None:
    checked = board(at(200, 150), at(200 + 28 + web, 150, name="b"))
    if want is None:
        assert not found(checked, "web")
    else:
        assert one(checked, "web") == is_(want, web, 3 if want == "stop" else 5)
        assert found(checked, "web")[0].subjects == ("a", "b")


def test_web_is_the_worst_case() -> None:
    # Pitch 28 + 5 + 2 · 1.0: both holes may be 1 mm off toward each other.
    assert not found(board(at(200, 150), at(200 + 35, 150, name="b"), allowance=HAND), "web")
    checked = board(at(200, 150), at(200 + 35 - HAIR, 150, name="b"), allowance=HAND)
    assert one(checked, "web") == is_("caution", 5 - HAIR, 5)


def test_web_is_judged_on_the_bits_that_make_the_holes() -> None:
    part = button(27, smallest=27, largest=28.5)  # made with the 28 mm bit
    checked = board(at(200, 150, part), at(200 + 28 + 5 - HAIR, 150, part, name="b"))
    assert one(checked, "web") == is_("caution", 5 - HAIR, 5)


def test_web_follows_the_strictest_layer_and_the_wider_hole() -> None:
    thirsty = material(
        "Glass fibre", "acrylic", web_stop=MaterialLimit(per_diameter=0.5), web_caution=MaterialLimit(per_diameter=1)
    )
    big = button(40)
    checked = board(
        at(200, 150), at(200 + 14 + 20 + 40 - HAIR, 150, big, name="b"), layers=(Layer(MDF, 9), Layer(thirsty, 3))
    )
    assert one(checked, "web") == is_("caution", 40 - HAIR, 40)
    assert found(checked, "web")[0].detail.layer == "Glass fibre"


def test_web_between_other_shapes_than_circles_is_exact() -> None:
    part = button(more=(rectangle(20, 10, 60, 0),))
    b = at(200 + 60 + 10 + 14 + 4, 150, name="b")
    assert one(board(at(200, 150, part), b), "web") == is_("caution", 4, 5)


@pytest.mark.parametrize(("web", "want"), [(3, None), (3 - HAIR, "caution"), (0, None), (-5, None)])
def test_holes_of_one_part_are_judged_only_below_the_stop_and_as_drawn(web: float, want: str | None) -> None:
    part = button(more=(rectangle(10, 10, 14 + web + 5, 0),))
    for allowance in (HAND, board().tooling.drilling):
        checked = board(at(200, 150, part), allowance=allowance)
        assert [f.severity for f in found(checked, "web")] == ([want] if want else [])
        if want:
            assert found(checked, "web")[0].measured == near(web)


@pytest.mark.parametrize(("gap", "want"), [(0.5, None), (0.5 - HAIR, "caution"), (0, "caution"), (-HAIR, "stop")])
def test_flange_overlap(gap: float, want: str | None) -> None:
    checked = board(at(200, 150), at(200 + 32 + gap, 150, name="b"))
    if want is None:
        assert not found(checked, "flange-overlap")
    else:
        assert one(checked, "flange-overlap") == is_(want, gap, 0 if want == "stop" else 0.5)
    worst = board(at(200, 150), at(200 + 32 + gap + 2, 150, name="b"), allowance=HAND)
    assert [f.severity for f in found(worst, "flange-overlap")] == ([want] if want else [])


def test_a_plate_on_the_top_face_counts_as_a_flange() -> None:
    stick, other = button(fixing=plate("top"), flange=0), at(200 + 45 + 16 + 0.3, 150, name="b")
    assert one(board(at(200, 150, stick), other), "flange-overlap") == is_("caution", 0.3, 0.5)
    assert one(board(at(45 + 0.3, 150, stick)), "flange-overhang") == is_("caution", 0.3, 0.5)
    below = button(fixing=plate("under"), flange=0)
    assert not found(board(at(200, 150, below), other), "flange-overlap")


@pytest.mark.parametrize(("gap", "want"), [(0.5, None), (0.5 - HAIR, "caution"), (0, "caution"), (-HAIR, "stop")])
def test_flange_overhang(gap: float, want: str | None) -> None:
    checked = board(at(300, 300 - 16 - gap))
    if want is None:
        assert not found(checked, "flange-overhang")
    else:
        assert one(checked, "flange-overhang") == is_(want, gap, 0 if want == "stop" else 0.5)
        assert found(checked, "flange-overhang")[0].detail.edge == "back"
    worst = board(at(300, 300 - 16 - gap - 1.5), allowance=HAND)
    assert [f.severity for f in found(worst, "flange-overhang")] == ([want] if want else [])


@pytest.mark.parametrize(("gap", "want"), [(2, None), (2 - HAIR, "caution"), (0, "caution"), (-HAIR, "stop")])
def test_bodies_keep_2_mm_apart(gap: float, want: str | None) -> None:
    part = hanging()
    checked = board(at(200, 150, part), at(200 + 40 + gap, 150, part, name="b"))
    if want is None:
        assert not found(checked, "under-clash")
    else:
        assert one(checked, "under-clash") == is_(want, gap, 0 if want == "stop" else 2)
    worst = board(at(200, 150, part), at(200 + 40 + gap + 2, 150, part, name="b"), allowance=HAND)
    assert [f.severity for f in found(worst, "under-clash")] == ([want] if want else [])


def test_a_body_that_ends_inside_the_board_meets_nothing_below() -> None:
    # A body 27 mm wide, 28.4 mm off the middle of a 28 mm hole: 28.4 − 13.5 − 14 = 0.9 mm between them, 1 is asked.
    for depth, count in ((18, 0), (18.1, 1)):
        part = button(28, body=27, depth=depth)
        assert len(found(board(at(200, 150, part), at(228.4, 150, part, name="b")), "under-clash")) == count


@pytest.mark.parametrize(("gap", "want"), [(3, None), (3 - HAIR, "caution"), (-HAIR, "stop")])
def test_a_nut_keeps_3_mm_to_be_turned_though_the_faces_pass(gap: float, want: str | None) -> None:
    part = button(fixing=nut(width=37))
    checked = board(at(200, 150, part), at(200 + 37 + gap, 150, part, name="b"))
    assert [f.severity for f in found(checked, "under-clash")] == ([want] if want else [])
    assert not found(checked, "web") and not found(checked, "flange-overlap")  # the top face is fine
    if want:
        assert one(checked, "under-clash") == is_(want, gap, 0 if want == "stop" else 3)


def test_plates_below_and_bodies_of_other_parts_keep_apart() -> None:
    stick = button(fixing=plate("under", 90, 60), mount="under", depth=40)
    other = hanging(rectangle(30, 30))
    checked = board(at(200, 150, stick), at(200 + 45 + 15 + 1.5, 150, other, name="b"))
    assert one(checked, "under-clash") == is_("caution", 1.5, 2)
    assert found(checked, "under-clash")[0].detail.what == "plate"
    assert found(checked, "under-clash")[0].detail.other == "body"
    turned = board(at(200, 150, stick, angle=90), at(200 + 45 + 15 + 1.5, 150, other, name="b"))
    assert not found(turned, "under-clash")  # the plate is 60 mm across that way


@pytest.mark.parametrize(("web", "want"), [(5, None), (5 - HAIR, "caution"), (3, "caution"), (3 - HAIR, "stop")])
def test_counterbores_leave_a_web_between_them(web: float, want: str | None) -> None:
    checked = board(at(200, 150, bore=(40, 8)), at(200 + 40 + web, 150, name="b", bore=(40, 6)))
    assert [f.severity for f in found(checked, "under-clash")] == ([want] if want else [])
    if want:
        assert one(checked, "under-clash") == is_(want, web, 3 if want == "stop" else 5)


def test_a_counterbore_leaves_a_web_to_another_hole() -> None:
    checked = board(at(200, 150, bore=(40, 8)), at(200 + 20 + 14 + 4, 150, name="b"))
    assert one(checked, "under-clash") == is_("caution", 4, 5)
    detail = found(checked, "under-clash")[0].detail
    assert (detail.what, detail.other) == ("counterbore", "hole")


def test_counterbores_ask_for_the_web_of_the_layers_both_are_in() -> None:
    layers = (Layer(MDF, 12), Layer(material("Acrylic", "acrylic", web_caution=MaterialLimit(9)), 3))
    for depth, needed in ((2, 9), (8, 9)):
        checked = board(at(200, 150, bore=(40, depth)), at(248, 150, name="b", bore=(40, depth)), layers=layers)
        assert one(checked, "under-clash") == is_("caution", 8, needed)
    other_way = (layers[1], layers[0])
    shallow = board(at(200, 150, bore=(40, 8)), at(248, 150, name="b", bore=(40, 8)), layers=other_way)
    assert not found(shallow, "under-clash")  # 8 mm deep is in MDF only


def test_a_counterbore_needs_room_below_it() -> None:
    checked = board(at(200, 150, bore=(40, 8)), at(200 + 20 + 20 + 1, 150, hanging(), name="b"))
    assert one(checked, "under-clash") == is_("caution", 1, 2)


@pytest.mark.parametrize(("gap", "want"), [(1, None), (1 - HAIR, "caution"), (0, "caution"), (-HAIR, "stop")])
def test_bodies_clear_a_rail(gap: float, want: str | None) -> None:
    part, rails = hanging(), (EdgeFeature("left", rail=19),)
    checked = board(at(19 + 20 + gap, 150, part), edges=rails)
    if want is None:
        assert not found(checked, "rail-clash")
    else:
        assert one(checked, "rail-clash") == is_(want, gap, 0 if want == "stop" else 1)
    worst = board(at(19 + 20 + gap + 1.5, 150, part), edges=rails, allowance=HAND)
    assert [f.severity for f in found(worst, "rail-clash")] == ([want] if want else [])


def test_nuts_plates_and_counterbores_clear_a_rail() -> None:
    rails = (EdgeFeature("back", rail=19),)
    y = 300 - 19
    nuts = board(at(300, y - 18.5 - 3 + HAIR, button(fixing=nut(width=37))), edges=rails)
    assert one(nuts, "rail-clash") == is_("caution", 3 - HAIR, 3)
    plates = board(at(300, y - 30 - 1 + HAIR, button(fixing=plate())), edges=rails)
    assert one(plates, "rail-clash") == is_("caution", 1 - HAIR, 1)
    bores = board(at(300, y - 20 - 1 + HAIR, bore=(40, 5)), edges=rails)
    assert one(bores, "rail-clash") == is_("caution", 1 - HAIR, 1)


def test_a_body_over_the_far_edge_does_not_meet_the_rail_of_this_one() -> None:
    part, rails = hanging(), (EdgeFeature("left", rail=19),)
    assert not found(board(at(600, 150, part), edges=rails), "rail-clash")
    assert one(board(at(0, 150, part), edges=rails), "rail-clash") == is_("stop", 0 - 20 - 19, 0)


@pytest.mark.parametrize(("gap", "want"), [(1, None), (1 - HAIR, "caution"), (-HAIR, "stop")])
def test_areas_below_are_kept_clear_of_bodies_and_areas_on_top_of_flanges(gap: float, want: str | None) -> None:
    part = hanging()
    for face, half in (("under", 20), ("top", 16)):
        area = KeepClear(face, rectangle(100, 40, 300, 150), "hinge")  # type: ignore[arg-type]
        checked = board(at(350 + half + gap, 150, part), keep_clear=(area,))
        assert [f.severity for f in found(checked, "rail-clash")] == ([want] if want else [])
        if want:
            assert one(checked, "rail-clash") == is_(want, gap, 0 if want == "stop" else 1)
        worst = board(at(350 + half + gap + 1, 150, part), keep_clear=(area,), allowance=HAND)
        assert [f.severity for f in found(worst, "rail-clash")] == ([want] if want else [])


def test_what_is_not_drilled_is_in_no_rule() -> None:
    checked = board(at(5, 5, drill=False), at(200, 150), at(201, 150, name="b", drill=False))
    assert not found(checked, "web") + found(checked, "outside-board") + found(checked, "under-clash")
