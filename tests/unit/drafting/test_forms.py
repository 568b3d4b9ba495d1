"""Outlines and shapes as primitives, against geometry worked out otherwise."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drafting.forms import crossings, outline_path, shape_item
from app.drafting.template.bare_centres import keep_bare
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.pieces import EllipsePiece
from app.geometry.shapes import rectangle, slot
from app.scene.bounds import bounds
from app.scene.curves import cubic_point
from app.scene.palette import HOLE, OUTLINE
from app.scene.primitives import Arc, ArcTo, Circle, CubicTo, Item, Line, LineTo, Path
from tests.unit.paper.ink import chain, distance


@given(st.floats(5, 90), st.floats(5, 90))
def test_a_set_back_corner_is_within_a_thousandth_of_its_conic(a: float, b: float) -> None:
    outline = Outline((Corner(0, 0), Corner(200, 0), Corner(200, 200, (a, b)), Corner(0, 200)))
    curves = [p for p in outline.pieces if isinstance(p, EllipsePiece)]
    here, off = (0.0, 0.0), 0.0
    for step in outline_path(outline, OUTLINE).steps:
        if isinstance(step, CubicTo):
            for k in range(1, 10):
                x, y = cubic_point(here, (step.control1, step.control2, step.end), k / 10)
                # The ellipse tangent to both edges: semi-axes b and a about (200 − b, 200 − a).
                u, v = (x - (200 - b)) / b, (y - (200 - a)) / a
                off = max(off, abs(math.hypot(u, v) - 1) * max(a, b))
        here = step.end
    assert bool(curves) == (abs(a - b) > 1e-9)
    assert off < 0.001


def test_a_rectangle_with_equal_easing_is_lines_and_true_arcs() -> None:
    path = outline_path(rectangle_outline(600, 220, 40), OUTLINE)
    arcs = [s for s in path.steps if isinstance(s, ArcTo)]
    assert path.closed
    assert [(round(s.centre[0]), round(s.centre[1]), s.sweep) for s in arcs] == [(560, 180, 90), (40, 180, 90)]
    assert sum(isinstance(s, LineTo) for s in path.steps) + 1 == 4  # closing draws the fourth


@given(st.floats(10, 80), st.floats(10, 80), st.floats(0, 4.9), st.floats(-180, 180))
def test_a_rounded_rectangle_has_its_size_and_perimeter(w: float, h: float, corner: float, angle: float) -> None:
    shape = rectangle(w, h, 7, -3, angle, corner)
    item = shape_item(shape, HOLE)
    box = bounds([item])
    assert isinstance(item, Path) and box is not None
    assert box == pytest.approx(shape.bounds, abs=1e-6)
    points = chain(item)
    length = sum(math.dist(p, q) for p, q in pairwise(points))
    assert length == pytest.approx(2 * (w + h) - 8 * corner + 2 * math.pi * corner, rel=1e-4)


def test_a_slot_is_two_lines_and_two_half_circles() -> None:
    item = shape_item(slot(40, 12, angle=90), HOLE)
    assert isinstance(item, Path)
    assert [round(s.sweep, 6) for s in item.steps if isinstance(s, ArcTo)] == [180, 180]
    assert bounds([item]) == pytest.approx((-6, -20, 6, 20))


def test_crossings_of_a_set_back_board() -> None:
    # At 10 mm below the back edge a quarter circle of 40 mm starts at 40 − √(40² − 30²) from the side.
    inset = 40 - math.sqrt(40**2 - 30**2)
    assert crossings(rectangle_outline(600, 220, 40), 210.0) == pytest.approx(
        [inset, 600 - inset], abs=0.05 / 0.66
    )  # chords 0.05 mm off, met at 41°


def test_each_line_and_circle_is_broken_at_every_centre_on_it_and_at_no_other() -> None:
    """Centres 10 mm apart: a line runs over six of them, another over none; a circle runs through two."""
    centres = [(10.0 * i, y) for y in (0.0, 30.0) for i in range(6)]
    level, clear_of_all = Line((-5.0, 0.0), (55.0, 0.0), HOLE), Line((-5.0, 15.0), (55.0, 15.0), HOLE)
    through = Circle((10.0, 0.0), 10.0, HOLE)
    kept = keep_bare([level, clear_of_all, through, Line((3.0, 3.0), (3.0, 3.0), HOLE)], centres, 0.5)
    lines = [item for item in kept if isinstance(item, Line)]
    starts, ends = [-5.0, *(10 * i + 0.5 for i in range(6))], [*(10 * i - 0.5 for i in range(6)), 55.0]
    assert [line.a[0] for line in lines[:-1]] == pytest.approx(starts)
    assert [line.b[0] for line in lines[:-1]] == pytest.approx(ends)
    assert lines[-1] == clear_of_all
    arcs = [item for item in kept if isinstance(item, Arc)]
    # A chord of 0.5 mm on a circle of 10 mm turns by 2·asin(0.5 / 20).
    gap = 2 * math.degrees(2 * math.asin(0.5 / 20))
    assert [arc.sweep for arc in arcs] == pytest.approx([180 - gap, 180 - gap])


@given(st.floats(-30, 30), st.floats(-30, 30), st.floats(0, 360), st.floats(0.35, 1.0))
def test_ink_is_kept_from_centres_and_nothing_else_is_lost(x: float, y: float, angle: float, clear: float) -> None:
    end = (40 * math.cos(math.radians(angle)), 40 * math.sin(math.radians(angle)))
    items: list[Item] = [Line((-end[0], -end[1]), end, HOLE), Circle((0, 0), 20.0, HOLE)]
    kept = keep_bare(items, [(x, y)], clear)
    assert all(distance(item, (x, y)) >= clear - HOLE.width / 2 - 0.01 for item in kept)
    lines = sum(math.dist(i.a, i.b) for i in kept if isinstance(i, Line))
    rounds = sum(360 if isinstance(i, Circle) else abs(i.sweep) for i in kept if isinstance(i, Circle | Arc))
    assert lines >= 80 - 2 * clear - 1e-6
    assert rounds >= 360 - 2 * math.degrees(math.asin(clear / 20)) - 1e-6
