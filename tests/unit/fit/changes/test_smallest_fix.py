"""A fix clears its finding and makes nothing worse, or is not offered; the fix for a note is none."""

from __future__ import annotations

import math

import pytest

from app.fit.changes.changed_board import with_fix
from app.fit.finding import Finding
from app.fit.report.report import check
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.shapes import rectangle
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.fix import CounterboreAt, Fix, MoveBy, SwapPart
from app.model.part import SnapFixing
from app.model.resolved import ResolvedBoard
from tests.unit.fit.boards import CATALOGUE, HAND, at, board, button, catalogue, hanging, near, nut, plate

OPENING = Outline(tuple(Corner(x, y) for x, y in ((250, 100), (350, 100), (350, 200), (250, 200))))
HANGING = hanging()
SHORT = button(20, fixing=nut(14, height=3, width=22))  # a counterbore for it is 22 + 2 · 3 = 28 wide


def fixed(checked: ResolvedBoard, rule: str) -> tuple[Finding, Fix | None]:
    """The first finding of a rule, its fix, and proof that the fix does what it says."""
    report = check(checked, CATALOGUE)
    finding = next(f for f in report.findings if f.rule == rule)
    fix = report.fix_for(finding)
    if fix is not None:
        after = check(with_fix(checked, fix, CATALOGUE), CATALOGUE)
        assert not [f for f in after.findings if f.rule == rule and set(f.subjects) <= set(finding.subjects)]
        assert len(after.stops) + len(after.cautions) < len(report.stops) + len(report.cautions)
    return finding, fix


CASES = {
    "outside-board": board(at(8, 150)),
    "edge-distance": board(at(20, 150)),
    "edge-distance at a set-back corner": board(at(570, 272), outline=rectangle_outline(600, 300, 60)),
    "edge-distance at an opening": board(at(230, 150), openings=(OPENING,)),
    "edge-slot": board(at(300, 27), edges=(EdgeFeature("front", slot_depth=12),)),
    "web": board(at(200, 150), at(231, 152, name="b")),
    "flange-overlap": board(at(200, 150, button(20, flange=32)), at(230, 160, button(20, flange=32), name="b")),
    "flange-overhang": board(at(300, 286, button(20, flange=32))),
    "under-clash": board(at(200, 150, HANGING), at(230, 170, HANGING, name="b")),
    "under-clash of plates": board(
        at(200, 150, button(fixing=plate("under", 90, 60))), at(250, 190, button(fixing=plate()), name="b", angle=30)
    ),
    "rail-clash": board(at(35, 150, HANGING), edges=(EdgeFeature("left", rail=19),)),
    "rail-clash with an area": board(
        at(345, 165, HANGING), keep_clear=(KeepClear("under", rectangle(80, 40, 300, 150), "hinge"),)
    ),
    "depth-below": board(at(200, 100, button(depth=40)), depth=DepthPlane(0, 0.02, 0.2)),
}


@pytest.mark.parametrize("case", CASES)
def test_a_move_clears_what_a_move_can_clear(case: str) -> None:
    finding, fix = fixed(CASES[case], case.split(maxsplit=1)[0])
    assert isinstance(fix, MoveBy), finding


def test_a_move_is_no_longer_than_it_has_to_be() -> None:
    _, fix = fixed(board(at(20, 150)), "edge-distance")
    assert fix == MoveBy("a", near(14 + 12 - 20, 1e-4), near(0))
    _, fix = fixed(board(at(200, 150), at(231, 150, name="b")), "web")
    assert isinstance(fix, MoveBy) and math.hypot(fix.dx, fix.dy) == near(28 + 5 - 31, 1e-4)
    _, fix = fixed(board(at(200, 150), at(231, 150, name="b"), allowance=HAND), "web")
    assert isinstance(fix, MoveBy) and math.hypot(fix.dx, fix.dy) == near(28 + 5 + 2 - 31, 1e-4)


def test_the_one_that_is_not_locked_is_moved() -> None:
    _, fix = fixed(board(at(200, 150, locked=True), at(231, 150, name="b")), "web")
    assert fix == MoveBy("b", near(2, 1e-4), near(0))
    _, fix = fixed(board(at(200, 150), at(231, 150, name="b", locked=True)), "web")
    assert fix == MoveBy("a", near(-2, 1e-4), near(0))
    _, fix = fixed(board(at(200, 150, locked=True), at(231, 150, name="b", locked=True)), "web")
    assert fix is None


def test_no_move_is_offered_that_only_shifts_the_trouble() -> None:
    # Five in a row, each web 0.5 mm short, and no room at either end or beside them.
    pitch, n = 28 + 5 - 0.5, 5
    width, depth = 2 * (14 + 12) + (n - 1) * pitch, 2 * (14 + 12)
    row = [at(26 + pitch * k, 26, button(flange=0), name=f"p{k}") for k in range(n)]
    report = check(board(*row, outline=rectangle_outline(width, depth)), CATALOGUE)
    webs = [f for f in report.findings if f.rule == "web"]
    assert len(webs) == n - 1 == len(report.findings)
    assert [report.fix_for(f) for f in webs] == [None] * (n - 1)


def test_a_move_that_would_run_into_a_neighbour_gives_way_to_another() -> None:
    neighbour = at(200 - 33, 150, name="d")  # straight out is shut on this side
    _, fix = fixed(board(at(200, 150), at(231, 150, name="b"), neighbour), "web")
    assert fix == MoveBy("b", near(2, 1e-4), near(0))


def test_a_counterbore_that_would_clash_is_not_offered() -> None:
    clear = board(at(200, 150, SHORT), at(250, 150, name="b"))
    assert fixed(clear, "thread-reach")[1] == CounterboreAt(("a",), 28, 8)
    # Webs of 5 mm are enough, but one 28 mm wide leaves 1 mm to the neighbour's hole.
    close = board(at(200, 150, SHORT), at(200 + 10 + 14 + 5, 150, name="b"))
    report = check(close, CATALOGUE)
    reach = next(f for f in report.findings if f.rule == "thread-reach")
    assert report.fix_for(reach) is None


def test_too_narrow_a_counterbore_is_widened_at_its_depth() -> None:
    _, fix = fixed(board(at(200, 150, SHORT, bore=(24, 9))), "thread-reach")
    assert fix == CounterboreAt(("a",), 28, 9)


def test_too_deep_a_counterbore_is_made_as_deep_as_it_must_be() -> None:
    _, fix = fixed(board(at(200, 150, SHORT, bore=(28, 14))), "thread-reach")
    assert fix == CounterboreAt(("a",), 28, 8)


def test_another_part_for_the_same_hole_is_offered_where_no_counterbore_will_do() -> None:
    short = button(20, fixing=nut(8, height=3, width=22), part_id="short")
    long = button(20, fixing=nut(30, height=3, width=22), part_id="long", name="Button, long thread")
    other_hole = button(30, fixing=nut(30, height=3, width=34), part_id="other")
    known = catalogue(parts=(short, other_hole, long))
    report = check(board(at(200, 150, short)), known)
    finding = next(f for f in report.findings if f.rule == "thread-reach")
    assert report.fix_for(finding) == SwapPart(("a",), "long")
    assert not check(with_fix(board(at(200, 150, short)), SwapPart(("a",), "long"), known), known).findings


def test_a_part_for_thinner_boards_is_offered_where_clips_hold_loosely() -> None:
    thick, thin = (button(fixing=SnapFixing(*grip), part_id=name) for grip, name in (((20, 30), "t"), ((1, 19), "s")))
    known = catalogue(parts=(thick, thin))
    report = check(board(at(200, 150, thick)), known)
    assert report.fix_for(report.findings[0]) == SwapPart(("a",), "s")


def test_notes_and_what_no_simple_change_clears_have_no_fix() -> None:
    part = button(27.5, smallest=27, largest=28.5)
    report = check(board(at(200, 150, part)), CATALOGUE)
    assert [(f.rule, f.severity) for f in report.findings] == [("bit-match", "note")]
    assert report.fix_for(report.findings[0]) is None
    own = check(board(at(200, 150, button(more=(rectangle(10, 10, 21, 0),)))), CATALOGUE)
    assert [f.rule for f in own.findings] == ["web"] and own.fix_for(own.findings[0]) is None
    level = check(board(at(200, 150, HANGING), depth=DepthPlane(10, 0, 0)), CATALOGUE)
    assert [f.rule for f in level.findings] == ["depth-below"] and level.fix_for(level.findings[0]) is None
