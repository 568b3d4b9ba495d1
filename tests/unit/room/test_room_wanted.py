"""Whether room is offered is told quickly, and as it would be told at length."""

from __future__ import annotations

import random

import pytest

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import scenario_list
from app.fit.report.report import Report, check
from app.service.room import room_wanted
from app.service.room.room import room_is_wanted
from app.service.room.room_wanted import room_is_offered
from tests.unit.fit.boards import CATALOGUE, at, board, button

SMALL, LARGE = button(24, part_id="small"), button(30, part_id="large")


def told(report: Report) -> bool:
    """As :func:`room_is_offered`, and as it takes longest."""
    assert room_is_offered(report) == room_is_wanted(report)
    return room_is_offered(report)


def test_every_scenario_is_told_alike() -> None:
    reports = [check(resolve(s.design, None, None, catalogue()), catalogue()) for s in scenario_list()]
    assert {told(report) for report in reports} == {True, False}


@pytest.mark.parametrize("seed", range(40))
def test_boards_of_any_kind_are_told_alike(seed: int) -> None:
    """Mirror pairs, locked and undrilled parts, and parts near each other, the edge and the middle."""
    rng = random.Random(seed)
    placed = []
    for k in range(rng.randint(1, 4)):
        x, y, part = rng.choice((14.0, 280.0, 290.0, 300.0)), rng.choice((60.0, 150.0)), rng.choice((SMALL, LARGE))
        held = {"locked": rng.random() < 0.15, "drill": rng.random() < 0.9}
        placed.append(at(x, y, part, name=f"a{k}", **held))  # type: ignore[arg-type]
        if rng.random() < 0.6:
            placed.append(at(600.0 - x, y, part, name=f"b{k}", **held))  # type: ignore[arg-type]
    told(check(board(*placed), CATALOGUE))


def test_images_of_each_other_in_the_middle_ask_at_length(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Report] = []

    def at_length(report: Report) -> bool:
        asked.append(report)
        return True

    monkeypatch.setattr(room_wanted, "room_is_wanted", at_length)
    for x, plain in ((290.0, False), (200.0, True)):
        pair = [at(x, 150.0, SMALL, name="a"), at(600 - x if not plain else x, 150.0 + 20.0 * plain, SMALL, name="b")]
        assert room_is_offered(check(board(*pair), CATALOGUE))
        assert bool(asked) != plain
        asked.clear()


def test_a_heap_is_taken_up_by_hand_first() -> None:
    heap = [at(200.0, 150.0, SMALL, name=f"p{k}") for k in range(30)]
    assert not room_is_offered(check(board(*heap), CATALOGUE))
