"""One change for all parts that one cause ails: as many judgements for three hundred of them as for three."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

import app.fit.changes.joint
import app.fit.changes.moved_board
import app.fit.report.findings
from app.fit.changes.changed_board import with_fix
from app.fit.changes.joint import Joint
from app.fit.finding import Finding
from app.fit.report.groups import FindingGroup
from app.fit.report.report import Report, check
from app.fit.words.messages import fix_label
from app.geometry.outline import rectangle_outline
from app.model.fix import CounterboreAt, MoveBy, SeveralFixes
from app.model.resolved import Placed, ResolvedBoard
from app.units import Unit
from tests.unit.fit.boards import CATALOGUE, at, board, button, nut

SHORT = button(20, fixing=nut(14, height=3, width=22))  # a counterbore for it is 22 + 2 · 3 = 28 wide, 18 − 10 = 8 deep


def reported(*placements: Placed, width: float = 600) -> Report:
    return check(board(*placements, outline=rectangle_outline(width, 300)), CATALOGUE)


def group_of(report: Report, rule: str) -> FindingGroup:
    return next(g for g in report.groups(Unit.MM, tried=False) if g.rule == rule)


def after(report: Report, joint: Joint) -> tuple[Finding, ...]:
    return check(with_fix(report.board, joint.fix, CATALOGUE), CATALOGUE).findings


def at_the_front(count: int, **more: Any) -> list[Placed]:
    """Holes of 28 mm, 4 mm from the front edge, where MDF needs 6 and would have 12: a stop of each."""
    return [at(40 + 60 * k, 18, name=f"p{k}", **more) for k in range(count)]


@pytest.mark.parametrize("count", [2, 30])
def test_all_that_are_too_near_an_edge_move_in_as_one_step(count: int) -> None:
    report = reported(*at_the_front(count), width=80 + 60 * count)
    joint = report.fix_for_all(group_of(report, "edge-distance"))
    assert joint == Joint(SeveralFixes(tuple(MoveBy(f"p{k}", 0, 14 + 12 - 18) for k in range(count))))
    assert not after(report, joint)
    words = fix_label(joint.fix, report.board, Unit.MM)
    assert words.endswith(" 8 mm to the back") and words.count("Move") == 1


def test_what_is_locked_stays_and_is_said() -> None:
    report = reported(*at_the_front(3), at(240, 18, name="fixed", locked=True))
    joint = report.fix_for_all(group_of(report, "edge-distance"))
    assert joint is not None and joint.stays == ("fixed",)
    assert [f.subjects for f in after(report, joint)] == [("fixed",)]


def test_parts_over_the_edge_come_in_so_far_that_nothing_else_is_wrong_with_them() -> None:
    """From over the edge to near it would only be another stop."""
    report = reported(*(at(100 + 60 * k, 5, name=f"p{k}") for k in range(4)))
    joint = report.fix_for_all(group_of(report, "outside-board"))
    assert joint is not None and not joint.stays
    assert not after(report, joint)


def test_a_counterbore_is_made_for_all_but_the_one_it_would_harm() -> None:
    """Beside c is a hole of 28 mm: 30 − 14 − 14 = 2 mm of board would stay between it and a counterbore of 28."""
    row = [at(60 + 90 * k, 150, SHORT, name="abcdef"[k]) for k in range(6)]
    report = reported(*row, at(60 + 90 * 2, 150 + 30, name="beside"))
    joint = report.fix_for_all(group_of(report, "thread-reach"))
    assert joint == Joint(CounterboreAt(("a", "b", "d", "e", "f"), 28, 8), ("c",))
    assert [(f.rule, f.subjects) for f in after(report, joint)] == [("thread-reach", ("c",))]


def test_a_row_too_close_is_spread_from_its_middle_and_stays_even() -> None:
    """Holes of 28 mm at 29 mm leave 1 mm between them; MDF would have 5, so they go 33 mm apart."""
    report = reported(*(at(200 + 29 * k, 150, name=f"p{k}") for k in range(4)))
    joint = report.fix_for_all(group_of(report, "web"))
    moves = [MoveBy("p0", -6, 0), MoveBy("p1", -2, 0), MoveBy("p2", 2, 0), MoveBy("p3", 6, 0)]
    assert joint == Joint(SeveralFixes(tuple(moves)))
    assert not [f for f in after(report, joint) if f.rule == "web"]
    assert "up to 6 mm each" in fix_label(joint.fix, report.board, Unit.MM)


def test_a_cluster_with_a_locked_part_is_cleared_round_it() -> None:
    report = reported(*(at(200 + 29 * k, 150, name=f"p{k}", locked=k == 1) for k in range(3)))
    joint = report.fix_for_all(group_of(report, "web"))
    assert joint is not None and not joint.stays
    assert joint.fix == SeveralFixes((MoveBy("p0", -4, 0), MoveBy("p2", 4, 0)))


def test_where_most_would_stay_too_close_nothing_is_offered() -> None:
    """Three holes of 28 mm, 5 mm apart and 12 from the edges, take 118 mm; here are 98."""
    row = [at(20 + 29 * (k % 3), 20 + 29 * (k // 3), name=f"p{k}") for k in range(9)]
    narrow = board(*row, outline=rectangle_outline(98, 98))
    report = check(narrow, CATALOGUE)
    assert report.fix_for_all(group_of(report, "web")) is None


@pytest.mark.parametrize("rule", ["edge-distance", "web", "thread-reach"])
def test_three_hundred_parts_take_no_more_judgements_than_three(rule: str, monkeypatch: pytest.MonkeyPatch) -> None:
    judged: list[int] = []

    def counting(board: ResolvedBoard, catalogue: Any) -> Sequence[Finding]:
        judged.append(len(board.placements))
        return app.fit.report.findings.findings_of(board, catalogue)

    for module in (app.fit.changes.joint, app.fit.changes.moved_board):
        monkeypatch.setattr(module, "findings_of", counting)
    taken = []
    for count in (3, 300):
        made = {
            "edge-distance": at_the_front(count),
            "web": [at(60 * (k // 3) * 3 + 60 + 29 * (k % 3), 150, name=f"p{k}") for k in range(count)],
            "thread-reach": [at(60 + 60 * k, 150, SHORT, name=f"p{k}", locked=True) for k in range(count)],
        }[rule]
        judged.clear()
        report = reported(*made, width=80 + 60 * count)
        joint = report.fix_for_all(group_of(report, rule))
        assert joint is not None and not joint.stays
        taken.append(len(judged))
    assert taken[1] <= taken[0] <= 24
