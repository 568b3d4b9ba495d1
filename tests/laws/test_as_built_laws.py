"""Laws of what was drilled: a run done to the end marks everything once, in whatever order it is pressed, and back."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.change import with_arrangement
from app.arrange.placement.edit import move, set_label
from app.catalogue.load import catalogue
from app.document.as_built import as_built_of
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_list
from app.document.schema import Design
from app.document.where import Where
from app.model.as_built import AsBuilt
from app.model.as_built_board import as_built_board
from app.model.resolved import ResolvedBoard
from app.service.edits.as_built import Said, cuts_marked, mark_cleared
from app.shop.board_steps import board_cuts, board_steps, not_done
from tests.long_run import examples, in_gate

WHERE = Where(None, None)
WHEN = Said("2026-02-01T10:30:00Z")
NAMES = [each.id for each in scenario_list()]


@cache
def scenario(name: str) -> Design:
    return load_scenario(name)


def board_of(design: Design) -> ResolvedBoard:
    return resolve(design, None, None, catalogue())


def built(design: Design) -> AsBuilt:
    return as_built_of(design.boards[0].arrangements[0])


@pytest.mark.parametrize("name", in_gate(NAMES, {"lantern-hill-solo", "pine-shelf-compact"}.__contains__))
def test_a_run_done_to_the_end_marks_every_hole_once_for_each_work_and_clears_to_what_it_was(name: str) -> None:
    design = scenario(name)
    codes = [step.code for step in board_steps(board_of(design)) if step.cut is not None]
    done = design
    for code in codes:
        done = cuts_marked(WHERE, code, WHEN)(done).design
        done = cuts_marked(WHERE, code, WHEN)(done).design  # and pressed twice
    assert [(m.key, m.work) for m in built(done).marks] == [
        (s.cut.key, s.cut.work) for s in board_steps(board_of(design)) if s.cut is not None
    ]
    assert not list(not_done(board_steps(board_of(done)), board_of(done)))
    assert loads(dumps(done)) == done
    assert as_built_board(board_of(done)).placements == board_of(done).placements, "all where it is drawn"
    for code in reversed(codes):
        done = mark_cleared(WHERE, code)(done).design
    assert done == design


@given(st.sampled_from(NAMES), st.data())
@examples(20)
def test_done_steps_stay_done_by_key_whatever_else_changes(name: str, data: st.DataObject) -> None:
    """Others move, are relettered or deleted, or the whole list is turned round: what is done of the rest stays."""
    design = scenario(name)
    board = board_of(design)
    cuts = board_cuts(board)
    chosen = data.draw(st.lists(st.sampled_from(cuts), min_size=1, max_size=5, unique=True))
    for cut in chosen:
        design = cuts_marked(WHERE, cut.code, WHEN)(design).design
    drilled = {cut.key.placement for cut in chosen}
    free = [p.id for p in design.boards[0].arrangements[0].placements if p.id not in drilled and not p.locked]
    if free:
        one = data.draw(st.sampled_from(free))
        design = move(design, None, None, one, 150.0, 90.0).design
        design = set_label(design, None, None, one, "Zz9").design
    design = with_arrangement(
        design, None, None, lambda a: a.model_copy(update={"placements": tuple(reversed(a.placements))})
    )
    after = board_of(design)
    todo = {step.code for step in not_done(board_steps(after), after)}
    assert todo == {cut.code for cut in cuts} - {cut.code for cut in chosen}
    assert len(built(design).marks) == len(chosen)
