"""Room made on small boards, where the smallest shift is known on paper."""

from __future__ import annotations

import math

import pytest

from app.fit.report.report import check
from app.geometry.outline import rectangle_outline
from app.geometry.shapes import rectangle
from app.model.accepted import Accepted
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.resolved import Placed, ResolvedBoard
from app.room.make import Attempt, Follower, attempt, shifted
from app.values import replace
from tests.unit.fit.boards import CATALOGUE, at, board, button

WIDE = rectangle_outline(400, 200)


def tried(judged: ResolvedBoard, **options: object) -> Attempt:
    found = attempt(judged, CATALOGUE, **options)  # type: ignore[arg-type]
    if found.moves:
        assert found.after is not None
        assert found.after == check(shifted(judged, {m.placement: (m.dx, m.dy) for m in found.moves}), CATALOGUE)
    return found


def apart(found: Attempt, one: str, other: str) -> float:
    assert found.after is not None
    a, b = (found.after.board.placed(i) for i in (one, other))
    assert isinstance(a, Placed)
    assert isinstance(b, Placed)
    return math.hypot(a.x - b.x, a.y - b.y)


def test_a_board_that_is_clear_moves_nothing() -> None:
    found = tried(board(at(100, 100, name="a"), at(200, 100, name="b"), outline=WIDE))
    assert found.moves == ()
    assert found.after is found.before


def test_two_flanges_part_by_what_is_missing_and_no_more() -> None:
    # Flanges 32 mm with 0.5 mm between need 32.5 mm; there are 31: the sum of the two shifts is 1.5 mm.
    found = tried(board(at(100, 100, name="a"), at(131, 100, name="b"), at(300, 60, name="c"), outline=WIDE))
    assert found.after is not None
    assert not found.after.open
    assert apart(found, "a", "b") == pytest.approx(33.0)  # holes 28 mm and a web of 5 mm ask for more than the flanges
    assert found.total == pytest.approx(2.0, abs=0.01)
    assert {m.placement for m in found.moves} <= {"a", "b"}


def test_an_edge_is_left_straight_inward() -> None:
    # A hole of 28 mm keeps 12 mm to the edge: its centre at 26 mm.
    found = tried(board(at(20, 100, name="a"), at(200, 100, name="b"), outline=WIDE))
    assert [(m.placement, m.dx, m.dy) for m in found.moves] == [("a", 6.0, 0.0)]


def test_what_is_locked_stays_and_the_other_gives_way() -> None:
    found = tried(board(at(100, 100, name="a", locked=True), at(131, 100, name="b"), outline=WIDE))
    assert {m.placement for m in found.moves} == {"b"}
    assert found.total == pytest.approx(2.0, abs=0.01)


def test_two_locked_parts_are_not_asked_to_move() -> None:
    found = tried(board(at(100, 100, name="a", locked=True), at(131, 100, name="b", locked=True), outline=WIDE))
    assert found.wanted == ()
    assert found.before.open


def test_undrilled_parts_stay_and_are_in_nobodys_way() -> None:
    found = tried(board(at(100, 100, name="a", drill=False), at(131, 100, name="b"), outline=WIDE))
    assert found.moves == ()


def test_a_mirror_pair_stays_a_mirror_pair() -> None:
    # About the centre line at 200: the pair is too close across it, and c lies on it.
    found = tried(
        board(at(185, 100, name="a"), at(215, 100, name="b"), at(200, 150, name="c"), outline=WIDE),
    )
    assert found.after is not None
    a, b, c = (found.after.board.placed(i) for i in "abc")
    assert a is not None
    assert b is not None
    assert c is not None
    assert a.x + b.x == pytest.approx(400)
    assert a.y == pytest.approx(b.y)
    assert c.x == pytest.approx(200)
    assert not found.after.open
    assert b.x - a.x >= 33 - 1e-6


def test_a_rigid_station_moves_as_one() -> None:
    station = [replace(at(20 + 40 * k, 100, name=f"p{k}"), station="one") for k in range(3)]
    found = tried(board(*station, outline=WIDE), rigid=True)
    assert {m.placement: (m.dx, m.dy) for m in found.moves} == {f"p{k}": (6.0, 0.0) for k in range(3)}
    loose = tried(board(*station, outline=WIDE))
    assert loose.total < found.total


def test_an_area_a_rail_a_slot_and_a_sloping_depth_are_kept() -> None:
    deep = button(depth=60, wiring=True)
    found = tried(
        board(
            at(100, 30, deep, name="a"),
            at(200, 100, deep, name="b"),
            at(300, 180, deep, name="c"),
            outline=WIDE,
            depth=DepthPlane(40, 0, 0.3),
            edges=(EdgeFeature("front", rail=30), EdgeFeature("back", slot_depth=10)),
            keep_clear=(KeepClear("under", rectangle(20, 20, 205, 100), "lamp"),),
        )
    )
    assert {"depth-below", "rail-clash", "edge-distance", "edge-slot"} <= {f.rule for f in found.wanted}
    assert found.after is not None
    assert not found.after.open


def test_an_accepted_caution_is_left_in_peace() -> None:
    tight = (at(100, 100, name="a"), at(132.6, 100, name="b"))  # a web of 4.6 mm: a caution
    accepted = (Accepted("web", ("a", "b"), 4.6, "Tried it."),)
    found = tried(board(*tight, outline=WIDE, accepted=accepted))
    assert found.moves == ()
    # Something else moves one of them; the accepted web may not get thinner.
    near = tried(board(*tight, at(100, 140, name="c"), at(100, 171, name="d"), outline=WIDE, accepted=accepted))
    assert near.after is not None
    assert not near.after.open


def test_where_there_is_no_way_nothing_is_offered() -> None:
    small = board(at(40, 30, name="a"), at(60, 30, name="b"), outline=rectangle_outline(80, 60))
    found = tried(small)
    assert found.wanted
    assert found.moves == ()
    assert found.after is None


def test_what_no_move_clears_does_not_stand_in_the_way() -> None:
    long = button(depth=120)
    found = tried(
        board(at(100, 100, long, name="a"), at(131, 100, long, name="b"), outline=WIDE, depth=DepthPlane(50, 0, 0))
    )
    assert found.after is not None
    assert {f.rule for f in found.after.open} == {"depth-below"}
    assert found.moves


def test_a_shared_hole_does_not_run_into_what_stands_in_another_arrangement() -> None:
    shared = (at(100, 100, name="a"), at(131, 100, name="b"))
    blocked = board(*shared, at(67, 100, name="q"), outline=WIDE)
    main = board(*shared, outline=WIDE)
    found = tried(main, followers=(Follower(blocked, frozenset("ab")),))
    assert found.after is not None
    assert not found.after.open
    moved = shifted(blocked, {m.placement: (m.dx, m.dy) for m in found.moves})
    assert {f.subjects for f in check(moved, CATALOGUE).open} <= {f.subjects for f in check(blocked, CATALOGUE).open}


def test_the_order_of_placements_does_not_matter() -> None:
    parts = [at(100 + 29 * k, 100 + 7 * (k % 2), name=f"p{k}") for k in range(6)]
    one, other = tried(board(*parts, outline=WIDE)), tried(board(*reversed(parts), outline=WIDE))
    assert one.total == pytest.approx(other.total, abs=0.05)


def test_shifts_are_in_tenths_of_a_millimetre() -> None:
    found = tried(board(at(100, 100, name="a"), at(120, 117, name="b"), at(95, 122, name="c"), outline=WIDE))
    assert found.moves
    for m in found.moves:
        assert round(m.dx * 10, 6) == round(m.dx * 10)
        assert round(m.dy * 10, 6) == round(m.dy * 10)
