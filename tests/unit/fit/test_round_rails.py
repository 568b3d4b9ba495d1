"""Rails and slots of round boards: a rail wants a straight edge, a slot cutter follows any; both by formula."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from app.arrange.board.below import set_edges
from app.arrange.change import with_board
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import find_board, resolve
from app.document.schema import CornerEntry, Design, EdgeEntry, EdgesEntry, OutlineEntry
from app.drafting.facing import facing
from app.drafting.view.elevation import elevation
from app.errors import EditError
from app.fit.report.report import check
from app.fit.rules.deck_strength import DeckDetail
from app.fit.words.messages import message, remedy
from app.geometry.outline import EDGE_NAMES, EdgeName, Outline
from app.geometry.strips import Strip, longest_straight, strips_of
from app.model.resolved import ResolvedBoard
from app.scene.palette import RAIL
from app.service import new_design
from app.units import Unit
from app.values import replace
from tests.boards.round_boards import RADIUS, ROUND, STRAIGHT, Ring, upright

PLAIN = new_design(NewDeck(title="Round one"))
CATALOGUE = catalogue()


def design_of(ring: Ring, rail: float = 0.0, slot: float = 0.0, edges: tuple[EdgeName, ...] = EDGE_NAMES) -> Design:
    board = find_board(PLAIN, None)
    corners = tuple(CornerEntry(x=c.x, y=c.y, setback=c.setback) for c in ring)
    strips = EdgesEntry(**{edge: EdgeEntry(rail=rail, slot_depth=slot) for edge in edges})
    changed = {"outline": OutlineEntry(corners=corners), "edges": strips}
    return with_board(PLAIN, board.model_copy(update=changed))


def board_of(
    ring: Ring, rail: float = 0.0, slot: float = 0.0, edges: tuple[EdgeName, ...] = EDGE_NAMES
) -> ResolvedBoard:
    return resolve(design_of(ring, rail, slot, edges), None, None, CATALOGUE)


@pytest.mark.parametrize("name", ROUND)
def test_a_rail_on_an_edge_with_nothing_straight_is_told_and_is_not_there(name: str) -> None:
    board = board_of(ROUND[name], rail=18.0)
    report = check(board, CATALOGUE)
    told = [f for f in report.stops if f.rule == "rail-clash" and not f.subjects]
    assert {f.detail.edge for f in told} == set(EDGE_NAMES) - STRAIGHT[name]
    assert {strip.edge for strip in board.rails} == STRAIGHT[name]
    for finding in told:
        edge = finding.detail.edge
        said = f"The {edge} edge has nothing straight: too little to glue the 18 mm rail to."
        assert message(finding, board, Unit.MM) == said
        assert remedy(finding, report, Unit.MM).startswith("Take that rail off")


@pytest.mark.parametrize("name", ROUND)
def test_a_rail_is_refused_where_it_is_offered_to_an_edge_with_nothing_straight(name: str) -> None:
    for edge in EDGE_NAMES:
        if edge in STRAIGHT[name]:
            assert "rail of 18 mm" in set_edges(design_of(ROUND[name]), None, {}, {edge: 18.0}).summary
            continue
        with pytest.raises(
            EditError, match=f"The {edge} edge has nothing straight: too little to glue a rail 18 mm"
        ) as told:
            set_edges(design_of(ROUND[name]), None, {}, {edge: 18.0})
        assert told.value.field == f"rail-{edge}"
        taken_off = set_edges(design_of(ROUND[name], rail=18.0), None, {}, {edge: 0.0})
        assert taken_off.summary == f"Put no rail at the {edge} edge"


@pytest.mark.parametrize(("straight", "loose"), [(17.0, True), (18.0, False), (40.0, False)])
def test_a_rail_is_at_least_as_long_as_it_is_wide(straight: float, loose: bool) -> None:
    setback = (200.0 - straight) / 2
    ring = upright(300.0, 200.0, (setback, setback), None, None, (setback, setback))
    board = board_of(ring, rail=18.0, edges=("left",))
    assert longest_straight(board.outline, "left") == pytest.approx(straight)
    assert bool(board.loose_rails) is loose
    assert bool(board.rails) is not loose


def test_a_rail_that_is_not_there_bears_no_deck() -> None:
    """The span of a round deck is its whole width, whatever rail its edges are given."""
    for rail in (0.0, 60.0):
        board = board_of(ROUND["circle"], rail=rail)
        thin = replace(board, layers=(replace(board.layers[0], thickness=3.0),))
        (lean,) = [f.detail for f in check(thin, CATALOGUE).findings if isinstance(f.detail, DeckDetail)]
        assert (lean.long, lean.short) == pytest.approx((2 * RADIUS, 2 * RADIUS))


def under(strips: Sequence[Strip]) -> BaseGeometry:
    """All that strips cover: of a bend what lies within their width of its chords."""
    parts = [shapely.MultiPoint(s.shape.core).convex_hull.buffer(s.shape.radius, quad_segs=64) for s in strips]
    return shapely.union_all(parts)


@pytest.mark.parametrize("name", ["circle", "circle in a diamond", "circle in an octagon"])
def test_a_slot_runs_all_round_a_circle(name: str) -> None:
    """A ring between radii r and r − d: what its strips cover, but for their chords, 0.005 mm off on either side."""
    deep = 8.0
    strips = strips_of(Outline(ROUND[name]), dict.fromkeys(EDGE_NAMES, deep), round_corners=True)
    board = shapely.Point(shapely.Polygon(Outline(ROUND[name]).flattened()).centroid).buffer(RADIUS, quad_segs=4000)
    covered = under(strips).intersection(board)
    assert covered.area == pytest.approx(math.pi * (RADIUS**2 - (RADIUS - deep) ** 2), abs=2 * math.pi * RADIUS * 0.01)
    assert {s.edge for s in strips} == set(EDGE_NAMES)


def test_a_slot_in_one_edge_of_a_circle_runs_along_a_quarter_of_it() -> None:
    deep = 8.0
    strips = strips_of(Outline(ROUND["circle"]), {"left": deep}, round_corners=True)
    board = shapely.Polygon(Outline(ROUND["circle"]).flattened())
    chord = 2 * RADIUS * math.sin(math.acos(1 - 0.005 / RADIUS))
    ends = math.pi * deep**2 / 2  # the cutter rounds the slot off at either end: half a disc each, or a little less
    quarter = math.pi * (RADIUS**2 - (RADIUS - deep) ** 2) / 4
    area = under(strips).intersection(board).area
    assert quarter + 0.9 * ends - 2 * chord * deep < area < quarter + ends + 2 * chord * deep


@pytest.mark.parametrize("edges", [EDGE_NAMES, ("front", "left")])
def test_a_slot_of_a_slot_shaped_board_runs_round_its_ends(edges: tuple[EdgeName, ...]) -> None:
    """Straight along the front, then round the left end: half of it, as far as the back edge has none."""
    deep, r, straight = 6.0, 100.0, 200.0
    strips = strips_of(Outline(ROUND["lying slot"]), dict.fromkeys(edges, deep), round_corners=True)
    board = shapely.Polygon(Outline(ROUND["lying slot"]).flattened())
    covered = under(strips).intersection(board)
    ring = math.pi * (r**2 - (r - deep) ** 2)
    wanted = ring + 2 * straight * deep if len(edges) == 4 else ring * (180 - 45) / 360 + straight * deep
    end = math.pi * deep**2 / 4  # where the slot runs out on the bend, the cutter leaves half a disc, or a little less
    assert covered.area == pytest.approx(wanted if len(edges) == 4 else wanted + end, rel=0.01)


@pytest.mark.parametrize("far", [40.0, 120.0])
def test_a_hole_is_judged_against_the_slot_of_a_round_edge(far: float) -> None:
    """R − distance from the centre − radius of the hole − depth of the slot, less the allowances of hand drilling."""
    deep = 8.0
    board = board_of(ROUND["circle"], slot=deep)
    button = next(p for p in board.placements if p.part.lever is None and p.holes)
    moved = replace(
        button,
        x=RADIUS - far,
        y=RADIUS,
        holes=tuple(replace(h, shape=h.shape.placed(RADIUS - far - button.x, RADIUS - button.y)) for h in button.holes),
    )
    board = replace(board, placements=(moved,))
    found = [f for f in check(board, CATALOGUE).findings if f.rule == "edge-slot"]
    allowance = board.tooling.drilling
    left = RADIUS - far - moved.holes[0].shape.radius - deep - allowance.position - allowance.edge
    assert bool(found) is (left < CATALOGUE.rule("slot-gap"))
    for finding in found:
        assert finding.measured == pytest.approx(left, abs=0.02)
        assert finding.detail.edge == "left"


def test_the_elevation_shows_the_rails_that_are_there() -> None:
    def rails(name: str) -> int:
        board = board_of(ROUND[name], rail=18.0)
        group = elevation(board, view=facing(board, "top"))
        return repr(group).count(repr(RAIL))

    assert rails("circle") == 0
    assert rails("upright slot") > 0
