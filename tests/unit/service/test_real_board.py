"""The rules on the board as it was drilled: what came out elsewhere is judged there, and said with its figures."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.fit.finding import Finding
from app.model.as_built import AsBuilt, Mark
from app.model.resolved import ResolvedBoard
from app.service.checks.checking import judged
from app.service.checks.real_board import came_out, gone_marks, harm_of, other_widths, real_board
from app.shop.board_steps import BoardCut, board_cuts
from app.values import replace
from tests.long_run import examples

WHEN = "2026-02-01T10:30:00Z"
BOARD = resolve(load_scenario("lantern-hill-solo"), None, None, catalogue())
ROUND = [c for c in board_cuts(BOARD) if c.work == "through"]


def neighbours() -> tuple[BoardCut, BoardCut, float, tuple[float, float]]:
    """The two nearest holes, the web between them, and the way from the first to the second."""
    pairs = [(math.dist(a.at, b.at) - (a.width + b.width) / 2, a, b) for a in ROUND for b in ROUND if a.code < b.code]
    web, a, b = min(pairs, key=lambda row: row[0])
    far = math.dist(a.at, b.at)
    return a, b, web, ((b.at[0] - a.at[0]) / far, (b.at[1] - a.at[1]) / far)


def done(*marks: Mark) -> ResolvedBoard:
    return replace(BOARD, as_built=AsBuilt(marks))


def said_of(finding: Finding) -> tuple[str, str, tuple[str, ...], float]:
    return finding.rule, finding.severity, finding.subjects, round(finding.measured or 0.0, 6)


def test_all_as_drawn_is_the_report_of_the_design_itself() -> None:
    seen = judged(done(*(cut.marked(when=WHEN) for cut in board_cuts(BOARD))))
    assert real_board(seen) is seen
    assert harm_of(seen, real_board(seen)) == ()


def test_a_hole_off_towards_its_neighbour_says_the_web_there_is() -> None:
    """The web is what the distance of the centres leaves less both radii, whatever a rule adds to it."""
    a, b, web, way = neighbours()
    mark = a.marked((1.2 * way[0], 1.2 * way[1]), when=WHEN)
    said = came_out(judged(done(mark)), mark)
    assert said[0] == "Drilled 1.2 mm off."
    left = math.floor((web - 1.2) * 100 + 1e-6) / 100  # rounded down: never more than there is
    assert said[1] == f"The web to {b.name} is now {left:g} mm; drawn it was {round(web, 2):g} mm."


def test_so_far_off_that_it_no_longer_fits_is_said_at_once() -> None:
    a, b, web, way = neighbours()
    mark = a.marked(((web - 1.0) * way[0], (web - 1.0) * way[1]), when=WHEN)
    seen = judged(done(mark))
    harm = harm_of(seen, real_board(seen))
    assert any(one.severity == "stop" and {a.key.placement, b.key.placement} <= set(one.subjects) for one in harm)
    met = a.marked(((web + 1.0) * way[0], (web + 1.0) * way[1]), when=WHEN)
    assert f"The web to {b.name} is gone: they run into each other" in came_out(judged(done(met)), met)[1]


@given(st.sampled_from(ROUND), st.floats(-3, 3), st.floats(-3, 3), st.floats(-0.2, 0.8))
@examples(25)
def test_the_real_board_is_judged_as_a_design_with_its_holes_there_would_be(
    cut: BoardCut, dx: float, dy: float, wider: float
) -> None:
    """For a part in one hole: moved by hand in the design, with that width, the rules find the same."""
    mark = cut.marked((dx, dy), measured=cut.width + wider, when=WHEN)
    real = real_board(judged(done(mark)))
    placed = BOARD.placed(cut.key.placement)
    assert placed is not None
    there = real.resolved.placed(placed.id)
    assert there is not None
    if there.part is placed.part:  # all of it moved with its hole
        moved = placed.moved(dx, dy)
        hole = replace(moved.holes[0], shape=replace(moved.holes[0].shape, radius=(cut.width + wider) / 2))
        by_hand = judged(
            BOARD.populated(tuple(replace(moved, holes=(hole,)) if p.id == placed.id else p for p in BOARD.placements))
        )
        assert sorted(map(said_of, real.report.findings)) == sorted(map(said_of, by_hand.report.findings))
    assert there.holes[0].centre == pytest.approx(mark.centre)


def test_a_hole_of_a_deleted_part_is_still_in_the_way() -> None:
    a, b, web, way = neighbours()
    mark = a.marked(((web - 0.5) * way[0], (web - 0.5) * way[1]), when=WHEN)
    board = done(mark).populated(tuple(p for p in BOARD.placements if p.id != a.key.placement))
    seen = judged(board)
    harm = harm_of(seen, real_board(seen))
    assert any(b.key.placement in one.subjects and f"old hole {a.name}" in one.sentence for one in harm), harm
    assert gone_marks(board) == (mark,)


def test_a_hole_of_another_width_than_the_design_has_now_is_named() -> None:
    cut = ROUND[0]
    mark = replace(cut, width=cut.width - 2).marked(when=WHEN)
    assert other_widths(done(mark)) == ((mark, cut.width),)
