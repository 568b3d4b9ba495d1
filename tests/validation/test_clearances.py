"""Webs and edge distances against two outside programs: shapely with fine arcs, and KLayout's checks.

An arc of radius r drawn with n chords inside the circle is off by r·(1 − cos(π/n)): below 0.0005 mm for
every radius here at the numbers of chords used. Pairs that near to a limit are left out of yes-or-no
comparisons, and compared by distance instead.
"""

from __future__ import annotations

import math

import klayout.db as kdb
import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.fit.limits.cut_depths import SLIGHT
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.shapes import Shape, rectangle, slot
from app.model.board import EdgeFeature
from app.model.resolved import ResolvedBoard
from tests.long_run import examples
from tests.unit.fit.boards import HAND, at, board, button, found

QUARTER = 180  # chords to a quarter circle: 25·(1 − cos(π/720)) = 0.00024 mm
DBU = 0.0001  # KLayout's grid [mm]
ROUNDING = 0.002 + SLIGHT  # mm; chords and grid of both sides together, and what is too slight to be told
WEB, EDGE = 5.0, 12.0  # mm, the cautions for MDF

OUTLINE = Outline((Corner(0, 0), Corner(400, 0, (60, 60)), Corner(400, 260), Corner(90, 260, (45, 70)), Corner(0, 150)))
OPENING = Outline(tuple(Corner(x, y, (10, 10)) for x, y in ((180, 110), (240, 110), (240, 160), (180, 160))))

spot = st.tuples(st.integers(300, 3700), st.integers(300, 2300)).map(lambda p: (p[0] / 10, p[1] / 10))
HOLES = st.sampled_from([20.0, 24.0, 28.0, 30.0, 45.0])


@st.composite
def circles(draw: st.DrawFn) -> ResolvedBoard:
    placed = [at(*draw(spot), button(draw(HOLES), flange=0), name=f"p{k}") for k in range(draw(st.integers(2, 14)))]
    return board(*placed, outline=OUTLINE, openings=(OPENING,))


@st.composite
def shapes(draw: st.DrawFn) -> ResolvedBoard:
    """Each part with a slot or a rectangle beside its round hole, turned anyhow."""
    more = [slot(34, 9, 30, 4, 20), rectangle(22, 14, -28, 0), rectangle(26, 16, 27, 6, 10, 4)]
    placed = [
        at(
            *draw(spot),
            button(20, flange=0, more=(draw(st.sampled_from(more)),)),
            name=f"p{k}",
            angle=draw(st.integers(0, 359)),
        )
        for k in range(draw(st.integers(2, 8)))
    ]
    return board(*placed, outline=OUTLINE, openings=(OPENING,))


def drawn(shape: Shape, quarter: int = QUARTER) -> shapely.Polygon:
    """A hole as a polygon with fine arcs."""
    if shape.is_circle:
        return shapely.Point(shape.core[0]).buffer(shape.radius, quad_segs=quarter)
    if len(shape.core) == 2:
        return shapely.LineString(shape.core).buffer(shape.radius, quad_segs=QUARTER)
    core = shapely.Polygon(shape.core)
    return core.buffer(shape.radius, quad_segs=QUARTER) if shape.radius else core


def outer(off: float = 0.0002) -> shapely.Polygon:
    """The board, with chords that leave its arcs by ``off`` [mm] at most."""
    return shapely.Polygon(OUTLINE.flattened(off), [OPENING.flattened(off)])


def webs_by_shapely(checked: ResolvedBoard) -> dict[tuple[str, str], float]:
    """Least distance between any two holes of two placements."""
    drawings = [[drawn(h.shape) for h in p.holes] for p in checked.placements]
    return {
        (p.id, q.id): min(shapely.distance(a, b) for a in drawings[i] for b in drawings[j])
        for i, p in enumerate(checked.placements)
        for j, q in enumerate(checked.placements)
        if i < j
    }


@pytest.mark.parametrize("kind", ["circles", "shapes"])
def test_webs_are_those_that_shapely_measures(kind: str) -> None:
    @examples(20)
    @given({"circles": circles, "shapes": shapes}[kind]())
    def compare(checked: ResolvedBoard) -> None:
        told = found(checked, "web")
        ours = {f.subjects: f.measured for f in told if len(f.subjects) == 2}
        heaps = [set(f.subjects) for f in told if len(f.subjects) > 2]  # of more than eight that run into one another
        for pair, distance in webs_by_shapely(checked).items():
            if any(heap.issuperset(pair) for heap in heaps):
                continue
            if distance < WEB - ROUNDING:
                measured = ours[pair]
                assert measured is not None
                if distance > 0:
                    assert measured == pytest.approx(distance, abs=0.001)
                else:
                    assert measured <= 0.001
            elif distance > WEB + ROUNDING:
                assert pair not in ours

    compare()


@pytest.mark.parametrize("kind", ["circles", "shapes"])
def test_edge_distances_are_those_that_shapely_measures(kind: str) -> None:
    rim = outer()

    @examples(20)
    @given({"circles": circles, "shapes": shapes}[kind]())
    def compare(checked: ResolvedBoard) -> None:
        ours = {f.subjects[0]: f for f in found(checked, "edge-distance") + found(checked, "outside-board")}
        for p in checked.placements:
            holes = [drawn(h.shape) for h in p.holes]
            inside = all(rim.contains(h) for h in holes)
            distance = min(float(shapely.distance(h, rim.boundary)) for h in holes) if inside else 0.0
            if not inside:
                assert p.id in ours and (ours[p.id].rule == "outside-board" or distance < ROUNDING)
            elif distance < EDGE - ROUNDING:
                assert ours[p.id].rule == "edge-distance"
                assert ours[p.id].measured == pytest.approx(distance, abs=0.001)
            elif distance > EDGE + ROUNDING:
                assert p.id not in ours

    compare()


def region(shapes_: list[shapely.Polygon]) -> kdb.Region:
    """Polygons for KLayout, on its grid."""
    found_ = kdb.Region()
    for shape in shapes_:
        polygon = kdb.DPolygon([kdb.DPoint(x, y) for x, y in shape.exterior.coords[:-1]])
        for ring in shape.interiors:
            polygon.insert_hole([kdb.DPoint(x, y) for x, y in ring.coords[:-1]])
        found_.insert(polygon.to_itype(DBU))
    return found_


def owner(edge: kdb.Edge, checked: ResolvedBoard) -> str:
    """The round hole whose rim a chord lies on."""
    x, y = (edge.x1 + edge.x2) / 2 * DBU, (edge.y1 + edge.y2) / 2 * DBU
    return min(checked.placements, key=lambda p: abs(math.dist((x, y), (p.x, p.y)) - p.holes[0].diameter / 2)).id


@st.composite
def crowds(draw: st.DrawFn) -> ResolvedBoard:
    """Twelve round holes in rows, each off its place, with webs from nothing to twice what is asked."""
    off, part = st.integers(-24, 24).map(lambda v: v / 10), button(28, flange=0)
    spots = [(50 + 34.5 * k + draw(off), 60 + 34.5 * m + draw(off)) for k in range(4) for m in range(3)]
    return board(*(at(x, y, part, name=f"p{k}") for k, (x, y) in enumerate(spots)))


def test_webs_are_those_that_klayout_finds() -> None:
    seen = {"near": 0, "clear": 0}

    @examples(15)
    @given(crowds())
    def compare(checked: ResolvedBoard) -> None:
        webs = webs_by_shapely(checked)
        # 90 chords to a quarter: 14·(1 − cos(π/360)) = 0.0005 mm on each side of a web, half of what is left out
        drawings = region([drawn(p.holes[0].shape, 90) for p in checked.placements])
        pairs = drawings.isolated_check(round(WEB / DBU), False, kdb.Region.Euclidian)
        both = ((owner(p.first, checked), owner(p.second, checked)) for p in pairs.each())
        theirs = {tuple(sorted(pair, key=lambda name: int(name[1:]))) for pair in both}
        ours = {f.subjects for f in found(checked, "web")}
        sure = {pair for pair, d in webs.items() if abs(d - WEB) > ROUNDING}
        assert ours & sure == theirs & sure
        seen["near"] += len(ours)
        seen["clear"] += len(webs) - len(ours)

    compare()
    assert min(seen.values()) > 50, seen


@examples(15)
@given(circles())
def test_edge_distances_are_those_that_klayout_finds(checked: ResolvedBoard) -> None:
    # 90 chords to a quarter: 22.5·(1 − cos(π/360)) = 0.0009 mm; with 0.0005 of the rim less than what is left out
    rim = outer(0.0005)
    whole = region([rim])
    inside = [(p.id, d) for p in checked.placements[:8] if rim.contains(d := drawn(p.holes[0].shape, 90))]
    sure = {name for name, d in inside if abs(shapely.distance(d, rim.boundary) - EDGE) > ROUNDING}
    near = set()
    for name, hole in inside:  # one at a time, so that holes that meet are not merged
        pairs = region([hole]).enclosed_check(whole, round(EDGE / DBU), False, kdb.Region.Euclidian)
        if pairs.count():
            near.add(name)
    ours = {f.subjects[0] for f in found(checked, "edge-distance")}
    assert ours & sure == near & sure


def test_circles_as_64_gons_miss_pairs_that_are_too_near() -> None:
    """The trap: a polygon inside a circle is up to r·(1 − cos(π/64)) short on either side of a web."""
    short = 15 * (1 - math.cos(math.pi / 64))
    web = WEB - short  # too thin, by less than two 64-gons hide
    checked = board(at(100, 150, button(30, flange=0)), at(100 + 30 + web, 150, button(30, flange=0), name="b"))
    assert found(checked, "web")[0].measured == pytest.approx(web)
    # a flat side of each, not a corner, faces the other
    angles = [math.pi / 64 + k * math.tau / 64 for k in range(64)]
    gons = [shapely.Polygon([(x + 15 * math.cos(a), 150 + 15 * math.sin(a)) for a in angles]) for x in (100, 130 + web)]
    assert shapely.distance(*gons) == pytest.approx(web + 2 * short)
    assert shapely.distance(*gons) > WEB


def test_a_crowd_of_random_holes_is_judged_as_by_every_pair() -> None:
    """2,000 holes: the pairs found are those of all pairs, by centre distance and radii."""
    chance = np.random.default_rng(20)
    x, y = chance.uniform(40, 2960, (2, 2000))
    sizes = chance.choice([20.0, 24.0, 28.0], 2000)
    parts = {d: button(float(d), flange=0) for d in (20.0, 24.0, 28.0)}
    rows = enumerate(zip(x.tolist(), y.tolist(), sizes.tolist(), strict=True))
    placed = [at(a, b, parts[d], name=f"p{k}") for k, (a, b, d) in rows]
    checked = board(*placed, outline=rectangle_outline(3000, 3000), allowance=HAND)
    i, j = np.triu_indices(2000, 1)
    web = np.hypot(x[i] - x[j], y[i] - y[j]) - (sizes[i] + sizes[j]) / 2 - 2 * HAND.position
    thin = web < WEB - SLIGHT  # what is short by less cannot be said, and is let pass
    pairs = zip(i[thin].tolist(), j[thin].tolist(), web[thin].tolist(), strict=True)
    want = {(f"p{a}", f"p{b}"): w for a, b, w in pairs}
    ours = {f.subjects: f.measured for f in found(checked, "web")}
    assert len(want) > 300 and ours == pytest.approx(want)


def test_a_slotted_edge_keeps_its_distance_as_shapely_measures() -> None:
    """The slot as a strip along the edge; round a set-back corner only from one slotted edge to another."""
    placed = [at(330, 45), at(300, 22.5, name="b"), at(200, 100, name="c"), at(365.5, 34.5, name="d")]
    front = shapely.LineString([(0, 0), (340, 0)])
    right = shapely.LineString([(400, 60), (400, 260)])
    corner = shapely.Point(340, 60).buffer(60, quad_segs=2000).exterior.intersection(shapely.box(340, 0, 400, 60))
    both = shapely.union_all([front, corner, right])
    one, other = EdgeFeature("front", 8), EdgeFeature("right", 8)
    for slots, edge, near in (((one,), front, {"b"}), ((one, other), both, {"b", "d"})):
        checked = board(*placed, outline=OUTLINE, edges=slots)
        ours = {f.subjects[0]: f.measured for f in found(checked, "edge-slot")}
        for p in checked.placements:
            left = float(shapely.distance(drawn(p.holes[0].shape), edge)) - 8
            assert (p.id in ours) == (left < 3)
            if p.id in ours:
                # the corner is judged by chords up to 0.005 mm inside it
                assert ours[p.id] == pytest.approx(left, abs=0.006)
        assert set(ours) == near
