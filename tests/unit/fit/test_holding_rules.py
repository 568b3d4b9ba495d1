"""Rules about how parts are held, how deep they hang and what drills them; expected numbers are formulas."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue as real_catalogue
from app.fit.limits.cut_depths import depth_needed, grip_range, ledge_below, rounded_up
from app.fit.report.report import check
from app.fit.words.messages import message
from app.geometry.shapes import rectangle
from app.model.board import DepthPlane
from app.model.fix import BuyBit, CounterboreAt
from app.model.material import Layer
from app.model.part import SnapFixing
from app.model.tooling import Bit
from app.units import Unit
from tests.unit.fit.boards import ACRYLIC, CATALOGUE, FORSTNER, HAND, MDF, RULES, at, board, button, found, near, nut

HAIR = 0.01  # mm past a limit: what is said to that; less is not short


def test_the_grip_is_the_thread_less_nut_washer_and_spare() -> None:
    # g = L − n − w − s
    assert nut(20, 5, washer=1.5, spare=1).grip == 20 - 5 - 1.5 - 1
    assert grip_range(button(fixing=nut(20, 5, washer=1.5))) == (0, 12.5)
    assert grip_range(button(fixing=SnapFixing(1.5, 5))) == (1.5, 5)


@pytest.mark.parametrize(
    ("thickness", "thread", "step", "depth", "ledge"),
    [
        # thread 14, nut and spare 4: grip 10; the board 3/4 in: 9.05 deep, up to 9.5
        (19.05, 14, 0.5, 9.5, 9.55),
        # at most 5 mm is held of an 18 mm board: 13 deep leaves 5
        (18.0, 9, 0.5, 13.0, 5.0),
        # the same 3/4 in with inch steps: 9.05 mm is 22.8 of 1/64 in, so 23/64 in
        (19.05, 14, 25.4 / 64, 23 * 25.4 / 64, 19.05 - 23 * 25.4 / 64),
        (10.0, 14, 0.5, 0.0, 10.0),
        (10.0 + HAIR, 14, 0.5, 0.5, 9.5 + HAIR),
    ],
)
def test_a_counterbore_is_as_deep_as_the_nut_needs(
    thickness: float, thread: float, step: float, depth: float, ledge: float
) -> None:
    part = button(fixing=nut(thread, height=3, width=20, spare=1))
    layers = (Layer(MDF, thickness),)
    needed = depth_needed(layers, part, step)
    assert needed == near(depth)
    assert ledge_below(layers, depth).thickness == near(ledge)


def test_no_counterbore_is_proposed_whose_ledge_is_below_the_floor() -> None:
    part = button(fixing=nut(9 - HAIR, height=3, width=20))
    assert depth_needed((Layer(MDF, 18),), part, 0.5) is None
    finding = found(board(at(200, 150, part)), "thread-reach")[0]
    assert finding.detail.bore.depth is None and check(board(at(200, 150, part)), CATALOGUE).fix_for(finding) is None


@pytest.mark.parametrize(("depth", "up"), [(0.0, 0.0), (0.2, 0.5), (0.5, 0.5), (0.5 + 1e-9, 0.5), (0.51, 1.0)])
def test_depths_are_rounded_up(depth: float, up: float) -> None:
    assert rounded_up(depth, 0.5) == up


def test_the_ledge_is_asked_for_by_the_strictest_layer_that_remains() -> None:
    layers = (Layer(ACRYLIC, 3), Layer(MDF, 15))
    shallow, deep, through = (ledge_below(layers, c) for c in (10, 15, 18))
    assert (shallow.thickness, shallow.floor, shallow.layer) == (8, 5, layers[1])
    assert (deep.thickness, deep.floor, deep.layer, deep.carries) == (3, 3, layers[0], True)
    assert (through.layer, through.carries) == (None, False)


@pytest.mark.parametrize(
    ("thread", "want", "measured", "required"),
    [(25, None, 0, 0), (25 - HAIR, "caution", 1 - HAIR, 1), (24, "caution", 0, 1), (24 - HAIR, "stop", -HAIR, 0)],
)
def test_thread_reach(thread: float, want: str | None, measured: float, required: float) -> None:
    # 18 mm of board and a 6 mm nut: 24 mm of thread to go on, 1 mm more to spare
    findings = found(board(at(200, 150, button(fixing=nut(thread)))), "thread-reach")
    assert [f.severity for f in findings] == ([want] if want else [])
    if want:
        assert findings[0].measured == near(measured) and findings[0].required == required


def test_one_cause_is_one_finding_and_one_fix_for_all_of_them() -> None:
    part = button(fixing=nut(14, height=3, width=20))
    checked = board(at(400, 150, part, name="p10"), at(100, 150, part, name="p2"), at(250, 150, name="q"))
    report = check(checked, CATALOGUE)
    findings = [f for f in report.findings if f.rule == "thread-reach"]
    assert [f.subjects for f in findings] == [("p2", "p10")]
    assert findings[0].where == (100, 150)
    # 18 − (14 − 3 − 1) = 8 deep; 20 across corners + 2 · 3 for the spanner = 26, and 28 is the next bit
    assert report.fix_for(findings[0]) == CounterboreAt(("p2", "p10"), 28, 8)


def test_a_counterbore_that_is_there_is_counted() -> None:
    part = button(fixing=nut(14, height=3, width=20))
    assert not found(board(at(200, 150, part, bore=(28, 8))), "thread-reach")
    shallow = found(board(at(200, 150, part, bore=(28, 8 - HAIR))), "thread-reach")
    assert [(f.severity, f.measured) for f in shallow] == [("caution", near(1 - HAIR))]


@pytest.mark.parametrize(
    ("width", "want", "required"),
    [(26, None, 0), (26 - HAIR, "caution", 26), (20, "caution", 26), (20 - HAIR, "stop", 20)],
)
def test_a_counterbore_takes_the_nut_and_the_spanner(width: float, want: str | None, required: float) -> None:
    part = button(fixing=nut(14, height=3, width=20))
    findings = found(board(at(200, 150, part, bore=(width, 8))), "thread-reach")
    assert [(f.severity, f.measured, f.required) for f in findings] == ([(want, width, required)] if want else [])


@pytest.mark.parametrize(("depth", "fails"), [(13, False), (13 + HAIR, True), (18, True)])
def test_a_counterbore_leaves_the_material_its_ledge(depth: float, fails: bool) -> None:
    part = button(fixing=nut(40, width=20))
    findings = found(board(at(200, 150, part, bore=(28, depth))), "thread-reach")
    assert [f.severity for f in findings] == (["stop"] if fails else [])
    if fails:
        assert findings[0].measured == near(18 - depth)
        assert findings[0].required == (5 if depth < 18 else 0)


@pytest.mark.parametrize(
    ("thickness", "want", "measured", "required"),
    [
        (5, None, 0, 0),
        (5 + HAIR, "stop", 5, 5 + HAIR),
        (1.5, None, 0, 0),
        (1.5 - HAIR, "caution", 1.5 - HAIR, 1.5),
    ],
)
def test_snap_grip(thickness: float, want: str | None, measured: float, required: float) -> None:
    part = button(fixing=SnapFixing(1.5, 5), depth=1)
    findings = found(board(at(200, 150, part), layers=(Layer(MDF, thickness),)), "snap-grip")
    got = [(f.severity, f.measured, f.required) for f in findings]
    assert got == ([(want, near(measured), near(required))] if want else [])


def test_clips_hold_the_layer_that_a_counterbore_leaves() -> None:
    part = button(24, body=23, flange=30, fixing=SnapFixing(1.5, 4.8))
    layers = (Layer(ACRYLIC, 3), Layer(MDF, 15))
    report = check(board(at(200, 150, part), layers=layers), CATALOGUE)
    finding = next(f for f in report.findings if f.rule == "snap-grip")
    # 18 − 4.8 = 13.2, so 13.5 deep, would leave 4.5 mm with MDF in it, below its floor of 5: the whole MDF goes.
    # 24 wide + 2 · 2 for the clips = 28
    assert report.fix_for(finding) == CounterboreAt(("a",), 28, 15)
    assert not found(board(at(200, 150, part, bore=(28, 15)), layers=layers), "snap-grip")
    narrow = found(board(at(200, 150, part, bore=(24, 15)), layers=layers), "snap-grip")
    assert [(f.severity, f.measured, f.required) for f in narrow] == [("caution", 24, 28)]


@pytest.mark.parametrize(
    ("free", "want"), [(22 + 15, None), (22 + 15 - HAIR, "caution"), (22, "caution"), (22 - HAIR, "stop")]
)
def test_depth_below_on_a_level_bottom(free: float, want: str | None) -> None:
    # 40 mm below the flange, 18 mm of it in the board; wires want 15 mm
    part = button(depth=40, wiring=True)
    findings = found(board(at(200, 150, part), depth=DepthPlane(free, 0, 0)), "depth-below")
    assert [f.severity for f in findings] == ([want] if want else [])
    if want:
        assert findings[0].measured == near(free - 22)
        assert findings[0].required == (0 if want == "stop" else 15)


def test_depth_below_counts_at_the_shallowest_place_under_the_body() -> None:
    plane = DepthPlane(10, 0, 0.2)  # 10 mm at the front, 70 mm at the back
    part = button(body=20, depth=40, wiring=True)
    y = (22 + 15 - 10) / 0.2 + 10  # the front of the body stands over exactly as much as it needs
    assert not found(board(at(200, y, part), depth=plane), "depth-below")
    low = found(board(at(200, y - 1, part), depth=plane), "depth-below")
    assert [(f.severity, f.measured) for f in low] == [("caution", near(15 - 0.2))]
    assert low[0].where == (200, near(y - 1 - 10))
    box = button(body=rectangle(30, 20), depth=40, wiring=True)
    assert not found(board(at(200, y, box), depth=plane), "depth-below")
    turned = found(board(at(200, y, box, angle=90), depth=plane), "depth-below")
    assert turned[0].measured == near(15 - 0.2 * 5)  # now 15 mm reach forward, not 10
    worst = found(board(at(200, y, part), depth=plane, allowance=HAND), "depth-below")
    assert worst[0].measured == near(15 - 0.2 * 1.0)


def test_what_is_mounted_below_hangs_its_whole_depth_and_without_wires_needs_no_room_for_them() -> None:
    part = button(depth=40, mount="under")
    assert not found(board(at(200, 150, part), depth=DepthPlane(40, 0, 0)), "depth-below")
    assert found(board(at(200, 150, part), depth=DepthPlane(40 - HAIR, 0, 0)), "depth-below")[0].severity == "stop"


def eighths(n: float) -> Bit:
    return Bit("forstner", n * 25.4 / 8, 55, inch=True)


@pytest.mark.parametrize(
    ("hole", "low", "high", "bit", "want", "off"),
    [
        # Inch bits for metric holes: 1 1/8 in for 28 is 0.575 over, 15/16 in for 24 is 0.1875 under: too tight.
        (28, 27.9, 29, eighths(9), "note", 9 * 25.4 / 8 - 28),
        (30, 29.9, 31, eighths(9.5), "note", 9.5 * 25.4 / 8 - 30),
        (24, 23.9, 25, eighths(7.5), "stop", 7.5 * 25.4 / 8 - 24),
        (24, 23.8, 25, eighths(7.5), "note", 7.5 * 25.4 / 8 - 24),
        (28, 27.9, 28.5, eighths(9), "stop", 9 * 25.4 / 8 - 28),
    ],
)
def test_bit_match(hole: float, low: float, high: float, bit: Bit, want: str, off: float) -> None:
    part = button(hole, smallest=low, largest=high)
    shop = board(bits=(bit,)).tooling
    findings = found(board(at(200, 150, part, shop=shop), bits=(bit,)), "bit-match")
    assert [f.severity for f in findings] == [want]
    assert findings[0].margin == near(off)


def test_a_bit_of_the_very_size_is_no_finding_and_no_bit_at_all_is() -> None:
    assert not found(board(at(200, 150)), "bit-match")
    none = board(bits=()).tooling
    findings = found(board(at(200, 150, shop=none), bits=()), "bit-match")
    assert [(f.severity, f.measured, f.required) for f in findings] == [("stop", None, 28)]


def test_the_bit_to_buy_is_one_that_is_sold_in_the_units_of_the_design() -> None:
    part = button(28, smallest=27.9, largest=29)
    ten = (FORSTNER[0],)
    shop = board(bits=ten).tooling
    placed = at(200, 150, part, shop=shop)
    for units, size in (("mm", 28), ("inch", 9 * 25.4 / 8)):
        checked = board(placed, bits=ten, units=units)
        report = check(checked, CATALOGUE)
        finding = next(f for f in report.findings if f.rule == "bit-match")
        assert report.fix_for(finding) == BuyBit("forstner", near(size), 55)


def test_a_counterbore_wants_a_flat_bottomed_bit_of_its_width() -> None:
    bits = (FORSTNER[3], Bit("hole-saw", 42, 55))
    checked = board(at(200, 150, bore=(42, 5)), bits=bits)
    report = check(checked, CATALOGUE)
    findings = [f for f in report.findings if f.rule == "bit-match"]
    assert [(f.severity, f.measured, f.required) for f in findings] == [("caution", 28, 42)]
    assert report.fix_for(findings[0]) == BuyBit("forstner", 42, 55)
    assert not found(board(at(200, 150, bore=(28, 5)), bits=bits), "bit-match")


def test_the_defaults_that_ship_are_those_of_the_fit_table() -> None:
    # Common practice, no source, but for the screws: a trade body's advice.
    shipped = real_catalogue().rules
    assert {name: shipped[name].value for name in RULES} == RULES
    assert all(shipped[name].source.text for name in RULES)


def test_a_counterbore_that_leaves_next_to_nothing_leaves_no_board_in_either_unit() -> None:
    """9.5 of 9.515625 mm: 0.015625 mm is 0.0006 in, which would be said as none."""
    thin = board(at(200, 150, button(28, fixing=nut(30)), bore=(35, 9.5)), layers=(Layer(MDF, 9.515625),))
    (ledge,) = (f for f in check(thin, CATALOGUE).findings if f.detail.cause == "ledge")
    assert all("leaves no board at all; MDF needs" in message(ledge, thin, unit) for unit in Unit)
