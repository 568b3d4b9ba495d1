"""People at work on one shelf, played by a load tool: a little of what ``python -m tests.bench.load`` does."""

from __future__ import annotations

import os
from importlib.util import find_spec

import pytest

from app.values import replace
from tests.bench.load import LIMIT, NO_TOOL, WAITED_FOR, Run, run
from tests.long_run import long

PEOPLE = 2


@long  # what the app answers is asked for elsewhere; this holds that the bench still runs
def test_people_at_work_are_all_answered_rightly() -> None:
    if find_spec("locust") is None:
        assert os.environ.get("CI") != "true", NO_TOOL
        pytest.skip(NO_TOOL)
    found = run("sqlite", PEOPLE, 60.0, pause=0.0, rounds=PEOPLE)
    assert not found.faults, found.first
    assert set(WAITED_FOR) <= found.times.keys()
    assert len(found.times["drag answer"]) > 2 * len(found.times["move put down"])
    assert all(time > 0.0 for times in found.times.values() for time in times)


def test_one_slow_kind_of_step_or_one_failure_misses_the_aim() -> None:
    quick = Run("sqlite", {what: [LIMIT - 1.0] * 100 for what in WAITED_FOR}, 0, ())
    assert all(aim.met for aim in quick.aims())
    few, many = ([LIMIT + 1.0] * slow + [1.0] * (100 - slow) for slow in (4, 6))  # under and over one in twenty
    for late, met in ((few, True), (many, False)):
        aims = replace(quick, times={**quick.times, "undo": late}).aims()
        assert [aim.met for aim in aims] == [met, True]
    assert [aim.met for aim in replace(quick, faults=1).aims()] == [True, False]
    assert not replace(quick, times={"undo": [1.0]}).aims()[0].met  # who never came to a step has not passed it
