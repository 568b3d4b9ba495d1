"""Accepted cautions: asleep while they hold, awake when they worsen, stale when there is nothing left to accept."""

from __future__ import annotations

import pytest

from app.fit.detail import Detail
from app.fit.finding import Finding
from app.fit.registry import rule_named
from app.fit.report.acceptance import accepted_as, cause_of, is_worse
from app.fit.report.report import Report, check
from app.geometry.shapes import rectangle
from app.model.accepted import Accepted
from app.model.board import EdgeFeature, KeepClear
from app.model.material import Layer, Strength
from app.model.resolved import ResolvedBoard
from app.values import replace
from tests.unit.fit.boards import CATALOGUE, MDF, SOURCE, at, board, button, nut

SHORT = button(fixing=nut(24.5))  # 0.5 mm of thread shows where 1 mm should


def accepting(checked: ResolvedBoard, rule: str) -> tuple[ResolvedBoard, Finding]:
    finding = next(f for f in check(checked, CATALOGUE).findings if f.rule == rule)
    return replace(checked, accepted=(accepted_as(finding, "Tried on scrap."),)), finding


def factor_of(finding: Finding) -> float:
    factor = rule_named(finding.rule).factor
    assert factor is not None
    return factor(finding)


def report(checked: ResolvedBoard) -> Report:
    return check(checked, CATALOGUE)


def test_an_accepted_caution_is_kept_but_no_longer_counted() -> None:
    checked, finding = accepting(board(at(24, 150)), "edge-distance")
    seen = report(checked)
    assert seen.findings == (finding,) and seen.open == () and seen.cautions == () and seen.worst is None
    assert [(s.finding, s.accepted.reason, s.awake) for s in seen.accepted] == [(finding, "Tried on scrap.", False)]
    assert seen.woken == () and seen.stale == ()
    standing = seen.standing(seen.findings[0])
    assert standing is not None and standing.accepted.measured == finding.measured


@pytest.mark.parametrize(("x", "awake"), [(24.5, False), (24.0, False), (23.999, True), (18.0, True)])
def test_it_wakes_when_the_figure_gets_worse(x: float, awake: bool) -> None:
    checked, _ = accepting(board(at(24, 150)), "edge-distance")
    seen = report(replace(checked, placements=(at(x, 150),)))
    assert (len(seen.woken), len(seen.accepted)) == (int(awake), int(not awake))
    assert bool(seen.cautions or seen.stops) is awake and seen.stale == ()


def test_a_stop_is_never_asleep() -> None:
    accepted = Accepted("edge-distance", ("a",), 0.0, "It will hold.")
    seen = report(board(at(18, 150), accepted=(accepted,)))
    assert [f.severity for f in seen.stops] == ["stop"] and len(seen.woken) == 1


def test_one_that_no_longer_applies_is_stale() -> None:
    checked, _ = accepting(board(at(24, 150)), "edge-distance")
    mended = report(replace(checked, placements=(at(200, 150),)))
    assert mended.stale == checked.accepted and mended.accepted == () and mended.findings == ()
    off = report(replace(checked, placements=(at(24, 150, drill=False),)))
    assert off.stale == checked.accepted


def test_what_was_accepted_for_some_parts_does_not_hide_it_for_another() -> None:
    a, b, c = (at(x, 150, SHORT, name=n) for x, n in ((100, "a"), (200, "b"), (300, "c")))
    checked, finding = accepting(board(a, b), "thread-reach")
    assert finding.subjects == ("a", "b")
    assert len(report(replace(checked, placements=(a, b, c))).cautions) == 1
    fewer = report(replace(checked, placements=(a,)))
    assert fewer.cautions == () and len(fewer.accepted) == 1 and fewer.stale == ()


def test_a_pair_accepted_says_nothing_about_one_of_them_alone() -> None:
    own = button(more=(rectangle(10, 10, 21, 0),))
    accepted = Accepted("web", ("a", "b"), 0.0, "They hold.")
    seen = report(board(at(200, 150, own), accepted=(accepted,)))
    assert [f.rule for f in seen.cautions] == ["web"] and seen.stale == (accepted,)


def test_two_findings_of_one_rule_about_one_part_are_told_apart() -> None:
    hanging = button(body=40, depth=40)
    clear = KeepClear("under", rectangle(20, 20, 70, 150), "hinge")
    checked = board(at(39.5, 150, hanging), edges=(EdgeFeature("left", rail=19),), keep_clear=(clear,))
    both = [f for f in report(checked).findings if f.rule == "rail-clash"]
    assert sorted(map(cause_of, both)) == ["area 0", "left"]
    left = next(f for f in both if cause_of(f) == "left")
    seen = report(replace(checked, accepted=(accepted_as(left, "The rail is cut away."),)))
    assert [cause_of(f) for f in seen.cautions if f.rule == "rail-clash"] == ["area 0"]


@pytest.mark.parametrize(
    ("measured", "required", "accepted", "worse"),
    [
        (10, 12, 10, False),
        (9.9, 12, 10, True),
        (11, 12, 10, False),
        (70, 65, 71, False),  # an upper limit: higher is worse
        (72, 65, 71, True),
        (None, 12, None, False),
        (10, 12, None, True),
    ],
)
def test_worse_is_further_from_what_is_needed(
    measured: float | None, required: float, accepted: float | None, worse: bool
) -> None:
    finding = Finding("any", "caution", ("a",), (0, 0), measured, required, "", Detail())
    assert is_worse(finding, Accepted("any", ("a",), accepted, "why")) is worse


@pytest.mark.parametrize(
    ("required", "measured", "worse"),
    [
        (12, 10, False),
        (13, 10, True),  # as much there is, but more is needed
        (11, 10, False),
        (13, 11, False),  # more is needed, and as much more there is
        (13, 10.5, True),
    ],
)
def test_it_wakes_when_more_is_needed_though_the_figure_stays(required: float, measured: float, worse: bool) -> None:
    """Worse is a larger shortfall, required less measured, than the one accepted; and never a smaller figure."""
    finding = Finding("any", "caution", ("a",), (0, 0), measured, required, "", Detail())
    assert is_worse(finding, Accepted("any", ("a",), 10, "why", required=12)) is worse


def test_notes_are_not_accepted() -> None:
    part = button(27.5, smallest=27, largest=28.5)
    accepted = Accepted("bit-match", ("a",), 28.0, "Fine.", "hole")
    seen = report(board(at(200, 150, part), accepted=(accepted,)))
    assert len(seen.notes) == 1 and seen.stale == (accepted,)


WEAK = replace(MDF, strengths=(Strength(100, 10, 3, 2500, 0.3, SOURCE),))  # so that a slap and a hand tell


def test_a_ledge_accepted_wakes_when_it_bears_less_though_it_is_as_thick() -> None:
    """A wider counterbore of the same depth leaves as thick a ledge, which bends more."""

    def bored(width: float) -> ResolvedBoard:
        return board(at(200, 150, button(), bore=(width, 12.5)), layers=(Layer(WEAK, 18),))

    checked, finding = accepting(bored(90), "ledge")
    factor = factor_of(finding)
    assert finding.severity == "caution" and checked.accepted[0].measured == factor and 1 <= factor < 3
    assert [s.finding.rule for s in report(checked).accepted] == ["ledge"]
    wider = report(replace(bored(95), accepted=checked.accepted))
    (ledge,) = [f for f in wider.findings if f.rule == "ledge"]
    assert ledge.measured == finding.measured and factor_of(ledge) < factor
    assert [s.finding.rule for s in wider.woken] == ["ledge"]
    narrower = report(replace(bored(88), accepted=checked.accepted))
    assert [s.finding.rule for s in narrower.accepted] == ["ledge"]


def test_a_deck_accepted_wakes_when_more_holes_weaken_it() -> None:
    few = board(*(at(60 + 70 * k, 150, name=f"p{k}") for k in range(3)), layers=(Layer(WEAK, 9),))
    checked, finding = accepting(few, "deck-strength")
    assert [s.finding.rule for s in report(checked).accepted] == ["deck-strength"]
    more = (*few.placements, at(270, 150, name="more"), at(340, 150, name="another"))
    seen = report(replace(checked, placements=more))
    (now,) = [f for f in seen.findings if f.rule == "deck-strength"]
    assert now.measured == finding.measured == 9 and factor_of(now) < factor_of(finding)
    assert [s.finding.rule for s in seen.woken] == ["deck-strength"]
