"""Sheets and cover of round boards: the datum edges are drawn as the lines that touch the rim, and said to be."""

from __future__ import annotations

import math

import pytest
import shapely

from app.arrange.change import with_board
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import find_board, resolve
from app.document.schema import CornerEntry, OutlineEntry
from app.drafting.forms import outline_path
from app.drafting.template.drill_template import drill_template
from app.geometry.outline import Outline
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.paper.cover.measures import diagonals
from app.paper.cover.words import steps
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.paper.sheet.shown_in_window import rim_segments
from app.scene.palette import DATUM_LINE, OUTLINE
from app.scene.primitives import Group, Line, Text
from app.service import new_design
from app.units import Unit
from tests.boards.round_boards import ROUND, STRAIGHT, Ring, upright

PLAIN = new_design(NewDeck(title="Round one"))
PAPER = paper_by_text("a4")


def board_of(ring: Ring) -> ResolvedBoard:
    board = find_board(PLAIN, None)
    outline = OutlineEntry(corners=tuple(CornerEntry(x=c.x, y=c.y, setback=c.setback) for c in ring))
    bare = board.arrangements[0].model_copy(update={"placements": (), "stations": ()})
    changed = board.model_copy(update={"outline": outline, "arrangements": (bare,)})
    return resolve(with_board(PLAIN, changed), None, None, catalogue())


@pytest.mark.parametrize("face", ["top", "under"])
@pytest.mark.parametrize("name", ROUND)
def test_a_round_datum_edge_is_drawn_as_the_line_that_touches_the_rim(name: str, face: Face) -> None:
    board = board_of(ROUND[name])
    lines = drill_template(board, face).datum
    upright_ones = [line.a[0] for line in lines if line.a[0] == line.b[0]]
    level = [line.a[1] for line in lines if line.a[1] == line.b[1]]
    assert len(lines) == len(upright_ones) + len(level)
    # The underside is the mirror image: there the left edge is at the right.
    left = 0.0 if face == "top" else board.width
    assert upright_ones == pytest.approx([] if "left" in STRAIGHT[name] else [left], abs=1e-9)
    assert level == pytest.approx([] if "front" in STRAIGHT[name] else [0.0], abs=1e-9)


@pytest.mark.parametrize("name", ROUND)
def test_the_sheets_say_which_line_counts_and_draw_it_where_it_is(name: str) -> None:
    board = board_of(ROUND[name])
    plan, pages = plan_sheets(board, "top", PAPER), template_pages(board, "top", PAPER)
    said: list[str] = []
    for page, tile in zip(pages, plan.tiling.tiles, strict=True):
        groups = {item.name: item for item in page.items if isinstance(item, Group)}
        said += [item.text for item in groups["words"].items if isinstance(item, Text)]
        drawn = [item for item in groups["template"].items if isinstance(item, Line) and item.style == DATUM_LINE]
        assert groups["template"].shift == tile.offset
        for line in drawn:  # broken where words stand on it
            assert min(abs(line.a[0]) + abs(line.b[0]), abs(line.a[1]) + abs(line.b[1])) < 1e-9
    for edge in ("left", "front"):
        words = f"{edge} edge: this line, which touches the rim"
        assert (words in said) is (edge not in STRAIGHT[name])


def test_the_front_edge_is_named_where_it_is_straight() -> None:
    """Of a slot 400 × 200 mm the front is straight from 100 to 300 mm."""
    pages = template_pages(board_of(ROUND["lying slot"]), "top", paper_by_text("a2"))
    (page,) = pages
    (words,) = [item for item in page.items if isinstance(item, Group) and item.name == "words"]
    (at,) = [item.at[0] for item in words.items if isinstance(item, Text) and item.text.startswith("front edge")]
    assert 100 <= at <= 300


@pytest.mark.parametrize("name", ROUND)
def test_the_cover_has_the_blank_cut_first_and_measured(name: str) -> None:
    board = board_of(ROUND[name])
    sheets = plan_sheets(board, "top", PAPER), plan_sheets(board, "under", PAPER)
    cut = steps(board, *sheets, Unit.MM)[1].text
    found = diagonals(board)
    assert cut.startswith("Cut a blank of ")
    assert "Saw it to the rim last" in cut
    assert found.lengths == pytest.approx((math.hypot(board.width, board.depth_front_to_back),) * 2)
    assert "corners of the blank" in found.between


def test_a_board_with_straight_datum_edges_is_cut_as_ever() -> None:
    board = board_of(upright(300.0, 200.0, None, None, (40.0, 40.0), (40.0, 40.0)))
    sheets = plan_sheets(board, "top", PAPER), plan_sheets(board, "under", PAPER)
    assert steps(board, *sheets, Unit.MM)[1].text.startswith("Cut the board to ")
    assert "extend the edges" in diagonals(board).between
    assert drill_template(board, "top").datum == ()


@pytest.mark.parametrize("name", ROUND)
def test_words_keep_clear_of_a_bent_rim_as_it_is_drawn(name: str) -> None:
    """The straight pieces that words keep clear of are no farther off the rim than a pen line is wide, 0.5 mm."""
    outline = Outline(ROUND[name])
    rim = shapely.LinearRing(outline.flattened(0.01))
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in rim_segments(outline_path(outline, OUTLINE))]
    assert shapely.distance(shapely.points(middles), rim).max() < 0.5
