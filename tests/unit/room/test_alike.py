"""What is alike stays alike: mirror pairs, stations of one shape; what is given up only where there is no way else."""

from __future__ import annotations

import pytest

from app.fit.report.report import check
from app.geometry.outline import rectangle_outline
from app.model.resolved import Placed, ResolvedBoard
from app.room.degrees_of_freedom import degrees_of_freedom
from app.room.make import Attempt, attempt
from app.values import replace
from tests.unit.fit.boards import CATALOGUE, at, board

WIDE = rectangle_outline(600, 200)
NEEDED = 33.0  # mm between two of these parts: holes 28 mm wide and a web of 5 mm


def station(name: str, x: float, y: float, *steps: tuple[float, float]) -> list[Placed]:
    """Parts of a station, their steps counted from its first."""
    spots = [(0.0, 0.0), *steps]
    return [replace(at(x + dx, y + dy, name=f"{name}{k}"), station=name) for k, (dx, dy) in enumerate(spots)]


def tried(judged: ResolvedBoard, **options: bool) -> Attempt:
    found = attempt(judged, CATALOGUE, **options)  # type: ignore[arg-type]
    assert found.after is not None
    assert not found.after.open
    return found


def shape_of(found: Attempt, name: str) -> list[tuple[float, float]]:
    """Steps from the first part of a station to its others."""
    assert found.after is not None
    first, *others = (p for p in found.after.board.placements if p.station == name)
    return [(round(p.x - first.x, 6), round(p.y - first.y, 6)) for p in others]


def test_stations_of_one_shape_stay_of_one_shape() -> None:
    steps = ((31.0, 6.0), (70.0, 3.0))  # the first two are 1.4 mm too near
    judged = board(*station("one", 100, 90, *steps), *station("two", 360, 110, *steps), outline=WIDE)
    found = tried(judged)
    assert not found.loose
    assert shape_of(found, "one") == shape_of(found, "two") != [(31.0, 6.0), (70.0, 3.0)]


def test_one_station_moves_as_the_other_must() -> None:
    # Only in the first is something in the way; the second has the room to do as the first does.
    steps = ((40.0, 0.0), (80.0, 0.0))
    post = at(100, 130, name="post", locked=True)
    judged = board(*station("one", 100, 99, *steps), *station("two", 360, 99, *steps), post, outline=WIDE)
    found = tried(judged)
    assert not found.loose
    assert shape_of(found, "one") == shape_of(found, "two")
    moved = {m.placement for m in found.moves}
    assert {"one0", "two0"} <= moved


def test_stations_are_let_go_where_they_cannot_stay_alike() -> None:
    # A row of four cells between locked parts 72 mm apart, one part in each: 33 to 39 mm after the one before it.
    # The stations are 154 mm apart, the cells 144: whatever moves both alike leaves one of them too near.
    posts = [at(26 + 72 * k, 26, name=f"post{k}", locked=True) for k in range(5)]
    steps = ((75.0, 0.0),)
    low = rectangle_outline(340, 52)  # so low that a centre has no way but along 26 mm
    judged = board(*posts, *station("one", 57, 26, *steps), *station("two", 211, 26, *steps), outline=low)
    found = tried(judged)
    assert found.loose
    assert {m.placement: m.dx for m in found.moves} == pytest.approx({"one0": 2.0, "two0": -2.0, "two1": -5.0})


def test_stations_that_mirror_each_other_are_kept_so_and_not_as_likenesses() -> None:
    one = station("one", 120, 100, (31.0, 6.0))
    two = [replace(p, id=f"m{p.id}", x=600 - p.x, angle=-p.angle, station="two") for p in one]
    two = [replace(at(p.x, p.y, name=p.id), station="two") for p in two]
    found = tried(board(*one, *two, outline=WIDE))
    assert found.after is not None
    assert not found.loose
    for p in one:
        a, b = found.after.board.placed(p.id), found.after.board.placed(f"m{p.id}")
        assert isinstance(a, Placed)
        assert isinstance(b, Placed)
        assert a.x + b.x == pytest.approx(600)
        assert a.y == pytest.approx(b.y)


def test_the_image_of_a_locked_part_stays_while_there_is_another_way() -> None:
    # The pair a and b about 300; a is locked. c is too near to b and can give way itself.
    judged = board(at(200, 100, name="a", locked=True), at(400, 100, name="b"), at(431, 100, name="c"), outline=WIDE)
    found = tried(judged)
    assert not found.loose
    assert [(m.placement, m.dx, m.dy) for m in found.moves] == [("c", 2.0, 0.0)]


def test_the_image_of_a_locked_part_goes_where_nothing_else_can() -> None:
    # As above, but c is locked too: only b can make room, and is no longer the image of a.
    judged = board(
        at(200, 100, name="a", locked=True),
        at(400, 100, name="b"),
        at(431, 100, name="c", locked=True),
        outline=WIDE,
    )
    found = tried(judged)
    assert found.loose
    assert [(m.placement, m.dx, m.dy) for m in found.moves] == [("b", -2.0, 0.0)]


def test_a_pair_that_can_move_together_is_never_given_up() -> None:
    # The pair would have to part for b alone to get out from between the two locked ones: it goes out with a.
    judged = board(at(200, 100, name="a"), at(400, 100, name="b"), at(431, 100, name="c", locked=True), outline=WIDE)
    found = tried(judged)
    assert not found.loose
    assert {m.placement: (m.dx, m.dy) for m in found.moves} == {"a": (2.0, 0.0), "b": (-2.0, 0.0)}


def test_stations_that_move_as_a_whole_keep_their_shape_and_are_not_tied_to_each_other() -> None:
    steps = ((40.0, 0.0), (80.0, 0.0))
    judged = board(*station("one", 20, 100, *steps), *station("two", 360, 100, *steps), outline=WIDE)
    found = tried(judged, rigid=True)
    assert {m.placement: (m.dx, m.dy) for m in found.moves} == {f"one{k}": (6.0, 0.0) for k in range(3)}


def test_parts_that_happen_to_be_as_far_apart_are_no_stations_of_one_shape() -> None:
    # Of four parts each only one has a likeness: that is chance.
    one = station("one", 100, 100, (45.0, 5.0), (90.0, -8.0), (135.0, 0.0))
    two = station("two", 350, 100, (41.0, -9.0), (93.0, 7.0), (139.0, -3.0))
    loose, kept = (degrees_of_freedom(board(*one, *two, outline=WIDE), loose=given_up) for given_up in (True, False))
    assert kept.unit == loose.unit


def test_a_board_without_room_to_make_is_not_touched_whatever_is_alike() -> None:
    judged = board(*station("one", 100, 90, (40.0, 6.0)), *station("two", 360, 110, (40.0, 6.0)), outline=WIDE)
    assert not check(judged, CATALOGUE).open
    assert attempt(judged, CATALOGUE).moves == ()
