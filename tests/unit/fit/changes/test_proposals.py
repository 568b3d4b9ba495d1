"""What a remedy may say: changes that were tried with their figures rounded, and why one is not advised."""

from __future__ import annotations

import pytest

from app.fit.changes.manual_changes import (
    Change,
    CutWider,
    DeepenBox,
    LeaveOut,
    PackOut,
    ScrewsOf,
    ThickenBoard,
    amended,
)
from app.fit.changes.trial import Trial
from app.fit.finding import Finding
from app.fit.limits.cut_depths import inward, outward
from app.fit.report.report import MOST_TRIED, Report, check
from app.fit.words.figures import figures
from app.fit.words.lengths import off, typed
from app.fit.words.messages import message, remedy
from app.geometry.shapes import rectangle
from app.model.board import DepthPlane
from app.model.fix import CounterboreAt, MoveBy
from app.model.material import Layer
from app.model.part import ScrewFixing, SnapFixing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.units import INCH, Unit
from app.values import replace
from tests.reading.following import promises
from tests.unit.fit.boards import CATALOGUE, FORSTNER, HAND, MDF, at, board, button, nut, stick
from tests.unit.fit.changes.test_smallest_fix import OPENING

WITH_16 = (*FORSTNER, Bit("forstner", 16, 55))


def first(report: Report, rule: str) -> Finding:
    return next(f for f in report.findings if f.rule == rule)


def said(checked: ResolvedBoard, rule: str, unit: Unit = Unit.MM) -> str:
    report = check(checked, CATALOGUE)
    return remedy(first(report, rule), report, unit)


def test_a_wider_counterbore_that_would_come_too_near_the_next_is_not_advised() -> None:
    """24 mm wide at a pitch of 34 mm leaves 10 mm; the nut wants 24 + 6 = 30 mm, which leaves 4 of the 5 mm asked."""
    part = button(16, flange=20, body=15, fixing=nut(14, height=3, width=24))
    pair = board(
        at(200, 150, part, bore=(24, 8)),
        at(234, 150, part, bore=(24, 8), name="b"),
        bits=(*FORSTNER, Bit("forstner", 16, 55)),
    )
    text = said(pair, "thread-reach")
    assert text == (
        "If you make the counterbores of A and B 30 mm wide, the parts are too near each other. "
        "Make room for it first, or use a part with a narrower nut."
    )
    assert promises(text) == []
    apart = board(
        at(200, 150, part, bore=(24, 8)),
        at(235, 150, part, bore=(24, 8), name="b"),
        bits=(*FORSTNER, Bit("forstner", 16, 55)),
    )
    assert said(apart, "thread-reach") == "Make the counterbores of A and B 30 mm wide."


def test_figures_are_rounded_so_that_they_are_enough() -> None:
    short = board(at(25.6, 150))  # 12 − (25.6 − 14) = 0.4 mm short: more than 1/64 in, 0.397 mm
    assert said(short, "edge-distance").startswith("Move A 0.5 mm to the right")
    assert said(short, "edge-distance", Unit.INCH).startswith('Move A 1/32" to the right')


def test_what_is_short_by_less_than_can_be_said_is_not_short() -> None:
    """Edge distance wanted: 12 mm; a hole of 28 mm has 14 mm to its rim."""
    slight = [check(board(at(26 - lack, 150)), CATALOGUE).findings for lack in (0.0, 0.0049, 0.0051, 0.01)]
    assert [len(found) for found in slight] == [0, 0, 1, 1]
    for finding in (slight[2][0], slight[3][0]):
        told = figures(finding, Unit.MM)
        assert told is not None and (told.there, told.limit) == ("11.99 mm", "needs 12 mm")


def test_a_limit_that_is_a_most_says_so() -> None:
    """Clips for up to 5 mm on a board of 18 mm; a lever of 90 mm that stands 72 mm high and may stand 65."""
    clips = first(check(board(at(200, 150, button(fixing=SnapFixing(1, 5)))), CATALOGUE), "snap-grip")
    lever = first(check(board(at(200, 150, stick(90))), CATALOGUE), "lever-height")
    told = [figures(one, Unit.MM) for one in (clips, lever)]
    assert [(one.there, one.limit) for one in told if one] == [("18 mm", "at most 5 mm"), ("72 mm", "at most 65 mm")]


def test_a_counterbore_is_found_in_inches_where_it_is_in_millimetres() -> None:
    """18 mm of board, clips for up to 5 mm and a ledge of 5 mm: 13 mm deep and no other depth, 0.5118 in."""
    for most in (5.0, 5.05, 5.2, 5.5):
        found = [
            check(replace(board(at(200, 150, button(fixing=SnapFixing(1, most)))), units=unit), CATALOGUE)
            for unit in ("mm", "inch")
        ]
        assert found[0].findings == found[1].findings and (bore := found[0].findings[0].detail.bore)
        assert bore.depth is not None and bore.depth <= 13
        kinds = [[type(way.said(unit)) for way in found[0].advice_for(f).ways] for f, unit in one_each(found)]
        assert kinds[0] == kinds[1] != []


def one_each(reports: list[Report]) -> list[tuple[Finding, Unit]]:
    """The first finding of each report, with the unit it is shown in."""
    return [(report.findings[0], Unit(report.board.units)) for report in reports]


def test_a_tight_place_is_said_in_thousandths_of_an_inch() -> None:
    """Between two neighbours with 0.1 mm to spare: 1/64 in, 0.397 mm, would be too far."""
    alone = button(28, flange=20)
    # Gaps of 4.9 and 5.2 mm; 0.1 mm to the right mends the first and leaves 5.1 of the second.
    row = [at(x, 150, alone, name=n, locked=n != "b") for n, x in zip("abc", (100, 132.9, 166.1), strict=True)]
    assert said(board(*row), "web").startswith("Move B 0.1 mm to the right")
    assert said(board(*row), "web", Unit.INCH).startswith('Move B 0.004" to the right')  # 0.1016 mm


def test_where_both_are_locked_that_is_said() -> None:
    pair = board(at(200, 150, locked=True), at(231, 150, name="b", locked=True))
    assert said(pair, "web") == "A and B are locked. Unlock one of them to move it, or use smaller parts."


def test_the_opening_gives_way_and_not_the_board() -> None:
    for x, rule in ((225, "edge-distance"), (245, "outside-board")):
        text = said(board(at(x, 150), openings=(OPENING,)), rule)
        assert "make the opening smaller or move it" in text and "board larger" not in text
    inside = check(board(at(245, 150), openings=(OPENING,)), CATALOGUE)
    assert message(first(inside, "outside-board"), inside.board, Unit.MM) == (
        "The hole of A reaches 9 mm into an inner opening."  # 245 + 14 − 250
    )


def test_no_bit_is_advised_that_reaches_deeper_than_any_of_its_kind() -> None:
    """The flat-bottomed bits of the sets reach 55 mm; through more than twice that no bit of them drills."""
    deep = (Layer(MDF, 80.0),)
    bored = said(board(at(200, 150, bore=(28, 60)), layers=deep), "bit-depth")
    assert bored.startswith("No Forstner bit reaches that deep, and only those leave a flat bottom.")
    thick = said(board(at(200, 150), layers=(Layer(MDF, 60.0), Layer(MDF, 60.0))), "bit-depth")
    assert thick == "No bit of that size reaches that deep, even from both sides. Use a thinner board for A."


def test_another_kind_of_bit_is_named() -> None:
    step = board(bits=(Bit("step", 28, 5),)).tooling
    checked = board(at(200, 150, shop=step), bits=step.bits)
    assert said(checked, "bit-depth") == "Buy a 28 mm Forstner bit that reaches 18 mm for A."


def test_a_bit_that_is_a_shade_too_wide_is_not_0_mm_too_wide() -> None:
    part = button(29.5, smallest=29, largest=29.9965)
    checked = board(at(200, 150, part, shop=board(bits=FORSTNER[:5]).tooling), bits=FORSTNER[:5])
    text = message(first(check(checked, CATALOGUE), "bit-match"), checked, Unit.MM)
    assert text.endswith("the nearest, the 30 mm Forstner bit, is a shade too wide.")
    assert off(0.005, Unit.MM) == off(0.005, Unit.INCH) == "a shade" and off(-0.03, Unit.MM) == "0.03 mm"


def test_nothing_is_tried_for_what_comes_late_in_a_long_report() -> None:
    row = [at(60 + 45 * (k % 10), 60 + 42 * (k // 10), button(28, flange=43), name=f"p{k}") for k in range(20)]
    report = check(board(*row, allowance=HAND), CATALOGUE)
    grave = [f for f in report.findings if f.severity != "note"]
    assert len(grave) > MOST_TRIED
    assert [report.advice_for(f).tried for f in grave] == [k < MOST_TRIED for k in range(len(grave))]


def test_a_board_of_many_is_judged_by_the_neighbours_as_by_the_whole() -> None:
    """Every move of one part, in eight directions, on a board large enough to pick neighbours out."""
    row = [at(60 + 32.5 * (k % 9), 60 + 36 * (k // 9), button(28, flange=30), name=f"p{k}") for k in range(45)]
    checked = board(*row)
    report = check(checked, CATALOGUE)
    finding = first(report, "web")
    trial = Trial(checked, CATALOGUE, report.findings)
    ways = [(dx, dy) for dx in (-9.0, 0.0, 9.0) for dy in (-9.0, 0.0, 9.0)]
    for subject in ("p0", "p22"):
        for dx, dy in ways:
            move = MoveBy(subject, dx, dy)
            whole = check(amended(checked, move, CATALOGUE), CATALOGUE).findings
            near_by = trial.outcome(finding, move)
            judged = trial._judged(finding, whole)
            assert {(f.rule, f.subjects) for f in near_by.fresh} == {(f.rule, f.subjects) for f in judged.fresh}
            assert bool(near_by.left) == bool(judged.left)


SNAP = button(fixing=SnapFixing(20, 25))
DRIVEN = ScrewFixing(((-40.0, -25.0), (40.0, 25.0)), 4, "under", rectangle(90, 60), 2, 19.0)
FREE = button(fixing=nut(40, width=30))
AMENDED: dict[str, tuple[ResolvedBoard, Change]] = {
    "depth-below": (board(at(200, 150, button(depth=60)), depth=DepthPlane(30, 0, 0)), DeepenBox(("a",), 12.0)),
    "snap-grip": (board(at(200, 150, SNAP)), PackOut(("a",), 2.0)),
    "screw-hold": (board(at(200, 150, stick(screws=DRIVEN))), ScrewsOf(("a",), 17.0)),
    "thread-reach": (
        board(at(200, 150, button(fixing=nut(40, width=30)), bore=(32, 4))),
        LeaveOut(("a",), "counterbore"),
    ),
}


@pytest.mark.parametrize("rule", AMENDED)
def test_what_a_builder_does_clears_what_it_is_for_and_no_less_of_it_does(rule: str) -> None:
    checked, change = AMENDED[rule]
    report = check(checked, CATALOGUE)
    trial = Trial(checked, CATALOGUE, report.findings)
    assert trial.clears(first(report, rule), change)
    less: dict[str, Change] = {
        "depth-below": DeepenBox(("a",), 11.9),
        "snap-grip": PackOut(("a",), 1.9),
        "screw-hold": ScrewsOf(("a",), 17.1),
        "thread-reach": CounterboreAt(("a",), 32, 3.0),
    }
    assert not trial.clears(first(report, rule), less[rule])


def test_a_thicker_board_is_thicker_in_every_layer_and_an_opening_wider_on_both_sides() -> None:
    two = board(layers=(Layer(MDF, 6.0), Layer(MDF, 12.0)))
    assert [layer.thickness for layer in amended(two, ThickenBoard(27.0), CATALOGUE).layers] == [9.0, 18.0]
    cut = board(at(200, 150, button(more=(rectangle(10, 20, 40, 0),))))
    (placed,) = amended(cut, CutWider(("a",), 1.0), CATALOGUE).placements
    assert placed.holes[1].shape.bounds == near_box(240, 150, 11, 21)
    assert placed.holes[0].diameter == 28


def near_box(x: float, y: float, width: float, height: float) -> object:
    return pytest.approx((x - width / 2, y - height / 2, x + width / 2, y + height / 2))


def test_steps_are_rounded_away_from_zero_or_toward_it_and_said_in_full() -> None:
    assert (outward(-1.231, 0.01), outward(1.23, 0.01), outward(0.0, 0.01)) == (-1.24, 1.23, 0.0)
    assert (inward(1.239, 0.01), inward(1.23, 0.01), inward(-1.0, 0.01)) == (1.23, 1.23, 0.0)
    assert (typed(INCH * 5 / 64, Unit.INCH), typed(INCH * 0.079, Unit.INCH)) == ('5/64"', '0.079"')
