"""What was really done to a board: keys that stay, where a hole is, and the board with its holes there."""

from __future__ import annotations

import math

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_list
from app.fit.features.layout import Layout
from app.model.as_built import AsBuilt, CutKey, Mark
from app.model.as_built_board import as_built_board, rim_of
from app.model.cuts import Counterbore
from app.model.resolved import ResolvedBoard
from app.service.edits.makers import board_made
from app.shop.board_steps import BoardCut, board_cuts
from app.values import replace

WHEN = "2026-02-01T10:30:00Z"


def board_of(scenario: str = "lantern-hill-solo") -> ResolvedBoard:
    return resolve(load_scenario(scenario), None, None, catalogue())


def marked(board: ResolvedBoard, *marks: Mark) -> ResolvedBoard:
    return replace(board, as_built=AsBuilt(marks))


def through(board: ResolvedBoard, placement: str) -> BoardCut:
    return next(c for c in board_cuts(board) if c.key.placement == placement and c.work == "through")


def single(board: ResolvedBoard) -> str:
    """The first part that sits in one round hole, held by no wood screw."""
    return next(
        p.id
        for p in board.drilled
        if len(p.holes) == 1 and p.holes[0].is_circle and not hasattr(p.part.fixing, "screw_diameter")
    )


def test_a_board_on_which_all_is_as_drawn_is_the_same_board() -> None:
    board = board_of()
    assert as_built_board(board) is board
    done = marked(board, *(cut.marked(when=WHEN) for cut in board_cuts(board)))
    assert as_built_board(done) is done


def test_a_part_in_one_hole_moves_with_it_and_is_as_wide_as_measured() -> None:
    board = board_of()
    name = single(board)
    cut = through(board, name)
    real = as_built_board(marked(board, cut.marked((1.2, -0.4), measured=cut.width + 0.3, when=WHEN)))
    before, now = board.placed(name), real.placed(name)
    assert before is not None and now is not None
    assert (now.x, now.y) == pytest.approx((before.x + 1.2, before.y - 0.4))
    assert now.holes[0].centre == pytest.approx((before.x + 1.2, before.y - 0.4))
    assert now.holes[0].diameter == pytest.approx(cut.width + 0.3)
    assert [p for p in real.placements if p.id != name] == [p for p in board.placements if p.id != name]


def test_a_pilot_that_is_off_says_where_its_hole_will_be_and_not_how_wide() -> None:
    board = board_of()
    name = single(board)
    pilot = next(c for c in board_cuts(board) if c.key.placement == name and c.work == "pilot")
    real = as_built_board(marked(board, pilot.marked((2.0, 0.0), measured=3.4, when=WHEN))).placed(name)
    before = board.placed(name)
    assert before is not None and real is not None
    assert real.holes[0].centre == pytest.approx((before.x + 2.0, before.y))
    assert real.holes[0].diameter == before.holes[0].diameter


def test_the_last_work_says_where_a_hole_is() -> None:
    board = board_of()
    cut = through(board, single(board))
    pilot = replace(cut, work="pilot", width=3.0).marked((2.0, 0.0), when=WHEN)
    hole = cut.marked((0.5, 0.0), when=WHEN)
    for marks in ((pilot, hole), (hole, pilot)):  # in whatever order they were marked
        built = AsBuilt(marks)
        assert built.latest(cut.key) == hole
        assert built.is_drilled(cut.key)
    assert not AsBuilt((pilot,)).is_drilled(cut.key)
    assert not AsBuilt((replace(hole, spoilt=True),)).is_drilled(cut.key)


def test_a_hole_of_a_pattern_moves_alone_and_the_rules_see_it_there() -> None:
    """Turned or not: the part's own cut-out is moved about its origin, so the arrays of the rules have it too."""
    design = board_made("grille", {})(load_scenario("lantern-hill-solo")).design
    board = resolve(design, design.boards[-1].id, None, catalogue())
    placed = next(p for p in board.drilled if p.part.is_pattern)
    board = board.populated(tuple(replace(p, angle=30.0) if p.id == placed.id else p for p in board.placements))
    cut = next(
        c for c in board_cuts(board) if c.key.placement == placed.id and c.key.number == 5 and c.work == "through"
    )
    real = as_built_board(marked(board, cut.marked((0.7, -1.1), when=WHEN)))
    rim, was = rim_of(real, cut.key), rim_of(board, cut.key)
    assert rim is not None and was is not None
    assert rim.centre == pytest.approx((was.centre[0] + 0.7, was.centre[1] - 1.1))
    now, before = (real.placed(placed.id), board.placed(placed.id))
    assert now is not None and before is not None
    assert sum(a.centre != b.centre for a, b in zip(now.holes, before.holes, strict=True)) == 1
    assert (now.x, now.y) == (before.x, before.y)
    seen, old = (Layout(each, catalogue(), each.drilled).holes.shapes.centres for each in (real, board))
    moved = [math.dist(a, b) for a, b in zip(seen.tolist(), old.tolist(), strict=True)]
    assert sorted(moved)[-2:] == pytest.approx([0.0, math.hypot(0.7, 1.1)], abs=1e-9)


def test_a_screw_pilot_that_is_off_is_where_it_was_drilled() -> None:
    board = next(
        b
        for b in (board_of(each.id) for each in scenario_list())
        if any(c.work == "screw pilot" for c in board_cuts(b))
    )
    cut = next(c for c in board_cuts(board) if c.work == "screw pilot")
    real = as_built_board(marked(board, cut.marked((0.8, 0.6), when=WHEN))).placed(cut.key.placement)
    assert real is not None
    assert real.screws[cut.key.number - 1] == pytest.approx((cut.at[0] + 0.8, cut.at[1] + 0.6))


def test_a_counterbore_that_is_off_is_judged_as_wide_as_it_reaches() -> None:
    board = board_of()
    name = single(board)
    board = board.populated(
        tuple(replace(p, counterbore=Counterbore(40.0, 6.0)) if p.id == name else p for p in board.placements)
    )
    cut = next(c for c in board_cuts(board) if c.work == "counterbore" and c.key.placement == name)
    real = as_built_board(marked(board, cut.marked((3.0, 4.0), when=WHEN))).placed(name)
    assert real is not None and real.counterbore is not None
    assert real.counterbore.diameter == pytest.approx(40.0 + 2 * 5.0)  # twice the 5 mm it is off


def test_an_old_hole_whose_placement_is_gone_or_switched_off_is_in_the_real_board() -> None:
    board = board_of()
    cut = through(board, single(board))
    done = marked(board, cut.marked((1.0, 0.0), when=WHEN))
    gone = done.populated(tuple(p for p in board.placements if p.id != cut.key.placement))
    off = done.populated(tuple(replace(p, drill=p.id != cut.key.placement) for p in board.placements))
    for each in (gone, off):
        old = [p for p in as_built_board(each).drilled if p.id.startswith("~")]
        assert len(old) == 1
        assert old[0].holes[0].centre == pytest.approx((cut.at[0] + 1.0, cut.at[1]))
        assert old[0].holes[0].diameter == cut.width
        assert cut.name in old[0].part.name


def test_a_key_says_which_cut() -> None:
    assert CutKey("a", "hole", 12).cut == "hole-12"
    assert CutKey("a", "pocket").cut == "pocket-1"
