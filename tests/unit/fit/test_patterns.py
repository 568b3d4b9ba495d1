"""Patterns judged: each hole drifts by itself, and one finding stands for all of them.

The limits are those of the fit table for MDF (common practice, no source); the distances are plain geometry.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from app.catalogue.load import catalogue
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import pattern_parts
from app.fit.features.features import HOLE
from app.fit.features.layout import layout_of
from app.fit.report.report import check
from app.fit.words.messages import message
from app.geometry.outline import rectangle_outline
from app.model.part import Part
from app.model.resolved import Placed, ResolvedBoard
from app.units import Unit
from app.values import replace
from tests.unit.fit.boards import HAND, at, board, button, found, near

HAIR = 0.01


def pattern(pitch: float, hole: float = 10.0, width: float = 120.0, **more: Any) -> Part:
    boundary = BoundaryEntry(shape="circle", width=width)
    entry = PatternEntry(id="s", hole=hole, pitch=pitch, boundary=boundary, **more)
    return pattern_parts((entry,))["s"]


def on(*placements: Placed, **more: Any) -> ResolvedBoard:
    """A board of MDF, 600 × 300 mm, drilled by hand: each hole up to 1 mm off."""
    return board(*placements, allowance=HAND, **more)


def webs(checked: ResolvedBoard) -> list[Any]:
    return [(f.severity, f.subjects, round(f.measured or 0.0, 6)) for f in found(checked, "web")]


@pytest.mark.parametrize(("left", "want"), [(5.0, None), (5.0 - HAIR, "caution"), (3.0, "caution"), (3 - HAIR, "stop")])
def test_holes_of_a_pattern_drift_toward_each_other(left: float, want: str | None) -> None:
    """Pitch less hole less twice the allowance; of 100 holes and more one finding is left."""
    part = pattern(10 + left + 2 * 1.0, width=180)
    assert len(part.cutouts) > 85
    found_ = webs(on(at(300, 150, part, name="s1")))
    assert found_ == ([] if want is None else [(want, ("s1",), pytest.approx(left))])


def test_what_is_said_of_a_web_is_about_the_pattern() -> None:
    checked = on(at(300, 150, pattern(14), name="s1"))
    (finding,) = found(checked, "web")
    said = message(finding, checked, Unit.MM)
    assert said == "Only 2 mm of board is left between holes of S1 at worst; MDF needs 3 mm."


@pytest.mark.parametrize("gap", [5.0, 5.0 - HAIR, 2.9])
def test_a_pattern_and_a_button_are_judged_by_their_nearest_holes(gap: float) -> None:
    """A hole of 28 mm to the right of the outermost hole of the row through the middle."""
    part = pattern(20, order="square", width=101)
    far = max(x for x, y in part.pattern.holes.centres.tolist() if y == 0) if part.pattern else math.nan
    beside = at(200 + far + 5 + gap + 2 + 14, 150, button(flange=0), name="a")
    found_ = [f for f in webs(on(at(200, 150, part, name="s1"), beside)) if len(f[1]) == 2]
    want = [] if gap >= 5 else [("caution" if gap >= 3 else "stop", ("a", "s1"), pytest.approx(gap))]
    assert found_ == want


def test_the_edge_is_judged_for_the_outermost_hole() -> None:
    part = pattern(20, order="square", width=101)
    reach = 45.0  # holes at 0, 20 and 40 mm, 5 mm of radius
    for left, want in ((12.0, []), (12 - HAIR, ["caution"]), (6 - HAIR, ["stop"])):
        # each hole may be 1 mm off, and the edge 0.5 mm
        checked = on(at(reach + left + HAND.position + HAND.edge, 150, part, name="s1"))
        assert [f.severity for f in found(checked, "edge-distance")] == want


def test_turned_patterns_are_judged_where_they_are() -> None:
    """Rows staggered at 60° that are turned by 60° lie on themselves."""
    straight, turned = (on(at(300, 150, pattern(14), name="s1", angle=angle)) for angle in (0.0, 60.0))
    assert webs(straight) == webs(turned)


def test_large_patterns_meet_as_every_two_holes_do() -> None:
    """Pairs near each other are looked for by place; here every hole of one is measured against every other's."""
    part = pattern(6, hole=3, width=200, order="square")
    wide = rectangle_outline(900, 400)
    two = replace(on(at(200, 200, part, name="s1"), at(200 + 200, 200, part, name="s2", angle=30)), outline=wide)
    layout = layout_of(two, catalogue())
    holes = layout.features.take(layout.features.of(HOLE))
    a, b = (holes.shapes.centres[holes.owner == k] for k in (0, 1))
    assert len(a) * len(b) > 500_000
    apart = np.hypot(*(a[:, None] - b[None]).transpose(2, 0, 1)).min() - 3.0 - 2 * 1.0
    assert apart < 5.0
    (between,) = [f for f in found(two, "web") if len(f.subjects) == 2]
    assert between.measured == near(apart)


@pytest.mark.parametrize("count", [2, 4])
def test_a_thousand_holes_give_one_finding_of_a_rule(count: int) -> None:
    part = pattern(5, hole=4, width=200)
    places: Sequence[Placed] = [at(150 + 230 * k, 150, part, name=f"s{k}") for k in range(count)]
    checked = replace(on(*places), outline=rectangle_outline(150 + 230 * count, 300))
    assert sum(len(p.holes) for p in places) > 1000 * count
    rules = [f.rule for f in check(checked, catalogue()).findings if f.rule == "web"]
    assert rules == ["web"] * count


def test_a_pattern_has_no_body_and_no_fixing_to_judge() -> None:
    report = check(on(at(300, 150, pattern(20), name="s1")), catalogue())
    assert [f.rule for f in report.findings if f.severity != "note" and f.rule != "deck-strength"] == []
