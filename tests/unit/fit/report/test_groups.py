"""A calm report: findings with one cause in one line, the most severe first, one fix for all where there is one."""

from __future__ import annotations

import re

from app.fit.changes.changed_board import with_fix
from app.fit.changes.joint import Joint
from app.fit.report.groups import FindingGroup
from app.fit.report.report import check
from app.model.fix import CounterboreAt, SeveralFixes
from app.model.resolved import ResolvedBoard
from app.units import Unit
from tests.folding import each
from tests.unit.fit.boards import CATALOGUE, at, board, button, nut, stick
from tests.unit.fit.words.test_messages import CASES, ROUTED

SHORT = button(20, fixing=nut(14, height=3, width=22))  # a counterbore for it is 22 + 2 · 3 = 28 wide
OTHER = button(24, part_id="other", fixing=nut(12, height=3, width=29))  # 29 + 2 · 3 = 35 wide


def groups(checked: ResolvedBoard, unit: Unit = Unit.MM) -> tuple[FindingGroup, ...]:
    return check(checked, CATALOGUE).groups(unit)


def test_six_buttons_with_one_cause_are_one_line() -> None:
    checked = board(*(at(60 + 80 * k, 150, SHORT, name=f"p{k}") for k in range(6)))
    (group,) = groups(checked)
    assert group.title == "6 buttons: thread 7 mm short, counterbore all"  # 14 − 3 − 18
    assert (group.severity, len(group.findings), len(group.subjects), group.folded) == ("stop", 1, 6, False)


def test_parts_with_the_same_cause_and_other_figures_share_a_line_and_a_step() -> None:
    checked = board(at(100, 150, SHORT), at(200, 150, OTHER, name="b"), at(300, 150, OTHER, name="c"))
    report = check(checked, CATALOGUE)
    (group,) = report.groups(Unit.MM)
    assert group.title == "3 buttons: thread up to 9 mm short, counterbore all"
    fix = SeveralFixes((CounterboreAt(("a",), 28, 8), CounterboreAt(("b", "c"), 35, 10)))
    assert report.fix_for_all(group) == Joint(fix)
    assert not check(with_fix(checked, fix, CATALOGUE), CATALOGUE).findings


def test_a_group_of_one_finding_has_that_finding_s_fix() -> None:
    checked = board(at(100, 150, SHORT), at(200, 150, SHORT, name="b"))
    report = check(checked, CATALOGUE)
    (group,) = report.groups(Unit.MM)
    assert report.fix_for_all(group) == Joint(CounterboreAt(("a", "b"), 28, 8))


def test_where_one_of_them_cannot_be_mended_the_fix_is_for_the_others_and_says_so() -> None:
    hopeless = button(24, part_id="hopeless", fixing=nut(8, height=3, width=29))
    report = check(board(at(100, 150, SHORT), at(200, 150, hopeless, name="b")), CATALOGUE)
    assert report.fix_for_all(report.groups(Unit.MM)[0]) == Joint(CounterboreAt(("a",), 28, 8), ("b",))


def test_stops_come_before_cautions_before_notes_and_notes_are_folded() -> None:
    loose = button(27.5, smallest=27, largest=28.5)
    checked = board(at(300, 150, loose), at(24, 150, name="b"), at(200, 150, SHORT, name="c"))
    found = groups(checked)
    assert [g.severity for g in found] == ["stop", "caution", "note"]
    assert [g.folded for g in found] == [False, False, True]
    assert [len(g.findings) for g in found] == [1, 1, 1]


def test_every_open_finding_is_in_one_group_and_names_are_unique() -> None:
    for *_, checked, _numbers in CASES:
        report = check(checked, CATALOGUE)
        found = report.groups(Unit.MM)
        assert sorted(map(id, report.findings)) == sorted(id(f) for g in found for f in g.findings)
        assert len({g.name for g in found}) == len(found)


@each("unit", list(Unit))
@each("rule, severity, checked", [case[:3] for case in CASES])
def test_every_title_says_who_and_what_in_one_line(
    rule: str, severity: str, checked: ResolvedBoard, unit: Unit
) -> None:
    group = next(g for g in groups(checked, unit) if (g.rule, g.severity) == (rule, severity))
    sentences = rule == "outside-board"
    who, between, what = group.title.partition(" hangs " if sentences else ": ")
    assert who and between and what and len(group.title) < 110 and group.title.endswith(".") == sentences
    if rule != "bit-match":  # whose holes keep the name of their hardware in either unit
        assert {Unit.MM: '"', Unit.INCH: " mm"}[unit] not in group.title


def test_levers_too_low_are_told_with_their_recess() -> None:
    (group,) = groups(board(at(150, 150, stick(64)), at(350, 150, stick(64), name="b"), bits=ROUTED))
    assert group.title == "A and B: lever 4 mm too low, recess all"


def test_what_hangs_over_the_edge_is_said_in_sentences() -> None:
    def outside(*xs: float) -> list[str]:
        checked = board(*(at(x, 60 + 80 * k, name=f"p{k}") for k, x in enumerate(xs)))
        return [g.title for g in groups(checked) if g.rule == "outside-board"]

    (one,) = outside(0)
    assert re.fullmatch(r"P0 hangs [\d.]+ mm over the edge\. Move it in\.", one)
    (three,) = outside(0, 2, 4)
    assert re.fullmatch(r"3 buttons hang up to [\d.]+ mm over the edge\. Move them in\.", three)
