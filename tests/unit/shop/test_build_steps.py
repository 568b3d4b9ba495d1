"""Steps of building: what is there decides which there are, and everything is in exactly one step of its kind."""

from __future__ import annotations

from collections import Counter

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_list
from app.model.board import EdgeFeature
from app.model.material import Layer
from app.model.own_steps import NO_OWN_STEPS, OwnSteps, OwnWords
from app.model.resolved import ResolvedBoard
from app.shop.build_steps.board_steps import is_mounted
from app.shop.build_steps.build_step import STAGES, BuildStep, stage_of
from app.shop.build_steps.design_steps import build_steps
from app.shop.build_steps.listing import listed_steps
from app.shop.drilling_run import cuts_of, drilling_run
from app.values import replace
from tests.companions import with_companions
from tests.unit.fit.boards import board as plain_board

SCENARIOS = [each.id for each in scenario_list()]


def boards_of(name: str) -> tuple[ResolvedBoard, ...]:
    design = load_scenario(name)
    return tuple(resolve(design, board.id, None, catalogue()) for board in design.boards)


def works(*boards: ResolvedBoard) -> list[str]:
    return [step.work for step in build_steps(boards)]


def of(material: str, thickness: float = 12.0) -> Layer:
    return Layer(catalogue().materials[material], thickness)


@pytest.mark.parametrize("name", SCENARIOS)
def test_each_hole_screw_and_part_is_in_exactly_one_step_of_its_kind(name: str) -> None:
    """Pilots, counterbores, recesses, through holes, openings, screw pilots; screws driven; parts mounted."""
    for board in boards_of(name):
        steps = build_steps([board])
        made = Counter[tuple[str, str, float, float | None]]()
        for step in steps:
            for run in step.runs:
                made[run.work, run.face, round(run.width, 6), run.depth] += run.count
        assert made == Counter((cut.work, cut.face, round(cut.width, 6), cut.depth) for cut in cuts_of(board))
        runs = [run for step in steps for run in step.runs]
        assert len(runs) == len({id(run) for run in runs})
        assert Counter(runs) == Counter(drilling_run(board))
        mounted = Counter(placed.id for step in steps if step.work == "mount" for placed in step.placements)
        assert mounted == Counter(placed.id for placed in board.drilled if is_mounted(placed))
        screws = sum(len(p.screws) for step in steps if step.work == "mount" for p in step.placements)
        assert screws == sum(len(placed.screws) for placed in board.drilled if is_mounted(placed))
        assert sum(step.work == "openings" for step in steps) == bool(
            board.openings or any(not hole.is_circle for placed in board.drilled for hole in placed.holes)
        ), "inner openings of the outline are sawn once"


@pytest.mark.parametrize("name", SCENARIOS)
def test_the_order_is_that_of_the_work(name: str) -> None:
    """Stage by stage for all boards; on each centre pilot, counterbore, through (design of the drilling run)."""
    steps = build_steps(boards_of(name))
    stages = [stage_of(step.key) for step in steps]
    assert stages == sorted(stages)
    assert len({step.key for step in steps}) == len(steps)
    for board in boards_of(name):
        own = [step.work for step in steps if step.key.endswith(f"/{board.id}")]
        assert own == sorted(own, key=[work for stage in STAGES for work in stage].index)
    kinds = [step.work for step in steps]
    assert kinds[0] == "cut"
    assert kinds[-1] == "close"
    assert "paint" not in kinds, "no scenario sets paint"


@pytest.mark.parametrize("name", SCENARIOS)
def test_a_board_is_turned_when_the_other_face_is_worked_and_not_else(name: str) -> None:
    for board in boards_of(name):
        below = False
        for step in build_steps([board]):
            if step.runs:
                face = step.runs[0].face == "under"
                assert {run.face == "under" for run in step.runs} == {face}
                assert step.turned == (face != below)
                below = face


def test_materials_decide_what_is_finished() -> None:
    mdf = plain_board(layers=(of("mdf", 18.0),))
    ply, acrylic, steel = (plain_board(layers=(of(m),)) for m in ("plywood", "acrylic", "steel"))
    assert {"sand", "seal", "ease"} <= set(works(mdf))
    assert {"sand", "seal", "ease"} <= set(works(ply))
    for bare in (acrylic, steel):
        assert "ease" in works(bare)
        assert not {"sand", "seal", "fill", "caulk", "paint", "round"} & set(works(bare))
    assert "layers" in works(replace(mdf, layers=(of("acrylic", 3.0), of("mdf", 15.0))))
    assert "layers" not in works(mdf)
    covered = replace(mdf, layers=(of("acrylic", 3.0), of("mdf", 15.0)), role="deck")
    assert "round" not in works(covered), "no router on an acrylic face"


def test_what_is_there_decides() -> None:
    bare = plain_board(layers=(of("mdf", 18.0),))
    assert not {"slot", "moulding", "rails", "fill", "caulk", "paint", "legends"} & set(works(bare))
    slotted = replace(bare, role="deck", edges=(EdgeFeature("front", 10.0),))
    assert {"slot", "moulding"} <= set(works(slotted))
    assert "round" not in works(slotted), "moulding or a round edge, not both"
    assert "round" in works(replace(slotted, edges=()))
    railed = replace(bare, edges=(EdgeFeature("left", 0.0, 18.0),))
    assert {"rails", "fill"} <= set(works(railed))
    assert "caulk" not in works(railed), "nothing is painted over it"
    assert {"paint", "caulk"} <= set(works(replace(railed, paint=0.2)))
    assert "fill" in works(bare, replace(bare, id="other")), "two boards meet in a joint"


def steps_with(*keys: str) -> list[BuildStep]:
    board = plain_board()
    return [BuildStep(key, key.partition("/")[0], (board,)) for key in keys]  # type: ignore[arg-type]


def listed(steps: list[BuildStep], own: OwnSteps, only: str = "") -> list[str]:
    return [step.key for step in listed_steps(steps, own, only)]


def test_without_anything_of_ones_own_the_list_is_the_usual_one() -> None:
    steps = steps_with("cut", "ease", "sand", "close")
    assert listed(steps, NO_OWN_STEPS) == ["cut", "ease", "sand", "close"]


def test_own_words_outlive_what_they_were_for_and_stand_where_it_stood() -> None:
    own = OwnSteps(worded=(OwnWords("paint", "Spray it red", "Twice.", "Paint"),))
    gone = listed_steps(steps_with("cut", "ease", "sand", "mount/deck/a", "close"), own)
    assert [step.key for step in gone] == ["cut", "ease", "sand", "paint", "mount/deck/a", "close"]
    assert [step.key for step in gone if step.is_gone] == ["paint"]
    back = listed_steps(steps_with("cut", "sand", "paint", "close"), own)
    assert not any(step.is_gone for step in back)
    assert back[2].own is not None
    assert back[2].own.title == "Spray it red"


def test_steps_of_other_boards_are_not_gone_where_one_board_is_looked_at() -> None:
    own = OwnSteps(worded=tuple(OwnWords(key, "x", "") for key in ("pilot/fan", "pilot/deck", "paint")))
    assert listed(steps_with("cut", "ease"), own, "deck") == ["cut", "pilot/deck", "ease"]


def test_a_new_step_follows_the_one_it_usually_follows() -> None:
    own = OwnSteps(order=("close", "cut", "own/1", "sand"), added=(OwnWords("own/1", "Have tea", ""),))
    assert listed(steps_with("cut", "slot", "ease", "sand", "close"), own) == [
        "close", "cut", "slot", "ease", "own/1", "sand",
    ]  # fmt: skip
    # What the order does not know, and what stands before all that it knows, begins the list.
    assert listed(steps_with("cut", "sand"), OwnSteps(order=("sand",))) == ["cut", "sand"]


def test_hidden_steps_stay_in_the_list_and_are_told_apart() -> None:
    found = listed_steps(steps_with("cut", "ease"), OwnSteps(hidden=frozenset({"ease", "gone"})))
    assert [(step.key, step.hidden) for step in found] == [("cut", False), ("ease", True)]


def test_companions_have_steps_of_their_own() -> None:
    design = with_companions()
    boards = [resolve(design, board.id, None, catalogue()) for board in design.boards]
    keys = {step.key for step in build_steps(boards)}
    assert {f"template/{board.id}" for board in boards} <= keys
