"""Round boards changed: parts keep their place on the material, sizes come out as asked, round sides stay round."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.board import corners as board_corners
from app.arrange.board import drag as board_drag
from app.arrange.board import presets
from app.arrange.board import size as board_size
from app.arrange.board.datum import from_datum
from app.arrange.board.drag import Pull
from app.arrange.board.rings import box_of, rings_of
from app.arrange.change import with_board
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import find_board
from app.document.schema import CornerEntry, Design, KeepClearEntry, OutlineEntry
from app.errors import EditError
from app.geometry.outline import Corner, Outline
from app.service import new_design
from tests.boards.round_boards import RADIUS, ROUND, Ring

CATALOGUE = catalogue()
PLAIN = new_design(NewDeck(title="Round one"))


def board_of(ring: Ring, move: tuple[float, float] = (0.0, 0.0)) -> Design:
    """A deck with parts and an area to keep clear, its outline exchanged, all of it moved [mm]."""
    board = find_board(PLAIN, None)
    area = KeepClearEntry(face="under", x=40.0 + move[0], y=50.0 + move[1], width=30.0, height=20.0)
    corners = tuple(CornerEntry(x=c.x + move[0], y=c.y + move[1], setback=c.setback) for c in ring)
    arrangement = board.arrangements[0]
    placed = tuple(p.model_copy(update={"x": p.x + move[0], "y": p.y + move[1]}) for p in arrangement.placements)
    arrangement = arrangement.model_copy(update={"placements": placed})
    changed = {
        "outline": OutlineEntry(corners=corners),
        "keep_clear": (area,),
        "arrangements": (arrangement, *board.arrangements[1:]),
    }
    return with_board(PLAIN, board.model_copy(update=changed))


def places(design: Design) -> list[tuple[float, float]]:
    return [(p.x, p.y) for p in find_board(design, None).arrangements[0].placements]


def rim(design: Design) -> Ring:
    return rings_of(find_board(design, None))[0]


@given(name=st.sampled_from(sorted(ROUND)), dx=st.floats(-300, 300), dy=st.floats(-300, 300))
def test_places_count_from_the_tangents_wherever_a_file_counts_from(name: str, dx: float, dy: float) -> None:
    """The left datum edge of a circle of radius r about (cx, cy) is x = cx − r, its front one y = cy − r."""
    wanted, found = board_of(ROUND[name]), from_datum(board_of(ROUND[name], (dx, dy)))
    assert box_of(rim(found))[:2] == pytest.approx((0, 0), abs=2e-6)
    for here, there in zip(places(found), places(wanted), strict=True):
        assert here == pytest.approx(there, abs=2e-6)
    area, other = (find_board(d, None).keep_clear[0] for d in (found, wanted))
    assert (area.x, area.y) == pytest.approx((other.x, other.y), abs=2e-6)


def test_a_design_that_counts_from_its_datum_edges_is_given_back_as_it_is() -> None:
    for ring in ROUND.values():
        design = board_of(ring)
        assert from_datum(design) is design


def test_a_corner_made_sharp_moves_the_datum_edge_and_no_part_on_the_board() -> None:
    """A circle in a diamond: its left corner is (√2 − 1) r left of the rim, and becomes the datum edge."""
    before = board_of(ROUND["circle in a diamond"])
    after = board_corners.set_corner(before, None, (0, 2), CATALOGUE, before=0, after=0).design
    further = (math.sqrt(2) - 1) * RADIUS
    assert box_of(rim(after))[0] == pytest.approx(0, abs=1e-8)
    for (x, y), (was_x, was_y) in zip(places(after), places(before), strict=True):
        assert (x, y) == pytest.approx((was_x + further, was_y), abs=1e-8)


@pytest.mark.parametrize("name", ROUND)
@pytest.mark.parametrize(("width", "depth"), [(380.0, 380.0), (260.0, 290.0), (290.0, 410.0)])
def test_a_round_board_comes_out_as_wide_and_deep_as_asked(name: str, width: float, depth: float) -> None:
    edit = board_size.set_size(board_of(ROUND[name]), None, CATALOGUE, width, depth)
    assert box_of(rim(edit.design)) == pytest.approx((0, 0, width, depth), abs=1e-8)


@pytest.mark.parametrize("size", [120.0, 299.0, 450.0])
def test_a_circle_made_smaller_or_larger_is_a_circle(size: float) -> None:
    edit = board_size.set_size(board_of(ROUND["circle"]), None, CATALOGUE, size, size)
    found = Outline(rim(edit.design)).flattened(0.01)
    assert [math.dist(p, (size / 2, size / 2)) for p in found] == pytest.approx([size / 2] * len(found))


@given(st.floats(60, 500), st.floats(60, 500))
def test_an_oval_is_the_ellipse_of_its_size(width: float, depth: float) -> None:
    """(x / a)² + (y / b)² = 1 from its middle; a circle where both are alike."""
    outline = Outline(presets.shape_ring("oval", width, depth, 1.0, 1.0))
    found = [((x - width / 2) * 2 / width, (y - depth / 2) * 2 / depth) for x, y in outline.flattened(0.01)]
    assert [math.hypot(*p) for p in found] == pytest.approx([1] * len(found))


@given(st.floats(60, 500), st.floats(60, 500))
def test_round_ends_are_half_circles_over_the_shorter_side(width: float, depth: float) -> None:
    outline = Outline(presets.shape_ring("round-ends", width, depth, 1.0, 1.0))
    r = min(width, depth) / 2
    off = [
        math.dist(p, (min(max(p[0], r), max(width - r, r)), min(max(p[1], r), max(depth - r, r))))
        for p in outline.flattened(0.01)
    ]
    assert off == pytest.approx([r] * len(off))


def test_rounded_corners_may_meet_but_not_overlap() -> None:
    ring = presets.shape_ring("rounded", 300.0, 200.0, 150.0, 100.0)
    assert [corner.setback for corner in ring] == [(100, 150), (150, 100), (100, 150), (150, 100)]
    with pytest.raises(EditError, match="must be at most 150 mm"):
        presets.shape_ring("rounded", 300.0, 200.0, 150.5, 100.0)


@pytest.mark.parametrize("handle", ["corner-0-0", "corner-0-2", "before-0-1", "after-0-1", "edge-0-0", "edge-0-3"])
@pytest.mark.parametrize("name", ROUND)
def test_a_handle_of_a_round_board_moves_the_rim_and_no_part(name: str, handle: str) -> None:
    """Where parts are from a corner that is not dragged stays, whatever becomes of the datum edges."""
    before = board_of(ROUND[name])
    kind, _, index = handle.partition("-0-")
    here, there = ROUND[name][int(index)], ROUND[name][(int(index) + (1 if kind == "after" else -1)) % len(ROUND[name])]
    along = ((here.x - there.x) * 0.05, (here.y - there.y) * 0.05)  # an end of a set-back, nearer to its corner
    pull = Pull(*along) if kind in ("before", "after") else Pull(-20.0, 12.0)
    after = board_drag.drag(before, None, handle, pull, CATALOGUE).design
    shift = board_drag.datum_shift(before, after, None, handle)
    assert box_of(rim(after))[:2] == pytest.approx((0, 0), abs=1e-8)
    for (x, y), (was_x, was_y) in zip(places(after), places(before), strict=True):
        assert (x, y) == pytest.approx((was_x + shift[0], was_y + shift[1]), abs=1e-8)


def test_a_ring_is_as_wide_as_its_rim_not_as_its_corners() -> None:
    assert box_of(ROUND["circle in a diamond"]) == pytest.approx((0, 0, 2 * RADIUS, 2 * RADIUS))
    assert box_of((Corner(0, 0), Corner(10, 0), Corner(0, 10))) == (0, 0, 10, 10)
