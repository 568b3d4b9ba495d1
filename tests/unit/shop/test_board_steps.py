"""The drilling run taken apart: every cut once, in the order of the run, each by a key of its own."""

from __future__ import annotations

from collections import Counter

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_list
from app.model.resolved import ResolvedBoard
from app.service.edits.makers import board_made
from app.shop.board_steps import board_cuts, board_steps
from app.shop.drilling_run import cuts_of, drilling_run


def boards(name: str) -> list[ResolvedBoard]:
    design = load_scenario(name)
    for maker in ("grille", "fan", "sockets"):
        design = board_made(maker, {})(design).design
    return [resolve(design, b.id, a.id, catalogue()) for b in design.boards for a in b.arrangements]


@pytest.mark.parametrize("name", [each.id for each in scenario_list()])
def test_every_cut_of_the_run_is_one_step_and_what_is_set_up_stands_before_it(name: str) -> None:
    for board in boards(name):
        steps, run, cuts = board_steps(board), drilling_run(board), board_cuts(board)
        assert len({step.code for step in steps}) == len(steps)
        made = [step.cut for step in steps if step.cut is not None]
        assert Counter(made) == Counter(cuts), "each cut once, and none left over"
        assert len(made) == len(cuts_of(board)) == sum(step.count for step in run)
        seen = list(dict.fromkeys(id(step.run) for step in steps))
        assert len(seen) == len(run), "no step of the run is left out"
        for k, step in enumerate(steps):
            if step.cut is None:
                assert steps[k + 1].cut is not None, "something is made with what is set up"
                assert steps[k + 1].run is step.run
            else:
                assert (step.cut.work, step.cut.face, step.cut.depth) == (step.run.work, step.run.face, step.run.depth)
        assert sum(step.cut is None for step in steps) == sum(
            each.turn or each.change or k == 0 for k, each in enumerate(run)
        )
        assert sum(step.minutes for step in steps) == pytest.approx(sum(each.minutes for each in run))


def test_a_bit_that_does_not_reach_through_makes_each_hole_in_two_steps() -> None:
    design = load_scenario("pine-shelf-compact")
    short = tuple(bit.model_copy(update={"reach": 12.0}) if bit.diameter > 20 else bit for bit in design.shop.bits)
    design = design.model_copy(update={"shop": design.shop.model_copy(update={"bits": short})})
    board = resolve(design, None, None, catalogue())
    steps = [step.cut for step in board_steps(board) if step.cut is not None]
    halves = [cut for cut in steps if cut.work == "halfway"]
    assert halves and all(cut.face == "under" and cut.depth is not None for cut in halves)
    for half in halves:
        through = next(k for k, cut in enumerate(steps) if cut.key == half.key and cut.work == "through")
        assert steps.index(half) < through
    assert len(steps) == len(cuts_of(board))


@pytest.mark.parametrize("name", [each.id for each in scenario_list()])
def test_each_centre_is_piloted_then_bored_then_opened(name: str) -> None:
    order = {"pilot": 0, "counterbore": 1, "recess": 1, "through": 2, "opening": 2}
    for board in boards(name):
        at: dict[tuple[float, float], list[int]] = {}
        for step in board_steps(board):
            if step.cut is not None and step.cut.work in order:
                at.setdefault((round(step.cut.at[0], 6), round(step.cut.at[1], 6)), []).append(order[step.cut.work])
        assert at
        assert all(works == sorted(works) for works in at.values())
