"""Several ways to make room: the other where one fails, a part where none clears all, and nothing made worse."""

from __future__ import annotations

import pytest
from hypothesis import given

from app.fit.finding import Finding
from app.fit.report.report import check
from app.geometry.outline import rectangle_outline
from app.room import several
from app.room.make import Attempt, Case, attempt, shifted
from app.room.partly import partly
from app.room.several import room_on
from app.values import replace
from tests.laws.test_room_laws import decks
from tests.long_run import examples
from tests.unit.fit.boards import CATALOGUE, at, board, button

# Holes of 28 mm with a web of 5 mm between them and 12 mm to the edge: three in a row need 26 + 33 + 33 + 26 mm.
NARROW = rectangle_outline(118, 52)


def told_apart(found: tuple[Finding, ...]) -> dict[tuple[str, tuple[str, ...], str], tuple[bool, float]]:
    """How grave each finding is, by what it is about."""
    worst: dict[tuple[str, tuple[str, ...], str], tuple[bool, float]] = {}
    for f in found:
        key = f.rule, f.subjects, f.detail.edge
        worst[key] = max(worst.get(key, (False, 0.0)), (f.severity == "stop", f.lack))
    return worst


def assert_no_worse(found: Attempt) -> None:
    """Every finding on the changed board was there before, and lacks at most 0.02 mm more."""
    assert found.after is not None
    assert found.after == check(shifted(found.board, {m.placement: (m.dx, m.dy) for m in found.moves}), CATALOGUE)
    before = told_apart(found.before.open)
    for key, (stop, lack) in told_apart(found.after.open).items():
        assert key in before
        was_stop, was_lack = before[key]
        assert was_stop >= stop
        assert was_stop > stop or lack <= was_lack + 0.02 + 1e-6


def test_where_not_all_can_be_cleared_a_part_is_and_said_to_be_one() -> None:
    clear = (at(300, 26, name="d"), at(331, 26, name="e"))  # 33 mm is needed, and there is room for it
    wide = at(100, 26, button(40, flange=44), name="b")  # 12 mm to each edge and a hole of 40 mm are more than 52 mm
    found = room_on(board(wide, *clear, outline=rectangle_outline(400, 52)), CATALOGUE)
    assert not found.is_whole
    assert found.asked.after is None
    assert {s for f in found.best.cleared for s in f.subjects} == {"d", "e"}
    assert found.best.left
    assert len(found.best.cleared) + len(found.best.left) == len(found.best.wanted)
    assert_no_worse(found.best)


@pytest.mark.parametrize(("room", "moves"), [(65.9, {}), (66.0, {"b": (0.2, 0.0)})])
def test_a_board_with_room_for_none_of_it_is_left_alone(room: float, moves: dict[str, tuple[float, float]]) -> None:
    """Between two locked parts a third wants twice 28 mm of hole and 5 mm of web, and has no way but along the row."""
    row = (at(26, 26, name="a", locked=True), at(26 + 32.8, 26, name="b"), at(26 + room, 26, name="c", locked=True))
    found = room_on(board(*row, outline=NARROW), CATALOGUE)
    assert [(f.rule, f.subjects) for f in found.asked.wanted] == [("web", ("a", "b"))]
    assert {m.placement: (m.dx, m.dy) for m in found.best.moves} == moves
    assert (found.best.after is not None) == found.is_whole == bool(moves)


@pytest.mark.parametrize("asked", [False, True])
def test_the_other_way_is_tried_where_the_one_that_is_asked_for_fails(
    asked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    stations = [
        replace(at(60 + 60 * k + 4 * n, 60 + 60 * n, name=f"{s}{k}"), station=s)
        for n, s in enumerate("vw")
        for k in range(3)
    ]
    moved = [replace(p, x=p.x, y=p.y - 30) if p.station == "w" else p for p in stations]
    judged = board(*moved, outline=rectangle_outline(400, 300))

    def failing(*args: object, rigid: bool = False, **more: object) -> Attempt:
        found = attempt(*args, rigid=rigid, **more)  # type: ignore[arg-type]
        return Attempt(found.board, found.before, found.wanted, (), None, rigid=rigid) if rigid is asked else found

    monkeypatch.setattr(several, "attempt", failing)
    found = room_on(judged, CATALOGUE, rigid=asked)
    assert found.is_whole
    assert found.best.rigid is not asked
    assert found.tried == (asked, not asked)
    assert_no_worse(found.best)


@examples(25)
@given(decks(2, 9))
def test_a_part_of_the_way_never_makes_anything_worse(judged: object) -> None:
    found = partly(Case(judged, CATALOGUE))  # type: ignore[arg-type]
    if found.after is not None:
        assert len(found.left) < len(found.wanted)
        assert_no_worse(found)
        assert not {p.id for p in found.board.placements if p.locked} & {m.placement for m in found.moves}


def test_what_stations_give_passes_the_rules() -> None:
    stations = [
        replace(at(60 + 36 * k + 8 * n, 80 + 5 * n, name=f"{s}{k}"), station=s)
        for n, s in enumerate("vw")
        for k in range(3)
    ]
    found = room_on(board(*stations, outline=rectangle_outline(500, 300)), CATALOGUE, rigid=True)
    assert found.is_whole
    assert_no_worse(found.best)
    assert found.best.after is not None
    assert not found.best.after.open
