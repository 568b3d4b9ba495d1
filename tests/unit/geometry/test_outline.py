"""Outlines: set-back by two offsets, order, refusals. Expected values are formulas of plane geometry."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.errors import GeometryError
from app.geometry.outline import Corner, Outline, edge_of, rectangle_outline
from app.geometry.pieces import ArcPiece, EllipsePiece, LinePiece

SQUARE = (Corner(0, 0), Corner(100, 0), Corner(100, 60), Corner(0, 60))


def _area(points: list[tuple[float, float]]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True)) / 2


def test_equal_offsets_at_a_right_angle_give_a_quarter_circle() -> None:
    outline = rectangle_outline(600, 220, 40)
    arcs = [p for p in outline.pieces if isinstance(p, ArcPiece)]
    assert [v for a in arcs for v in (a.radius, a.sweep)] == pytest.approx([40, 90, 40, 90])
    assert [a.centre for a in arcs] == [pytest.approx((560, 180)), pytest.approx((40, 180))]


@given(turn=st.floats(20, 160), offset=st.floats(1, 40))
def test_equal_offsets_touch_both_edges_as_a_tangent_circle(turn: float, offset: float) -> None:
    """For offsets d at a corner turning by t the radius is d / tan(t/2), and radii stand square on both edges."""
    t = math.radians(turn)
    after = (50 + 50 * math.cos(t), 50 * math.sin(t))
    outline = Outline((Corner(0, 0), Corner(50, 0, (offset, offset)), Corner(*after), Corner(0, 200)))
    arc = next(p for p in outline.pieces if isinstance(p, ArcPiece))
    assert arc.radius == pytest.approx(offset / math.tan(t / 2))
    for point, along in ((arc.a, (1.0, 0.0)), (arc.b, (math.cos(t), math.sin(t)))):
        spoke = (point[0] - arc.centre[0], point[1] - arc.centre[1])
        assert math.hypot(*spoke) == pytest.approx(arc.radius)
        assert spoke[0] * along[0] + spoke[1] * along[1] == pytest.approx(0, abs=1e-6)


def test_unequal_offsets_at_a_right_angle_give_a_quarter_ellipse() -> None:
    """Offsets a and b at a square corner: every point satisfies (x/a)² + (y/b)² = 1 about the inner centre."""
    outline = Outline((Corner(0, 0), Corner(100, 0), Corner(100, 60, (20, 30)), Corner(0, 60)))
    curve = next(p for p in outline.pieces if isinstance(p, EllipsePiece))
    for k in range(21):
        x, y = curve.at(k / 20)
        assert ((x - 70) / 30) ** 2 + ((y - 40) / 20) ** 2 == pytest.approx(1)


@pytest.mark.parametrize("sag", [0.1, 0.01, 0.0005])
def test_flattened_curves_stay_within_the_sag(sag: float) -> None:
    """The area lost to chords of an inscribed polygon is below the length of the curve times the sag."""
    outline = Outline((Corner(0, 0), Corner(300, 0), Corner(300, 200, (80, 150)), Corner(0, 200, (60, 60))))
    exact = 300 * 200 - 80 * 150 * (1 - math.pi / 4) - 60 * 60 * (1 - math.pi / 4)
    lost = exact - _area(outline.flattened(sag))
    length = 2 * math.pi * (150 + 60) / 4
    assert 0 <= lost < length * sag


def test_flattened_points_lie_on_the_ellipse_and_chords_within_the_sag() -> None:
    outline = Outline((Corner(0, 0), Corner(300, 0), Corner(300, 200, (80, 150)), Corner(0, 200)))
    curve = next(p for p in outline.pieces if isinstance(p, EllipsePiece))
    points = outline.flattened(0.0005)
    on_curve = [p for p in points if p[0] >= 150 and p[1] >= 120 and (p[0] < 300 or p[1] < 200)]
    dense = [curve.at(k / 20000) for k in range(20001)]
    for a, b in zip(on_curve[::40], on_curve[1::40], strict=False):
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert min(math.dist(middle, p) for p in dense) < 0.0005 + 0.01  # the dense points are 0.01 mm apart


def test_a_clockwise_list_is_turned_round_and_keeps_its_easing() -> None:
    there = Outline((Corner(0, 0), Corner(100, 0), Corner(100, 60, (20, 30)), Corner(0, 60)))
    back = Outline((Corner(0, 60), Corner(100, 60, (30, 20)), Corner(100, 0), Corner(0, 0)))
    assert _area(back.flattened()) == pytest.approx(_area(there.flattened()))
    assert _area(back.flattened()) > 0


def test_pieces_join_end_to_end() -> None:
    pieces = rectangle_outline(600, 220, 40).pieces
    for before, after in zip(pieces, pieces[1:] + pieces[:1], strict=True):
        assert before.b == pytest.approx(after.a)


def test_easing_that_uses_a_whole_edge_leaves_no_straight_piece() -> None:
    outline = Outline(tuple(Corner(c.x, c.y, (30, 30)) for c in SQUARE))
    assert sum(isinstance(p, LinePiece) for p in outline.pieces) == 2
    assert outline.bounds == pytest.approx((0, 0, 100, 60))


@pytest.mark.parametrize(
    ("step", "edge"),
    [(((0, 0), (9, 0)), "front"), (((9, 0), (9, 5)), "right"), (((9, 5), (0, 5)), "back"), (((0, 5), (0, 0)), "left")],
)
def test_edges_are_named_as_the_player_sees_them(step: tuple[tuple[float, float], ...], edge: str) -> None:
    assert edge_of(*step) == edge


@pytest.mark.parametrize(
    ("corners", "says"),
    [
        (SQUARE[:2], "at least 3 corners"),
        ((Corner(0, 0), Corner(50, 0), Corner(100, 0)), "no area"),
        ((Corner(0, 0), Corner(float("nan"), 0), Corner(1, 1)), "finite"),
        ((Corner(0, 0), Corner(100, 60), Corner(100, 0), Corner(0, 90)), "crosses"),
        # A pentagram turns the same way at every corner, but twice round.
        (
            tuple(Corner(50 * math.cos(0.8 * math.pi * k), 50 * math.sin(0.8 * math.pi * k)) for k in range(5)),
            "crosses",
        ),
        ((*SQUARE[:3], Corner(100, 60), SQUARE[3]), "same place"),
        ((SQUARE[0], Corner(100, 0, (10, 40)), Corner(100, 60, (30, 10)), SQUARE[3]), "Reduce them"),
        ((SQUARE[0], Corner(100, 0, (-1, 4)), *SQUARE[2:]), "0 mm or more"),
    ],
)
def test_an_outline_that_cannot_exist_is_refused(corners: tuple[Corner, ...], says: str) -> None:
    with pytest.raises(GeometryError, match=says):
        Outline(corners)


def test_an_opening_must_lie_inside() -> None:
    board = Outline(SQUARE)
    hole = Outline((Corner(10, 10), Corner(20, 10), Corner(20, 20), Corner(10, 20)))
    assert board.encloses(hole)
    assert not board.encloses(hole.mapped(move=(85, 0)))
    assert not board.encloses(hole.mapped(move=(-10, 0)))


@given(turn=st.sampled_from([0.0, 90.0, 180.0, 270.0, 33.0]), dx=st.floats(-500, 500), dy=st.floats(-500, 500))
def test_moving_turning_and_mirroring_keep_the_area(turn: float, dx: float, dy: float) -> None:
    outline = rectangle_outline(300, 100, 25)
    moved = outline.mapped(move=(dx, dy), turn=turn, mirror_x=150)
    assert _area(moved.flattened(0.01)) == pytest.approx(_area(outline.flattened(0.01)), rel=1e-6)
