"""Rails and slots as strips: where they begin and end, by hand, and what they cover, against shapely."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from app.geometry.outline import EDGE_NAMES, Corner, EdgeName, Outline, rectangle_outline
from app.geometry.strips import Strip, strips_of
from tests.long_run import examples

WIDE, DEEP = 600.0, 300.0
BOARD = rectangle_outline(WIDE, DEEP)
ELBOW = Outline(tuple(Corner(x, y) for x, y in ((0, 0), (600, 0), (600, 200), (300, 200), (300, 300), (0, 300))))


def all_round(width: float) -> dict[EdgeName, float]:
    return dict.fromkeys(EDGE_NAMES, width)


def area(strip: Strip) -> BaseGeometry:
    core = shapely.MultiPoint(strip.shape.core).convex_hull
    return core.buffer(strip.shape.radius, quad_segs=500) if strip.shape.radius else core


def covered(strips: tuple[Strip, ...]) -> BaseGeometry:
    return shapely.union_all([area(s) for s in strips])


def only(strips: tuple[Strip, ...], edge: EdgeName) -> Strip:
    (found,) = [s for s in strips if s.edge == edge]
    return found


def inward(strip: Strip) -> tuple[float, float]:
    (ax, ay), (bx, by) = strip.shape.core[:2]
    long = math.hypot(bx - ax, by - ay)
    return ((ay - by) / long, (bx - ax) / long)


def corners(strip: Strip) -> list[object]:
    """Where its ends are on the edge, then on its inner side, the later one first."""
    return [pytest.approx(p, abs=1e-9) for p in strip.shape.core]


def test_a_strip_alone_ends_square_at_both_corners() -> None:
    (strip,) = strips_of(BOARD, {"front": 20.0})
    assert corners(strip) == [(0, 0), (WIDE, 0), (WIDE, 20), (0, 20)]
    assert (strip.edge, strip.width) == ("front", 20)
    (strip,) = strips_of(BOARD, {"left": 20.0})
    assert corners(strip) == [(0, DEEP), (0, 0), (20, 0), (20, DEEP)]


@pytest.mark.parametrize(("front", "left"), [(20.0, 20.0), (20.0, 32.0), (45.0, 6.0)])
def test_two_strips_at_a_sharp_corner_meet_in_a_mitre_from_corner_to_corner(front: float, left: float) -> None:
    strips = strips_of(BOARD, {"front": front, "left": left})
    assert [(0, 0), (WIDE, 0), (WIDE, front), (left, front)] == corners(only(strips, "front"))
    assert [(0, DEEP), (0, 0), (left, front), (left, DEEP)] == corners(only(strips, "left"))
    # A trapezium each: the mean of its long and its short side, times its width.
    assert area(only(strips, "front")).area == pytest.approx((WIDE + WIDE - left) / 2 * front)
    assert area(only(strips, "left")).area == pytest.approx((DEEP + DEEP - front) / 2 * left)


@pytest.mark.parametrize(("back", "right"), [(19.0, 19.0), (19.0, 30.0)])
def test_at_a_corner_that_points_into_the_board_both_are_lengthened_to_the_mitre(back: float, right: float) -> None:
    """The corner is at (300, 200): a back edge comes to it from the right, a right edge leaves it to the back."""
    strips = strips_of(ELBOW, {"back": back, "right": right})
    tip = (300 - right, 200 - back)
    (short_back,) = [s for s in strips if s.edge == "back" and (600, 200) in s.shape.core]
    (inner_right,) = [s for s in strips if s.edge == "right" and (300, 200) in s.shape.core and s is not short_back]
    # At (600, 200) and (300, 300) they meet the right and the back rail of the outer corners, mitred likewise.
    assert [(600, 200), (300, 200), tip, (600 - right, 200 - back)] == corners(short_back)
    assert [(300, 200), (300, 300), (300 - right, 300 - back), tip] == corners(inner_right)


def test_a_strip_is_part_of_itself_drawn_out_beyond_its_edge() -> None:
    for strip in strips_of(BOARD, all_round(20.0)):
        assert area(strip).difference(shapely.Polygon(strip.beyond.core)).area < 1e-6


@pytest.mark.parametrize("sharp", [False, True])
def test_drawn_out_beyond_its_edge_a_strip_ends_on_its_inner_side(sharp: bool) -> None:
    outline = BOARD if sharp else rectangle_outline(WIDE, DEEP, 60)
    for strip in strips_of(outline, all_round(20.0)):
        beyond = shapely.Polygon(strip.beyond.core)
        inside = shapely.Polygon(outline.flattened()).buffer(-20 - 1e-6, join_style="mitre")
        assert not beyond.intersects(inside)
        foot = shapely.Polygon(strip.shape.core).centroid
        assert beyond.contains(shapely.Point(foot.x - 500 * inward(strip)[0], foot.y - 500 * inward(strip)[1]))


def test_at_a_corner_that_points_into_the_board_a_strip_alone_ends_square() -> None:
    strips = strips_of(ELBOW, {"right": 19.0})
    assert [(300, 200), (300, 300), (281, 300), (281, 200)] in [corners(s) for s in strips]


@pytest.mark.parametrize("width", [5.0, 19.0, 40.0])
@pytest.mark.parametrize(
    "outline",
    [
        BOARD,
        ELBOW,
        Outline(tuple(Corner(x, y) for x, y in ((0, 0), (600, 0), (520, 280), (60, 250)))),
        Outline(tuple(Corner(x, y) for x, y in ((0, 0), (500, -40), (560, 260), (300, 180), (20, 270)))),
    ],
    ids=["square", "elbow", "trapezium", "notched"],
)
def test_strips_all_round_cover_what_shapely_takes_off_with_mitred_corners(outline: Outline, width: float) -> None:
    board = shapely.Polygon(outline.flattened())
    band = board.difference(board.buffer(-width, join_style="mitre", mitre_limit=50))
    strips = strips_of(outline, all_round(width))
    assert len(strips) == len(outline.corners)
    assert covered(strips).symmetric_difference(band).area < 1e-6
    assert sum(area(s).area for s in strips) == pytest.approx(band.area), "mitred, they do not overlap"


@examples(25)
@given(st.lists(st.integers(0, 359), min_size=3, max_size=7, unique=True), st.floats(1, 12))
def test_strips_cover_the_band_of_any_convex_board(turns: list[int], width: float) -> None:
    """Corners on a circle, so that the board is convex; short sides, whose mitres meet, are among them."""
    spots = [(300 + 200 * math.cos(math.radians(t)), 300 + 200 * math.sin(math.radians(t))) for t in sorted(turns)]
    outline = Outline(tuple(Corner(x, y) for x, y in spots))
    board = shapely.Polygon(spots)
    inner = board.buffer(-width, join_style="mitre", mitre_limit=100)
    assume(all(math.sin(angle / 2) > 1 / 19 for angle in angles(spots)))  # a mitre of 20 widths is cut square
    under = covered(strips_of(outline, all_round(width))).intersection(board)
    assert under.symmetric_difference(board.difference(inner)).area < 1e-6 * board.area


def angles(spots: list[tuple[float, float]]) -> list[float]:
    """The angle inside the board at each corner."""
    found = []
    for k, (x, y) in enumerate(spots):
        (ax, ay), (bx, by) = spots[k - 1], spots[(k + 1) % len(spots)]
        one, other = math.atan2(by - y, bx - x), math.atan2(ay - y, ax - x)
        found.append((other - one) % math.tau)
    return found


def test_a_short_piece_whose_mitres_meet_is_a_triangle() -> None:
    """A corner cut off at 45 degrees: its mitres stand at 67.5 degrees to it."""
    cut = 10.0
    outline = Outline(tuple(Corner(x, y) for x, y in ((0, 0), (100, 0), (100, 100 - cut), (100 - cut, 100), (0, 100))))
    strips = strips_of(outline, all_round(20.0))
    long, high = cut * math.sqrt(2), cut / math.sqrt(2) * math.tan(math.radians(67.5))
    assert high < 20
    (short,) = [s for s in strips if len(s.shape.core) == 3]
    assert area(short).area == pytest.approx(long * high / 2)
    peak = 100 - cut / 2 - high / math.sqrt(2)
    assert short.shape.core[2] == pytest.approx((peak, peak))
    # Longer, so that the mitres reach its inner side first, it is a trapezium.
    outline = Outline(tuple(Corner(x, y) for x, y in ((0, 0), (100, 0), (100, 60), (60, 100), (0, 100))))
    assert all(len(s.shape.core) == 4 for s in strips_of(outline, all_round(20.0)))


def test_a_splinter_of_a_mitre_is_cut_square() -> None:
    """A corner of 4 degrees: its mitre would be 1/sin(2°) = 29 widths long, more than 20."""
    rise = 400 * math.tan(math.radians(4))
    outline = Outline((Corner(0, 0), Corner(400, 0), Corner(400, rise)))
    strips = strips_of(outline, {"front": 5.0, "back": 5.0})
    assert corners(only(strips, "front")) == [(0, 0), (400, 0), (400, 5), (0, 5)]


def test_at_a_set_back_corner_a_strip_ends_square_where_the_straight_edge_does() -> None:
    outline = rectangle_outline(WIDE, DEEP, 60)
    strips = strips_of(outline, all_round(20.0))
    assert corners(only(strips, "back")) == [(540, 300), (60, 300), (60, 280), (540, 280)]
    assert corners(only(strips, "right")) == [(600, 0), (600, 240), (580, 240), (580, 20)]
    unequal = Outline((Corner(0, 0), Corner(600, 0), Corner(600, 300, (70, 40)), Corner(0, 300)))
    strips = strips_of(unequal, {"right": 20.0, "back": 20.0}, round_corners=False)
    assert corners(only(strips, "right")) == [(600, 0), (600, 230), (580, 230), (580, 0)]
    assert corners(only(strips, "back")) == [(560, 300), (0, 300), (0, 280), (560, 280)]


def test_an_edge_of_several_straight_pieces_has_a_strip_along_each() -> None:
    strips = strips_of(ELBOW, {"back": 10.0})
    assert [s.edge for s in strips] == ["back", "back"]
    assert sum(area(s).area for s in strips) == pytest.approx(300 * 10 + 300 * 10)


def test_a_leaning_piece_belongs_to_the_edge_it_faces() -> None:
    outline = Outline(tuple(Corner(x, y) for x, y in ((0, 0), (600, 0), (640, 300), (-40, 300))))
    (right,) = strips_of(outline, {"right": 15.0})
    long = math.hypot(40, 300)
    # Square at the front; the corner at the back is of less than 90 degrees, so there it ends at the back edge.
    assert area(right).area == pytest.approx(15 * long - 15**2 * (40 / 300) / 2)
    assert shapely.Polygon(outline.flattened()).buffer(1e-9).covers(area(right))


@pytest.mark.parametrize(("front", "right"), [(10.0, 10.0), (10.0, 16.0), (16.0, 10.0)])
def test_a_slot_runs_round_a_set_back_corner_as_deep_as_the_deeper(front: float, right: float) -> None:
    """An arc of radius 60 about (540, 60): what lies between it and one less deep."""
    outline = Outline((Corner(0, 0), Corner(600, 0, (60, 60)), Corner(600, 300), Corner(0, 300)))
    widths: dict[EdgeName, float] = {"front": front, "right": right}
    straight, bent = strips_of(outline, widths), strips_of(outline, widths, round_corners=True)
    assert len(straight) == 2
    depth = max(front, right)
    middle = shapely.Point(540, 60)
    ring = middle.buffer(60, quad_segs=2000).difference(middle.buffer(60 - depth, quad_segs=2000))
    corner = shapely.box(540, 0, 600, 60)
    quarter = ring.intersection(corner)
    assert quarter.area == pytest.approx(math.pi / 4 * (60**2 - (60 - depth) ** 2), rel=1e-6)
    board = shapely.union_all(
        [shapely.box(0, 0, 540, 300), shapely.box(540, 60, 600, 300), middle.buffer(60, quad_segs=2000)]
    )
    turned = covered(tuple(s for s in bent if s not in straight)).intersection(board)
    # Chords lie up to 0.005 mm inside the arc, and so does the floor they make.
    assert turned.intersection(corner).symmetric_difference(quarter).area < 0.005 * math.pi / 2 * 60
    # At either end it is round: the cutter goes no further than its depth into the slots beside it.
    assert turned.difference(corner).area == pytest.approx(2 * math.pi / 4 * depth**2, rel=1e-4)
    assert {s.width for s in bent if s not in straight} == {depth}


def test_a_slot_runs_round_a_corner_set_back_unequally_and_one_that_points_into_the_board() -> None:
    set_back = Outline((Corner(0, 0), Corner(600, 0, (80, 40)), Corner(600, 300), Corner(0, 300)))
    hollow = Outline(
        (Corner(0, 0), Corner(600, 0), Corner(600, 200), Corner(300, 200, (30, 30)), Corner(300, 300), Corner(0, 300))
    )
    for outline, inside in ((set_back, (596, 4)), (hollow, (296, 196))):
        board = shapely.Polygon(outline.flattened())
        band = board.difference(board.buffer(-8, quad_segs=1000, join_style="round"))
        corner = shapely.Point(inside).buffer(70)
        whole = covered(strips_of(outline, all_round(8.0), round_corners=True)).intersection(corner).intersection(board)
        assert band.intersection(corner).difference(whole.buffer(0.01)).is_empty
        assert whole.difference(band.buffer(0.01)).is_empty


@pytest.mark.parametrize("radius", [1.0, 3.0, 12.0])
@pytest.mark.parametrize("depth", [5.0, 12.0])
@pytest.mark.parametrize("way", [1, -1])
def test_a_slot_round_a_tight_bend_is_all_within_its_depth_of_the_bend(radius: float, depth: float, way: int) -> None:
    """How far a point is from an arc, by its middle and its two ends: of the board's corner, or one that points in."""
    bent = Corner(300, 200, (radius, radius)) if way < 0 else Corner(300, 300, (radius, radius))
    outline = Outline(
        (Corner(0, 0), Corner(600, 0), Corner(600, 200), bent, Corner(300, 300), Corner(0, 300))
        if way < 0
        else (Corner(0, 0), Corner(300, 0), bent, Corner(0, 300))
    )
    middle = np.array((bent.x - way * radius, bent.y - way * radius))
    widths: dict[EdgeName, float] = dict.fromkeys(EDGE_NAMES, depth)
    straight = strips_of(outline, widths)
    found = covered(tuple(s for s in strips_of(outline, widths, round_corners=True) if s not in straight))
    points = np.array((bent.x, bent.y)) + np.random.default_rng(3).uniform(-20, 20, (4000, 2))
    points = points[shapely.contains_xy(shapely.Polygon(outline.flattened()), *points.T)]
    off = points - middle
    across = np.abs(np.hypot(*off.T) - radius)
    ends = [np.hypot(*(off - end).T) for end in ((way * radius, 0), (0, way * radius))]
    distance = np.where((way * off > 0).all(axis=1), across, np.minimum(*ends))
    clear = np.abs(distance - depth) > 0.02
    inside = shapely.contains_xy(found, *points.T)
    assert clear.sum() > 500
    assert (inside == (distance < depth))[clear].all()


@pytest.mark.parametrize("widths", [{"front": 10.0}, {"right": 10.0}, {"front": 10.0, "back": 10.0}])
def test_a_slot_ends_at_a_set_back_corner_beyond_which_there_is_none(widths: dict[EdgeName, float]) -> None:
    outline = Outline((Corner(0, 0), Corner(600, 0, (60, 60)), Corner(600, 300), Corner(0, 300)))
    assert strips_of(outline, widths, round_corners=True) == strips_of(outline, widths)
