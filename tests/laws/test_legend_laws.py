"""Laws of legends, held against shapely: what the program places never meets a hole, a flange or an edge."""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.fit.features.layout import layout_of
from app.fit.lettering.laid import LaidLegend
from app.fit.report.findings import findings_of
from app.geometry.outline import Corner, Outline
from app.geometry.shapes import Shape
from app.model.legend import SIDES, Legend
from app.model.resolved import Placed, ResolvedBoard
from app.values import replace
from tests.long_run import examples
from tests.unit.fit.boards import CATALOGUE, at, board, button

WORDS = st.text("AgJÄx 1", min_size=1, max_size=9).filter(lambda text: bool(text.strip()))
LEGENDS = st.builds(
    Legend,
    text=WORDS,
    place=st.sampled_from([*SIDES, "ring"]),
    height=st.floats(2.8, 14.0),
    turn=st.sampled_from([0.0, 0.0, 90.0, 37.0, 180.0]),
)
OPENING = Outline(tuple(Corner(x, y) for x, y in ((250, 200), (350, 200), (350, 260), (250, 260))))


@st.composite
def boards(draw: st.DrawFn) -> ResolvedBoard:
    """Buttons of several sizes anywhere on a board with an opening, most of them with a legend."""
    placed: list[Placed] = []
    for k in range(draw(st.integers(1, 9))):
        x, y = draw(st.floats(20, 580)), draw(st.floats(20, 280))
        part = button(draw(st.sampled_from([12.0, 28.0, 60.0])))
        legend = draw(st.none() | LEGENDS)
        placed.append(replace(at(x, y, part, name=f"p{k}"), legend=legend))
    return board(*placed, openings=(OPENING,))


def area(shape: Shape) -> BaseGeometry:
    (x, y), *_ = shape.core
    return Point(x, y).buffer(shape.radius, quad_segs=64)


def ink(one: LaidLegend) -> BaseGeometry:
    """What is really lettered: rings as fine polygons, an inner one taken out of an outer one."""
    found: BaseGeometry = Polygon()
    for contour in one.contours:
        found = found.symmetric_difference(Polygon(contour.polygon(16)).buffer(0))
    return found


@examples(40)
@given(boards())
def test_what_the_program_places_lies_on_bare_board(checked: ResolvedBoard) -> None:
    legends = [one for one in layout_of(checked, CATALOGUE).legends if not one.trouble]
    assume(legends)
    told = {f.subjects[0] for f in findings_of(checked, CATALOGUE) if f.rule == "legend-clear"}
    rim = Polygon([(0, 0), (600, 0), (600, 300), (0, 300)])
    hole = Polygon([(250, 200), (350, 200), (350, 260), (250, 260)])
    things = [area(shape) for p in checked.drilled for shape in (*(h.shape for h in p.holes), p.flange) if shape]
    for one in legends:
        owner, drawn = checked.drilled[one.owner], ink(one)
        if one.legend.place == "ring" and owner.id in told:
            continue  # a ring is where it has to be; that it cannot be there is told
        assert rim.contains(drawn) and not hole.intersects(drawn)
        assert min(drawn.distance(thing) for thing in things) >= 1.0 - 0.02  # circles as polygons lie inside of them


@examples(40)
@given(boards())
def test_what_is_told_of_legends_is_what_shapely_finds(checked: ResolvedBoard) -> None:
    """Rings too: one that is not told of is as clear as the others."""
    told = {f.subjects[0] for f in findings_of(checked, CATALOGUE) if f.rule in ("legend-clear", "legend-room")}
    things = [area(shape) for p in checked.drilled for shape in (*(h.shape for h in p.holes), p.flange) if shape]
    for one in layout_of(checked, CATALOGUE).legends:
        if checked.drilled[one.owner].id not in told:
            assert min(ink(one).distance(thing) for thing in things) >= 1.0 - 0.02


@examples(25)
@given(boards())
def test_legends_on_sides_keep_apart(checked: ResolvedBoard) -> None:
    legends = [one for one in layout_of(checked, CATALOGUE).legends if not one.trouble and one.straight]
    for k, one in enumerate(legends):
        for other in legends[k + 1 :]:
            assert ink(one).distance(ink(other)) >= 2.0


@examples(25)
@given(boards())
def test_legends_disturb_no_other_rule(checked: ResolvedBoard) -> None:
    bare = checked.populated(tuple(replace(p, legend=None) for p in checked.placements))
    others = [f for f in findings_of(checked, CATALOGUE) if not f.rule.startswith("legend")]
    assert others == list(findings_of(bare, CATALOGUE))
