"""Rules of wiring, on both sides of each limit; a board without an encoder board hears of none of them."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue
from app.document.wiring_schema import FixedPinEntry, WiringPlanEntry
from app.fit.report.report import check
from app.fit.rules.inputs import InputsDetail
from app.geometry.shapes import rectangle
from app.model.board import DepthPlane, KeepClear
from app.model.fix import Rewire, SwapPart
from app.model.resolved import ResolvedBoard
from app.values import replace
from tests.unit.fit.boards import at, board, found
from tests.unit.fit.wired_boards import encoder, hemmed, row, wired, wired_board

WIRING = ("inputs", "light-current", "wire-way")


def of_wiring(checked: ResolvedBoard) -> list[tuple[str, tuple[str, ...]]]:
    return [(f.rule, f.subjects) for f in check(checked, catalogue()).findings if f.rule in WIRING]


def fixed(placement: str, pin: int, encoder_id: str = "x", tab: int = 1) -> FixedPinEntry:
    return FixedPinEntry(placement=placement, tab=tab, encoder=encoder_id, pin=pin)


@pytest.mark.parametrize("count", [0, 1, 9])
def test_a_board_for_which_nobody_chose_an_encoder_hears_of_no_wires(count: int) -> None:
    parts = row(count, wired(7, light=900))
    hems = hemmed(60, 60, 17)
    assert of_wiring(wired_board(*parts, keep_clear=hems)) == []
    assert of_wiring(board(*parts, keep_clear=hems)) == []
    off = replace(at(300, 220, encoder(1), name="x"), drill=False)
    assert of_wiring(wired_board(*parts, off, keep_clear=hems)) == [], "it is only a mark on the plan"


@pytest.mark.parametrize(("pins", "good"), [(5, True), (4, False)])
def test_as_many_pins_as_tabs_are_enough(pins: int, good: bool) -> None:
    checked = wired_board(*row(5), at(300, 220, encoder(pins), name="x"))
    assert of_wiring(checked) == ([] if good else [("inputs", ("x",))])


@pytest.mark.parametrize(("axes", "good"), [(2, True), (1, False)])
def test_turning_controls_take_pins_of_their_own(axes: int, good: bool) -> None:
    checked = wired_board(*row(2), *row(1, wired(4, signal="turning"), y=200), at(300, 220, encoder(9, axes), name="x"))
    checked = wired_board(
        *row(2), at(480, 100, wired(4, signal="turning"), name="t"), at(300, 220, encoder(9, axes), name="x")
    )
    assert of_wiring(checked) == ([] if good else [("inputs", ("x",))])


def test_two_boards_read_together_what_neither_reads_alone() -> None:
    two = at(150, 220, encoder(3), name="x"), at(450, 220, encoder(2), name="y")
    assert of_wiring(wired_board(*row(5), *two)) == []
    assert of_wiring(wired_board(*row(6), *two)) == [("inputs", ("x", "y"))]


def test_more_inputs_than_pins_are_cleared_by_a_larger_board_of_the_catalogue() -> None:
    small = at(300, 220, catalogue().parts["encoder-12-screw"], name="x")
    checked = wired_board(*(p for y in (40, 100) for p in row(7, y=y, pitch=75, part=wired())), small)
    named = tuple(replace(p, id=f"p{k}", label=f"P{k}") if p.id != "x" else p for k, p in enumerate(checked.placements))
    report = check(checked.populated(named), catalogue())
    (finding,) = (f for f in report.findings if f.rule == "inputs")
    assert isinstance(finding.detail, InputsDetail)
    assert (finding.detail.tabs, finding.detail.pins) == (14, 12)
    fix = report.fix_for(finding)
    assert isinstance(fix, SwapPart) and fix.placements == ("x",)
    swapped = catalogue().parts[fix.part].encoder
    assert swapped is not None and swapped.inputs >= 14


@pytest.mark.parametrize(
    ("pin", "where", "cause"), [(12, "x", ""), (13, "x", "pin-1"), (3, "gone", "encoder-1"), (3, "a", "encoder-1")]
)
def test_a_chosen_pin_is_there(pin: int, where: str, cause: str) -> None:
    entry = WiringPlanEntry(pins=(fixed("b", pin, where),))
    checked = wired_board(*row(5), at(300, 220, encoder(12), name="x"), entry=entry)
    causes = [f.detail.cause for f in found(checked, "inputs", catalogue())]
    assert causes == ([cause] if cause else [])


def test_a_pin_chosen_twice_goes_to_the_first_and_the_fix_lets_the_other_go() -> None:
    entry = WiringPlanEntry(pins=(fixed("b", 7), fixed("c", 7)))
    checked = wired_board(*row(5), at(300, 220, encoder(12), name="x"), entry=entry)
    report = check(checked, catalogue())
    (finding,) = (f for f in report.findings if f.rule == "inputs")
    assert finding.subjects == ("c",)
    assert report.fix_for(finding) == Rewire(("c",))


def test_a_choice_for_a_part_that_is_gone_or_left_out_is_forgotten() -> None:
    entry = WiringPlanEntry(pins=(fixed("gone", 1), fixed("b", 99)), apart=("b",))
    assert of_wiring(wired_board(*row(3), at(300, 220, encoder(2), name="x"), entry=entry)) == []


@pytest.mark.parametrize(("light", "good"), [(115.0, True), (115.1, False)])
def test_lights_and_the_board_draw_what_a_port_gives_and_no_more(light: float, good: bool) -> None:
    """USB 2.0, 7.2.1: 500 mA; the board draws 40 of them and four lights the rest."""
    checked = wired_board(*row(4, wired(light=light)), at(300, 220, encoder(), name="x"))
    assert of_wiring(checked) == ([] if good else [("light-current", ("x",))])


def test_too_much_for_usb_2_is_fed_by_usb_3_and_what_is_too_much_for_that_by_a_supply() -> None:
    for light, supply in ((200.0, "usb-3"), (400.0, "five-volts-2a"), (600.0, None)):
        report = check(wired_board(*row(4, wired(light=light)), at(300, 220, encoder(), name="x")), catalogue())
        (finding,) = (f for f in report.findings if f.rule == "light-current")
        assert report.fix_for(finding) == (Rewire(supply=supply) if supply else None)


def test_each_encoder_board_is_fed_by_a_port_of_its_own() -> None:
    """520 mA on two boards of 40 mA: neither draws more than 500."""
    boards = at(120, 220, encoder(2), name="x"), at(300, 220, encoder(2), name="y")
    assert of_wiring(wired_board(*row(4, wired(light=130)), *boards)) == []


@pytest.mark.parametrize(("room", "good"), [(20.0, False), (17.0, False)])
def test_a_part_that_is_hemmed_in_has_no_way(room: float, good: bool) -> None:
    checked = wired_board(*row(3), at(300, 220, encoder(), name="x"), keep_clear=hemmed(60, 60, room))
    assert of_wiring(checked) == ([] if good else [("wire-way", ("a",))])


@pytest.mark.parametrize(("gap", "good"), [(4.1, True), (3.9, False)])
def test_a_gap_twice_as_wide_as_a_wire_keeps_clear_is_a_way(gap: float, good: bool) -> None:
    """2 mm to either side of a wire."""
    low, *rest = hemmed(60, 60, 25)
    side = (60.0 - gap) / 2
    split = tuple(
        KeepClear("under", rectangle(side, 5, 60 + sign * (gap + side) / 2, low.shape.centre[1]), "batten")
        for sign in (-1, 1)
    )
    checked = wired_board(*row(3), at(300, 220, encoder(), name="x"), keep_clear=(*split, *rest))
    assert of_wiring(checked) == ([] if good else [("wire-way", ("a",))])


def test_a_body_cut_off_by_the_edge_of_the_board_has_no_way_but_one_that_is_not_wired_needs_none() -> None:
    hems = hemmed(60, 60, 20)
    entry = WiringPlanEntry(apart=("a",))
    assert of_wiring(wired_board(*row(3), at(300, 220, encoder(), name="x"), keep_clear=hems, entry=entry)) == []


def test_an_encoder_board_is_a_body_as_others_are() -> None:
    """Against bodies, rails' areas, the edge and the depth below: judged by the rules that judge every body."""

    def rules(x: float, y: float, **more: object) -> set[str]:
        checked = wired_board(*row(5), at(x, y, encoder(), name="x"), **more)  # type: ignore[arg-type]
        return {f.rule for f in check(checked, catalogue()).findings if "x" in f.subjects}

    assert rules(300, 220) == set()
    assert rules(100, 70) == {"under-clash"}
    assert rules(10, 220) == {"under-overhang"}
    assert rules(300, 220, keep_clear=(KeepClear("under", rectangle(20, 20, 300, 220), "hinge"),)) >= {"rail-clash"}
    assert rules(300, 220, depth=DepthPlane(12, 0, 0)) == {"depth-below"}
