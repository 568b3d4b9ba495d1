"""Levers, recesses and the reach of bits, on both sides of their limits; expected numbers are formulas."""

from __future__ import annotations

import math

import pytest

from app.fit.changes.changed_board import with_fix
from app.fit.finding import Finding
from app.fit.judging.recess_check import recess_depth
from app.fit.report.report import check
from app.model.board import DepthPlane, EdgeFeature
from app.model.fix import BuyBit, RecessAt
from app.model.material import Layer
from app.model.recess_envelope import RecessEnvelope, lever_height, recess_envelope_of
from app.model.resolved import Placed, Recess, ResolvedBoard
from app.model.tooling import Bit
from tests.unit.fit.boards import ACRYLIC, CATALOGUE, FORSTNER, MDF, at, board, button, found, near, nut, stick

HAIR = 0.01  # mm past a limit: what is said to that; less is not short
ROUTED = (*FORSTNER, Bit("router", 6, 30))


def sunk(depth: float, length: float = 64, width: float = 96, height: float = 66, corner: float = 3) -> Placed:
    return at(200, 150, stick(length), recess=Recess(width, height, corner, depth))


def of(checked: ResolvedBoard, rule: str, cause: str) -> list[Finding]:
    return [f for f in found(checked, rule) if f.detail.cause == cause]


@pytest.mark.parametrize(
    ("length", "want"),
    # Above 18 mm of board, 50 to 65 mm wanted.
    [(68, None), (68 - HAIR, "low"), (83, None), (83 + HAIR, "high")],
)
def test_a_lever_stands_within_its_range(length: float, want: str | None) -> None:
    findings = found(board(at(200, 150, stick(length))), "lever-height")
    assert [(f.severity, f.detail.cause) for f in findings] == ([("caution", want)] if want else [])
    if want:
        assert findings[0].measured == near(length - 18)
        assert findings[0].required == (50 if want == "low" else 65)


def test_the_height_counts_the_recess_and_the_paint_on_both_faces() -> None:
    # L − (t − r) − 2·p
    assert lever_height(stick(76), 18, 4, 0.2) == near(76 - (18 - 4) - 0.4)
    assert lever_height(button(), 18, 4, 0.2) is None
    assert not found(board(sunk(4), bits=ROUTED), "lever-height")
    assert found(board(sunk(4), bits=ROUTED, paint=0.1), "lever-height")[0].measured == near(50 - 0.2)


@pytest.mark.parametrize(
    ("length", "thickness", "depth"),
    [
        (68, 18, 0.0),
        (67.9, 18, 0.5),  # rounded up to half a millimetre
        (64, 18, 4.0),
        (55, 18, 13.0),  # leaves the floor of 5 mm
        (54.9, 18, None),
        (90, 18, None),  # too high: no recess lowers it
    ],
)
def test_the_recess_is_as_deep_as_the_lever_needs(length: float, thickness: float, depth: float | None) -> None:
    assert recess_depth((Layer(MDF, thickness),), stick(length), 0.5, 0.0) == depth


def test_no_recess_is_proposed_that_would_lift_the_lever_past_its_range() -> None:
    assert recess_depth((Layer(MDF, 18),), stick(67.9, 50, 50.2), 0.5, 0.0) is None


def test_the_fix_is_a_recess_round_the_plate_with_corners_the_router_can_cut() -> None:
    checked = board(at(200, 150, stick(64)), bits=ROUTED)
    report = check(checked, CATALOGUE)
    finding = next(f for f in report.findings if f.rule == "lever-height")
    # The plate's corners are square, those of the pocket 3 mm round, with 0.5 mm of room there as well: the sides
    # lie R − (R − g)/√2 outside the plate. Rounded up to 0.5 mm.
    out = 3 - 2.5 / math.sqrt(2)
    width, height = (math.ceil((side + 2 * out) / 0.5) * 0.5 for side in (90, 60))
    assert report.fix_for(finding) == RecessAt(("a",), width, height, 3, 4)
    fixed = with_fix(checked, RecessAt(("a",), width, height, 3, 4), CATALOGUE)
    assert not check(fixed, CATALOGUE).findings


@pytest.mark.parametrize(("corner", "radius"), [(0.0, 6.0), (3.0, 3.0), (2.0, 8.0), (10.0, 3.0)])
def test_a_pocket_holds_its_bay_with_the_gap_all_round(corner: float, radius: float) -> None:
    envelope = RecessEnvelope(90, 60, corner)
    pocket = envelope.pocket(0.5, radius, 4, 0.5)
    assert envelope.clearance(pocket) >= 0.5 - 1e-9
    # Sampled: the farthest point of the envelope's corner against the pocket's, as circles about their own centres.
    cx, cy = pocket.width / 2 - pocket.corner, pocket.height / 2 - pocket.corner
    for degrees in range(91):
        angle = math.radians(degrees)
        x = 45 - corner + corner * math.cos(angle)
        y = 30 - corner + corner * math.sin(angle)
        room = min(pocket.width / 2 - x, pocket.height / 2 - y)
        if x > cx and y > cy:
            room = min(room, pocket.corner - math.hypot(x - cx, y - cy))
        assert room >= 0.5 - 1e-9


def test_what_lies_in_a_recess_is_plate_and_body_or_the_nut_with_room_or_the_clips() -> None:
    assert (recess_envelope_of(stick(), 3, 2).width, recess_envelope_of(stick(), 3, 2).height) == (90, 60)
    assert recess_envelope_of(button(fixing=nut(width=37)), 3, 2) == RecessEnvelope(43, 43, near(27 / 2))
    assert recess_envelope_of(button(28), 3, 2).width == 32


@pytest.mark.parametrize(
    ("width", "want", "room"),
    [(91, None, 0), (91 - HAIR, "caution", 0.5 - HAIR / 2), (90, "caution", 0), (90 - HAIR, "stop", -HAIR / 2)],
)
def test_a_recess_takes_the_plate(width: float, want: str | None, room: float) -> None:
    bits = (*FORSTNER, Bit("router", 1, 30))
    findings = of(board(sunk(4, width=width, height=70, corner=0.5), bits=bits), "recess", "room")
    assert [f.severity for f in findings] == ([want] if want else [])
    if want:
        assert findings[0].measured == near(room)


@pytest.mark.parametrize(("corner", "fails"), [(3, False), (3 - HAIR, True)])
def test_inside_corners_are_at_least_as_round_as_the_router_bit(corner: float, fails: bool) -> None:
    findings = of(board(sunk(4, width=100, height=70, corner=corner), bits=ROUTED), "recess", "corner")
    assert [(f.severity, f.required) for f in findings] == ([("caution", 3)] if fails else [])
    if fails:
        checked = board(sunk(4, width=100, height=70, corner=corner), bits=ROUTED)
        assert check(checked, CATALOGUE).fix_for(findings[0]) == RecessAt(("a",), 100, 70, 3, 4)


def test_without_a_router_bit_the_usual_one_is_assumed_and_one_is_to_be_bought() -> None:
    checked = board(sunk(4, width=110, height=80, corner=6))
    assert not of(checked, "recess", "corner")
    finding = of(checked, "bit-match", "recess")[0]
    assert (finding.severity, finding.required) == ("caution", 12)
    fix = check(checked, CATALOGUE).fix_for(finding)
    assert isinstance(fix, BuyBit) and (fix.kind, fix.diameter) == ("router", 12)


@pytest.mark.parametrize(("depth", "fails"), [(13, False), (13 + HAIR, True)])
def test_a_recess_leaves_the_material_its_ledge(depth: float, fails: bool) -> None:
    findings = of(board(sunk(depth), bits=ROUTED), "recess", "ledge")
    assert [(f.severity, f.required) for f in findings] == ([("stop", 5)] if fails else [])


@pytest.mark.parametrize(("free", "fails"), [(38 - 4, False), (38 - 4 - HAIR, True)])
def test_a_part_in_a_recess_hangs_as_much_less(free: float, fails: bool) -> None:
    checked = board(sunk(4, 76), bits=ROUTED, depth=DepthPlane(free, 0, 0))
    assert bool(found(checked, "depth-below")) is fails


@pytest.mark.parametrize(
    ("x", "want"),
    # The pocket reaches 48 mm to the left: 12 mm of MDF are asked for, 6 at least.
    [(60, None), (60 - HAIR, "caution"), (54, "caution"), (54 - HAIR, "stop"), (48 - HAIR, "outside")],
)
def test_a_recess_keeps_its_distance_from_the_edge(x: float, want: str | None) -> None:
    checked = board(at(x, 150, stick(), recess=Recess(96, 66, 3, 4)), bits=ROUTED)
    edge = [f for f in found(checked, "edge-distance") if f.detail.what == "recess"]
    outside = found(checked, "outside-board")
    if want == "outside":
        assert [f.detail.what for f in outside] == ["recess"]
    else:
        assert [f.severity for f in edge] == ([want] if want else []) and not outside


def test_a_recess_keeps_out_of_a_slot_and_leaves_a_web_to_the_next_hole_and_recess() -> None:
    slotted = board(at(200, 45, stick(), recess=Recess(96, 66, 3, 4)), edges=(EdgeFeature("front", 10),), bits=ROUTED)
    assert [(f.detail.what, f.measured) for f in found(slotted, "edge-slot")] == [("recess", near(45 - 33 - 10))]
    hole = board(at(200, 150, stick(), recess=Recess(96, 66, 3, 4)), at(200 + 48 + 4 + 14, 150, name="b"), bits=ROUTED)
    clash = found(hole, "under-clash")
    assert [(f.detail.what, f.detail.other, f.measured) for f in clash] == [("recess", "hole", near(4))]
    two = board(
        at(200, 150, stick(), recess=Recess(96, 66, 3, 4)),
        at(200 + 96 + 4, 150, stick(), name="b", recess=Recess(96, 66, 3, 4)),
        bits=ROUTED,
    )
    assert [(f.detail.what, f.measured) for f in found(two, "under-clash")] == [("recess", near(4))]


def test_a_nut_in_a_recess_holds_what_the_recess_leaves() -> None:
    part = button(fixing=nut(14, height=3, width=20))  # grips 10 mm
    assert found(board(at(200, 150, part, recess=Recess(40, 40, 6, 8 - HAIR)), bits=ROUTED), "thread-reach")
    assert not found(board(at(200, 150, part, recess=Recess(40, 40, 6, 8)), bits=ROUTED), "thread-reach")


@pytest.mark.parametrize(
    ("reach", "kind", "want"),
    [
        (18, "forstner", None),
        (18 - HAIR, "forstner", "note"),
        (9, "hole-saw", "note"),
        (9 - HAIR, "hole-saw", "stop"),
        (18 - HAIR, "step", "stop"),  # the next step would widen the hole from the other side
    ],
)
def test_a_bit_reaches_through_the_board_or_meets_itself_from_both_sides(
    reach: float, kind: str, want: str | None
) -> None:
    bits = (Bit(kind, 28, reach),)  # type: ignore[arg-type]
    findings = found(board(at(200, 150, shop=board(bits=bits).tooling), bits=bits), "bit-depth")
    assert [(f.severity, f.measured, f.required) for f in findings] == ([(want, reach, 18)] if want else [])


def test_a_hole_is_drilled_only_through_what_a_counterbore_leaves() -> None:
    bits = (Bit("forstner", 28, 9), Bit("forstner", 40, 9))
    shop = board(bits=bits).tooling
    assert not found(board(at(200, 150, bore=(40, 9), shop=shop), bits=bits), "bit-depth")
    deeper = found(board(at(200, 150, bore=(40, 9 + HAIR), shop=shop), bits=bits), "bit-depth")
    assert [(f.severity, f.detail.cause) for f in deeper] == [("stop", "counterbore")]
    pocket = board(at(200, 150, stick(), recess=Recess(100, 70, 6, 5)), bits=(*FORSTNER, Bit("router", 12, 4)))
    assert [f.detail.cause for f in found(pocket, "bit-depth")] == ["recess"]


def test_a_longer_bit_is_bought_for_one_too_short() -> None:
    bits = (Bit("forstner", 28, 8),)
    checked = board(at(200, 150, shop=board(bits=bits).tooling), bits=bits)
    report = check(checked, CATALOGUE)
    fix = report.fix_for(next(f for f in report.findings if f.rule == "bit-depth"))
    assert fix == BuyBit("forstner", 28, 55)


def test_the_shop_s_bit_that_reaches_is_taken_before_a_nearer_one_that_does_not() -> None:
    shop = board(bits=(Bit("forstner", 28, 8), Bit("forstner", 28.5, 20))).tooling
    near_one, far = shop.bit_for(28, 27.5, 29, depth=8), shop.bit_for(28, 27.5, 29, depth=18)
    assert near_one is not None and far is not None
    assert (near_one.diameter, far.diameter) == (28, 28.5)


def test_a_layered_board_counts_whole_for_a_lever() -> None:
    layers = (Layer(ACRYLIC, 3), Layer(MDF, 15))
    assert not found(board(at(200, 150, stick(68)), layers=layers), "lever-height")
    assert found(board(at(200, 150, stick(68 - HAIR)), layers=layers), "lever-height")
