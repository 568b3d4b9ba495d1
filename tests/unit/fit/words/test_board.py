"""What is said about the board itself, a part's own measures, its screws and its lever: from findings made by hand."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from app.fit.changes.advice import Advice, Way
from app.fit.finding import Finding, Severity
from app.fit.registry import rule_named
from app.fit.report.groups import grouped
from app.fit.report.report import check
from app.fit.words.messages import message
from app.geometry.outline import Corner, Outline
from app.model.fix import MoveBy
from app.model.resolved import ResolvedBoard
from app.units import Unit
from tests.boards.round_boards import ROUND
from tests.reading.following import promises
from tests.unit.fit.boards import CATALOGUE, at, board, stick

HOLE = Outline(tuple(Corner(x, y) for x, y in ((250, 100), (350, 100), (350, 200), (250, 200))))
ONE = board(at(100, 150), at(200, 150, stick(), name="b"), openings=(HOLE,))
TWO = board(at(100, 150), openings=(HOLE, HOLE))


def made(
    rule: str,
    severity: Severity,
    subjects: tuple[str, ...],
    measured: float,
    required: float,
    **values: Any,
) -> Finding:
    detail = rule_named(rule).detail(**values)
    return Finding(rule, severity, subjects, (100.0, 150.0), measured, required, "Made up for tests.", detail)


def opening(severity: Severity, measured: float, required: float, edge: str, **more: str) -> Finding:
    return made("opening-distance", severity, (), measured, required, index=1, edge=edge, **more)


def screws(subjects: tuple[str, ...], measured: float, what: str, other: str) -> Finding:
    return made("screw-distance", "stop", subjects, measured, 3.0, what=what, other=other, layer="MDF")


def sweep(severity: Severity, measured: float, what: str, other: str) -> Finding:
    return made("lever-sweep", severity, ("a", "b"), measured, 0.0, what=what, other=other)


def measures(cause: str, measured: float, required: float, severity: Severity = "stop") -> Finding:
    return made("part-measures", severity, ("a",), measured, required, cause=cause, hole=28.0)


CASES: list[tuple[Finding, ResolvedBoard, str, str]] = [
    (
        opening("stop", 4, 6, "left", layer="MDF"),
        ONE,
        "The opening comes within 4 mm of the left edge at worst; MDF needs 6 mm.",
        "Make the opening smaller, move it further from the left edge, or extend the board there.",
    ),
    (
        opening("stop", -2, 3, "opening", layer="MDF"),
        TWO,
        "Opening 2 runs 2 mm into another opening at worst.",
        "Make opening 2 smaller, move it further from another opening, or make the other one smaller.",
    ),
    (
        opening("caution", 0, 1, "rail", side="left"),
        ONE,
        "The opening can reach the rail at the left edge at worst; 1 mm is needed.",
        "Make the opening smaller, move it further from the rail at the left edge, or stop the rail short of it.",
    ),
    (
        opening("caution", 2, 3, "slot", side="front"),
        ONE,
        "The opening comes within 2 mm of the slot in the front edge at worst; 3 mm is needed.",
        "Make the opening smaller, move it further from the slot in the front edge, or make the slot less deep.",
    ),
    (
        opening("stop", -0.5, 0, "area", area="hinge"),
        ONE,
        "The opening runs 0.5 mm into “hinge” at worst.",
        "Make the opening smaller, move it further from “hinge”, or move what is there.",
    ),
    (
        made("under-overhang", "stop", ("a",), -3, 0, what="nut", edge="left", toward=(1.0, 0.0)),
        ONE,
        "Below the board, the nut of A reaches 3 mm past the left edge at worst.",
        "Move A further inward, or extend the board there.",
    ),
    (
        made("under-overhang", "caution", ("a",), -3, 0.5, what="body", edge="opening", toward=(1.0, 0.0)),
        ONE,
        "Below the board, the body of A reaches 3 mm under an inner opening at worst; 0.5 mm of board is needed.",
        "Move A further from the opening, or make the opening smaller or move it.",
    ),
    (
        screws(("a", "b"), 2, "hole", "screw"),
        ONE,
        "Only 2 mm of board is left between the hole of A and a screw of B at worst; MDF needs 3 mm.",
        "Move A and B further apart, or use shorter screws or smaller parts.",
    ),
    (
        screws(("a", "b"), -1.25, "screw", "screw"),
        ONE,
        "A screw of A and a screw of B run 1.25 mm into each other at worst.",
        "Move A and B further apart, or use shorter screws or smaller parts.",
    ),
    (
        screws(("a",), 0, "screw", "counterbore"),
        ONE,
        "No board is left between a screw of A and its own counterbore at worst; MDF needs 3 mm.",
        "Cut narrower or shallower below A, or use shorter screws.",
    ),
    (
        sweep("caution", -4, "lever", "lever"),
        ONE,
        "The levers of A and B, leant towards each other, meet: their knobs overlap by 4 mm at worst.",
        "Move A and B further apart, or use a part with a smaller knob or a shorter lever.",
    ),
    (
        sweep("stop", -40, "lever", "lever"),
        ONE,
        "The knobs of A and B meet even at rest: they overlap by 40 mm when leant.",
        "Move A and B further apart, or use a part with a smaller knob or a shorter lever.",
    ),
    (
        sweep("caution", -4, "flange", "lever"),
        ONE,
        "The lever of B, leant over, meets the flange of A: its knob reaches 4 mm over it at worst.",
        "Move A and B further apart, or use a part with a smaller knob or a shorter lever.",
    ),
    (
        measures("flange", 27, 28),
        ONE,
        "The flange of A does not cover the 28 mm hole: 1 mm of it stays open.",
        "Measure the part of A again and correct its sizes, or use another part.",
    ),
    (
        measures("body", -1, 0, "caution"),
        ONE,
        "The body of A does not go through the 28 mm hole: 1 mm too wide on each side.",
        "Check whether the body of A comes apart to go through, or correct the part's sizes.",
    ),
    (
        measures("nut", 27, 28),
        ONE,
        "The nut of A, 27 mm, is no wider than the 28 mm hole, and pulls through.",
        "Put a wide washer under it, or measure the part of A again and correct its sizes, or use another part.",
    ),
    (
        measures("drop", 27, 28),
        ONE,
        "A falls through the 28 mm hole from below: nothing rests on the board.",
        "Measure the part of A again and correct its sizes, or use another part.",
    ),
    (
        measures("screw", -2, 0),
        ONE,
        "A screw of A misses what it should hold by 2 mm.",
        "Measure the part of A again and correct its sizes, or use another part.",
    ),
]


@pytest.mark.parametrize(("finding", "checked", "said", "mend"), CASES)
def test_it_is_said_as_on_the_bench(finding: Finding, checked: ResolvedBoard, said: str, mend: str) -> None:
    assert message(finding, checked, Unit.MM) == said
    assert rule_named(finding.rule).remedy(finding, Advice(checked, CATALOGUE), Unit.MM) == mend
    assert promises(mend) == [], "nothing was tried, so nothing is promised"
    inches = message(finding, checked, Unit.INCH)
    assert " mm" not in inches and len(re.findall(" mm", said)) == inches.count('"')


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize(("finding", "checked", "_said", "_mend"), CASES)
def test_a_line_says_whom_it_ails_and_by_how_much(
    finding: Finding, checked: ResolvedBoard, _said: str, _mend: str, unit: Unit
) -> None:
    (group,) = grouped([finding], checked, unit)
    who, colon, what = group.title.partition(": ")
    assert who in ("The board", "A", "A and B") and colon and finding.rule.replace("-", " ") not in what
    assert {Unit.MM: '"', Unit.INCH: " mm"}[unit] not in group.title


def test_a_move_that_was_tried_is_said_with_its_figures() -> None:
    mm, inch = MoveBy("a", -3.01, 0.0), MoveBy("a", -25.4 / 8, 0.0)
    finding = sweep("caution", -3, "lever", "lever")
    advice = Advice(ONE, CATALOGUE, True, (Way(mm, inch),))
    last = "or use a part with a smaller knob or a shorter lever."
    assert rule_named("lever-sweep").remedy(finding, advice, Unit.MM) == f"Move A 3.01 mm to the left, {last}"
    assert rule_named("lever-sweep").remedy(finding, advice, Unit.INCH) == f'Move A 1/8" to the left, {last}'
    stuck = rule_named("lever-sweep").remedy(finding, Advice(ONE, CATALOGUE, True), Unit.MM)
    why = "Moving A or B alone does not clear it, or causes another problem."
    assert stuck == f"{why} Make room first, {last}"


# -- an edge is told from a side that is sloped or round

# A front corner cut off by 100 mm across and 200 mm along: what is nearest is left of it, but no left edge.
CLIPPED = Outline(tuple(Corner(x, y) for x, y in ((100, 0), (600, 0), (600, 300), (0, 300), (0, 200))))
BIT = 10.0  # of board at the sloped side, square to it, left beside a hole of 28 mm: less than 12, more than 6


def beside_the_slope(along: float, distance: float) -> tuple[float, float]:
    """A place ``distance`` mm square into the board from a point of the sloped side, at so much of its length."""
    normal = (2 / math.sqrt(5), 1 / math.sqrt(5))  # square to the way from (0, 200) to (100, 0)
    return 100 * along + normal[0] * distance, 200 * (1 - along) + normal[1] * distance


@pytest.mark.parametrize(
    ("outline", "place", "name"),
    [
        (CLIPPED, (14 + BIT, 250.0), "the left edge"),
        (CLIPPED, beside_the_slope(0.5, 14 + BIT), "the left side"),
        (CLIPPED, (300.0, 14 + BIT), "the front edge"),
        (Outline(ROUND["circle"]), (14 + BIT, 150.0), "the left side"),
        (Outline(ROUND["ellipse"]), (200.0, 260 - 14 - BIT), "the back side"),
        (Outline(ROUND["lying slot"]), (200.0, 14 + BIT), "the front edge"),
        (Outline(ROUND["lying slot"]), (14 + BIT, 100.0), "the left side"),
    ],
)
def test_a_side_that_is_sloped_or_round_is_not_called_an_edge(
    outline: Outline, place: tuple[float, float], name: str
) -> None:
    checked = board(at(*place), outline=outline)
    report = check(checked, CATALOGUE)
    (finding,) = (f for f in report.findings if f.rule == "edge-distance")
    assert f" mm of {name} at worst;" in message(finding, checked, Unit.MM)
    (group,) = (g for g in report.groups(Unit.MM) if g.rule == "edge-distance")
    assert f" mm too near {name}, " in group.title


def test_parts_at_an_edge_and_at_the_slope_beside_it_are_near_one_side() -> None:
    both = board(at(14 + BIT, 250), at(*beside_the_slope(0.5, 14 + BIT), name="b"), outline=CLIPPED)
    (group,) = (g for g in check(both, CATALOGUE).groups(Unit.MM) if g.rule == "edge-distance")
    assert group.title.startswith("A and B: 2 mm too near the left side")


def test_an_opening_near_a_slope_is_near_a_side() -> None:
    x, y = beside_the_slope(0.5, BIT)  # its front left corner; nothing of it is nearer
    small = Outline(tuple(Corner(x + dx, y + dy) for dx, dy in ((0, 0), (60, 0), (60, 60), (0, 60))))
    checked = board(outline=CLIPPED, openings=(small,))
    (finding,) = check(checked, CATALOGUE).findings
    assert message(finding, checked, Unit.MM).startswith("The opening comes within 10 mm of the left side ")
