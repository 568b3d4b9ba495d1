"""The same boards built as solids by a library for solids (manifold3d): what stays, what is between, what is removed.

Circles are polygons of 512 sides there: their area is 0.0025 % small, and their sides lie about 0.001 mm inside the
circles, well within the agreement asked for, 0.02 mm and 0.01 %.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from manifold3d import CrossSection, Manifold, OpType

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import scenario_list
from app.fit.finding import Finding
from app.fit.limits.cut_depths import ledge_below
from app.geometry.shapes import Shape, rectangle, slot
from app.model.bit_selection import drilled_depth
from app.model.material import Layer
from app.model.part import Part
from app.model.resolved import Placed, Recess, ResolvedBoard
from tests.long_run import examples, rows_in_gate
from tests.unit.fit.boards import ACRYLIC, MDF, at, board, button, found, hanging, nut, stick

SIDES = 512
NEAR = 0.02  # mm
SHARE = 1e-4
REACH = 30.0  # mm: gaps are looked for that far
# Each covers the hole it hangs below, and is nearer to another's body than the hole is: it is what is found.
BODIES = (
    hanging(30, hole=8, flange=0),
    hanging(rectangle(40, 26, 3, 2, corner=4), hole=8, flange=0),
    hanging(slot(52, 20, 0, 4, 30), hole=8, flange=0),
    hanging(Shape(((-20, -10), (22, -12), (5, 20)), 1.5), hole=8, flange=0),
)
POCKETS = (Recess(96, 66, 3, 4), Recess(50, 50, 25, 6), Recess(60, 30, 8, 5))


def flat(shape: Shape) -> CrossSection:
    """A shape as a polygon: the hull of circles about the points of its core."""
    if shape.radius == 0:
        return CrossSection([[list(p) for p in shape.core]])
    return CrossSection.batch_hull([CrossSection.circle(shape.radius, SIDES).translate(p) for p in shape.core])


def block(shape: Shape, low: float, high: float) -> Manifold:
    """A prism of the shape between two heights; the board's top face is at 0."""
    return flat(shape).extrude(high - low).translate((0.0, 0.0, low))


def tools(on: ResolvedBoard, placed: Placed) -> list[Manifold]:
    """Everything cut for a part, sticking out of the face it is cut from."""
    t, out = on.thickness, 1.0
    made = [block(hole.shape, -t - out, out) for hole in placed.holes]
    if placed.bore and placed.counterbore:
        made.append(block(placed.bore, -t - out, -t + placed.counterbore.depth))
    if placed.pocket and placed.recess:
        made.append(block(placed.pocket, -t - out, -t + placed.recess.depth))
    return made


def blank_of(on: ResolvedBoard) -> Manifold:
    """The board before anything is cut."""
    rim = CrossSection([[list(p) for p in on.outline.flattened()]])
    return rim.extrude(on.thickness).translate((0.0, 0.0, -on.thickness))


def cut_out(on: ResolvedBoard) -> Manifold:
    """The board after everything is cut."""
    return Manifold.batch_boolean([blank_of(on), *(tool for p in on.drilled for tool in tools(on, p))], OpType.Subtract)


def area(shape: Shape) -> float:
    """Exact area of a core grown by a radius [mm²]: core, a strip along its rim, and a circle."""
    core, r = shape.core, shape.radius
    sides = list(zip(core, core[1:] + core[:1], strict=True)) if len(core) > 1 else []
    inner = abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in sides)) / 2
    return inner + r * sum(math.dist(a, b) for a, b in sides) + math.pi * r * r


def removed(on: ResolvedBoard) -> float:
    """What is cut away by formula [mm³]: each hole by the depth it is drilled, below it what is cut from below."""
    total = 0.0
    for p in on.drilled:
        for hole in p.holes:
            total += area(hole.shape) * drilled_depth(hole.cutout, on.thickness, p.counterbore, p.recess)
        below = [(p.counterbore.depth, p.bore)] if p.counterbore else []
        below += [(p.recess.depth, p.pocket)] if p.recess else []
        reached = 0.0
        for depth, shape in sorted(below, key=lambda cut: cut[0]):  # the wider is the shallower, the other in it
            assert shape is not None
            total += max(area(s) for d, s in below if d >= depth and s) * (depth - reached)
            reached = depth
    return total


def gap(ones: Iterable[Manifold], others: Iterable[Manifold]) -> float:
    """Smallest gap between two groups of solids [mm], at most ``REACH``."""
    one, other = (Manifold.batch_boolean(list(solids), OpType.Add) for solids in (ones, others))
    return float(one.min_gap(other, REACH))


PLAIN = {"lantern-hill-solo", "pine-shelf-compact", "orchard-row-cabinet"}  # whose cuts the others have as well
SCENARIOS = [(s.id, b.id, a.id) for s in scenario_list() for b in s.design.boards for a in b.arrangements]
MADE = {
    "counterbores": board(
        at(100, 150, bore=(40, 8)),
        at(200, 150, button(24, flange=30, body=23), name="b", bore=(35, 12.5)),
        at(320, 150, stick(64), name="c", recess=POCKETS[0]),
        at(470, 150, stick(64), name="d", angle=30, recess=Recess(96, 66, 0, 7)),
    ),
    "a counterbore in a recess, in layers": board(
        at(200, 150, button(20, fixing=nut(14, height=3, width=22)), bore=(35, 9), recess=Recess(60, 50, 6, 4)),
        layers=(Layer(ACRYLIC, 3), Layer(MDF, 15)),
    ),
}


@pytest.mark.parametrize("name", MADE)
def test_as_much_is_removed_as_the_formulas_say(name: str) -> None:
    on = MADE[name]
    assert blank_of(on).volume() - cut_out(on).volume() == pytest.approx(removed(on), rel=SHARE)


@pytest.mark.parametrize(
    ("scenario", "which", "arrangement"),
    rows_in_gate((one for one in SCENARIOS if one[0] != "leaky-raft"), lambda one: one[0] not in PLAIN),
)
def test_as_much_is_removed_from_each_scenario(scenario: str, which: str, arrangement: str) -> None:
    design = next(s.design for s in scenario_list() if s.id == scenario)
    on = resolve(design, which, arrangement, catalogue())
    assert blank_of(on).volume() - cut_out(on).volume() == pytest.approx(removed(on), rel=SHARE)


@pytest.mark.parametrize("name", MADE)
def test_the_ledge_is_as_thick_as_the_slices_show(name: str) -> None:
    on = MADE[name]
    made = cut_out(on)
    for placed in on.drilled:
        cut = placed.cut_depth
        deepest = placed.bore if placed.counterbore and placed.counterbore.depth == cut else placed.pocket
        assert deepest is not None
        ring = flat(deepest) - flat(placed.holes[0].shape)
        low, high = -on.thickness - 0.1, 0.0  # empty at the one, whole at the other
        while high - low > 1e-4:
            z = (low + high) / 2
            whole = (made.slice(z) ^ ring).area() > ring.area() / 2
            low, high = (low, z) if whole else (z, high)
        assert ledge_below(on.layers, cut).thickness == pytest.approx(-high, abs=NEAR)


angles = st.sampled_from([0.0, 30.0, 90.0, 200.0])


@examples(25)
@given(st.sampled_from(BODIES), st.sampled_from(BODIES), st.floats(-60, 60), st.floats(-60, 60), angles, angles)
def test_bodies_are_as_far_apart_as_the_rule_says(
    one: Part, other: Part, dx: float, dy: float, turn: float, turned: float
) -> None:
    a, b = at(300, 150, one, angle=turn), at(300 + dx, 150 + dy, other, name="b", angle=turned)
    findings = [f for f in found(board(a, b), "under-clash") if (f.detail.what, f.detail.other) == ("body", "body")]
    between = gap([block(a.body, -40, -18)], [block(b.body, -40, -18)])
    agree(findings, between, 2.0)


@examples(25)
@given(st.floats(20, 60), st.floats(20, 60), st.floats(-75, 75), st.floats(-75, 75))
def test_counterbores_are_as_far_apart_as_the_rule_says(wide: float, other: float, dx: float, dy: float) -> None:
    small = button(8, flange=0, body=7)
    a, b = at(300, 150, small, bore=(wide, 8)), at(300 + dx, 150 + dy, small, name="b", bore=(other, 5))
    on = board(a, b)
    findings = [f for f in found(on, "under-clash") if f.detail.what == f.detail.other == "counterbore"]
    assume(not [f for f in found(on, "under-clash") if f not in findings])
    assert a.bore and b.bore
    agree(findings, gap([block(a.bore, -18, -10)], [block(b.bore, -18, -13)]), 5.0)


@examples(25)
@given(st.sampled_from(POCKETS), st.floats(-90, 90), st.floats(-90, 90), angles)
def test_recesses_are_as_far_from_holes_as_the_rule_says(pocket: Recess, dx: float, dy: float, turn: float) -> None:
    small = button(8, flange=0, body=7)
    a, b = at(300, 150, small, angle=turn, recess=pocket), at(300 + dx, 150 + dy, small, name="b")
    on = board(a, b)
    findings = [f for f in found(on, "under-clash") if {f.detail.what, f.detail.other} == {"recess", "hole"}]
    assert a.pocket
    agree(findings, gap([block(a.pocket, -18, -14)], [block(b.holes[0].shape, -18, 0)]), 5.0)


def agree(findings: list[Finding], between: float, required: float) -> None:
    """A finding measures the gap between the solids; none is found where there is gap enough."""
    if findings:
        assert findings[0].measured is not None
        assert max(findings[0].measured, 0.0) == pytest.approx(between, abs=NEAR)
    else:
        assert between >= required - NEAR


def test_a_polygon_of_so_many_sides_is_near_enough_to_a_circle() -> None:
    # A regular polygon of n sides in a circle has sin(2π/n) / (2π/n) of its area, and its sides lie r·(1 − cos(π/n))
    # inside; for 512 sides and a radius of 60 mm that is 0.0025 % and 0.0011 mm.
    turn = 2 * math.pi / SIDES
    assert flat(Shape(((0.0, 0.0),), 60)).area() == pytest.approx(math.pi * 60**2 * math.sin(turn) / turn, rel=1e-9)
    assert 1 - math.sin(turn) / turn < SHARE / 3 and 60 * (1 - math.cos(turn / 2)) < NEAR / 10
