"""Laws of editing several parts at once: aligned, spaced, mirrored, turned, copied; locked ones stay.

Expected places are formulas: extremes, means, equal steps, reflection about the middle of the board.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.arrange.change import Edit
from app.arrange.new_deck.new_deck import new_deck
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.placement.align import WAYS, align
from app.arrange.placement.mirror import mirror, mirror_copies
from app.arrange.placement.relative import bearing, place_away, place_beside
from app.arrange.placement.several import duplicate_all, lock, set_angles, set_parts, shift, turn
from app.arrange.placement.spacing import space
from app.arrange.station.copy_station import copy_station
from app.arrange.station.station_slots import find_station, standings
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.errors import EditError
from tests.long_run import examples
from tests.unit.document.designs import designs, small_design


def within(design: Design) -> ArrangementEntry:
    return design.boards[0].arrangements[0]


def placed(design: Design) -> dict[str, PlacementEntry]:
    return {p.id: p for p in within(design).placements}


def near(design: Design, lower: int = 2) -> list[str]:
    """Ids of parts whose places are ordinary enough for a formula to hold to a micrometre."""
    held = [p for p in within(design).placements if abs(p.x) < 5e4 and abs(p.y) < 5e4]
    assume(len(held) >= lower)
    return [p.id for p in held]


@examples(25)
@given(designs(), st.sampled_from(list(WAYS)))
def test_aligned_parts_share_one_coordinate_and_keep_the_other(design: Design, how: str) -> None:
    ids = near(design)
    before = placed(design)
    free = [i for i in ids if not before[i].locked]
    assume(free)
    after = placed(align(design, None, None, ids, how).design)
    axis, other = ("x", "y") if how in ("left", "centre", "right") else ("y", "x")
    held = [getattr(before[i], axis) for i in ids if before[i].locked] or [getattr(before[i], axis) for i in ids]
    low, high = min(held), max(held)
    wanted = {"left": low, "front": low, "right": high, "back": high}.get(how, (low + high) / 2)
    assert all(getattr(after[i], axis) == pytest.approx(wanted, abs=1e-6) for i in free)
    assert all(getattr(after[i], other) == getattr(before[i], other) for i in ids)
    assert all(after[i] == before[i] for i in before if i not in free), "locked ones and others stay"


@examples(25)
@given(designs(), st.sampled_from(["across", "along"]))
def test_spaced_parts_stand_at_equal_steps_between_what_stays(design: Design, how: str) -> None:
    ids = near(design, 3)
    axis = "x" if how == "across" else "y"
    try:
        after = placed(space(design, None, None, ids, how).design)
    except EditError:
        assert any(placed(design)[i].locked for i in ids)
        return
    before = placed(design)
    was, now = (sorted(getattr(held[i], axis) for i in ids) for held in (before, after))
    assert (now[0], now[-1]) == (was[0], was[-1])
    assert all(after[i] == before[i] for i in ids if before[i].locked)
    if not any(before[i].locked for i in ids):
        steps = [q - p for p, q in pairwise(now)]
        assert max(steps) - min(steps) < 1e-5


def test_a_locked_part_between_divides_the_row() -> None:
    design = small_design()
    design = mirror_copies(design, None, None, ["b", "c"]).design  # x = 100, 190, 232, 210, 168
    design = lock(design, None, None, ["e"], locked=True).design
    after = placed(space(design, None, None, list("abcde"), "across").design)
    assert [after[i].x for i in "aebdc"] == pytest.approx([100, 168, 168 + 64 / 3, 168 + 128 / 3, 232])


def test_a_row_is_spaced_by_its_ends() -> None:
    design = small_design()
    for number, ident in enumerate(("a", "b", "c")):
        design = shift(design, None, None, [ident], 0, number).design
    done = space(design, None, None, ["a", "b", "c"], "across")
    xs = sorted(p.x for p in placed(done.design).values())
    assert xs[1] == pytest.approx((xs[0] + xs[2]) / 2)
    assert done.summary.startswith("Spaced ") and "evenly left to right" in done.summary


@examples(25)
@given(designs())
def test_mirrored_twice_is_where_it_was(design: Design) -> None:
    ids = [i for i in near(design, 1) if not placed(design)[i].locked]
    assume(ids)
    once = mirror(design, None, None, ids).design
    corners = design.boards[0].outline.corners
    axis = (min(c.x for c in corners) + max(c.x for c in corners)) / 2
    before, after = placed(design), placed(once)
    twice = placed(mirror(once, None, None, ids).design)
    for i in ids:
        assert after[i].x + before[i].x == pytest.approx(2 * axis, abs=1e-5)
        assert after[i].y == before[i].y
        assert math.sin(math.radians(after[i].angle + before[i].angle)) == pytest.approx(0, abs=1e-6)
        assert twice[i].x == pytest.approx(before[i].x, abs=1e-5)


def test_mirror_copies_get_the_next_letters_and_none_lies_on_another() -> None:
    done = mirror_copies(small_design(), None, None, ["a", "b"])
    new = [p for p in within(done.design).placements if p.id in done.several]
    assert [p.label for p in new] == ["D", "E"]
    assert done.summary == "Copied A and B about the centre line as D and E"
    old = placed(small_design())
    assert [p.x for p in new] == [400 - old["a"].x, 400 - old["b"].x], "the small board is 400 mm wide"
    with pytest.raises(EditError, match="already a part at every mirrored position"):
        mirror_copies(done.design, None, None, ["a", "b"])
    assert loads(dumps(done.design)) == done.design


def test_turning_together_keeps_distances_and_quarter_turns_are_exact() -> None:
    design = small_design()
    before = placed(design)
    done = turn(design, None, None, ["a", "b", "c"], 90, together=True)
    after = placed(done.design)
    for p, q in (("a", "b"), ("b", "c")):
        was, now = (math.dist((d[p].x, d[p].y), (d[q].x, d[q].y)) for d in (before, after))
        assert now == pytest.approx(was, abs=1e-6)
    back = turn(done.design, None, None, ["a", "b", "c"], -90, together=True).design
    assert placed(back) == before
    assert done.summary == "Turned A, B and C together by 90° anticlockwise"
    alone = placed(turn(design, None, None, ["a", "b"], 15).design)
    assert (alone["a"].x, alone["a"].y, alone["a"].angle) == (before["a"].x, before["a"].y, before["a"].angle + 15)


def test_several_are_set_to_one_angle_and_one_part() -> None:
    done = set_angles(small_design(), None, None, ["a", "b"], 30)
    assert [placed(done.design)[i].angle for i in "ab"] == [30, 30]
    other = set_parts(small_design(), None, None, ["b", "c"], "button-24-nut-long", catalogue())
    assert {placed(other.design)[i].part for i in "bc"} == {"button-24-nut-long"}
    assert other.summary == "Made B and C each a Button, 24 mm hole, nut, long thread"


def test_copies_of_several_keep_their_distances_and_lie_clear_of_the_rest() -> None:
    design = small_design()
    done = duplicate_all(design, None, None, ["b", "c"], catalogue(), 1.0)
    before, after = placed(design), placed(done.design)
    b, c = (after[i] for i in done.several)
    assert (c.x - b.x, c.y - b.y) == pytest.approx((before["c"].x - before["b"].x, before["c"].y - before["b"].y))
    assert done.summary == "Duplicated B and C as D and E"
    # flanges of 34 mm and nuts of 37 mm: centres at least a nut's width apart
    assert all(math.hypot(new.x - p.x, new.y - p.y) >= 37 for new in (b, c) for p in before.values())


LOCKED: list[Callable[[Design], Edit]] = [
    lambda d: align(d, None, None, ["a", "b"], "left"),
    lambda d: shift(d, None, None, ["a", "b"], 5, 5),
    lambda d: turn(d, None, None, ["a", "b"], 45, together=True),
    lambda d: mirror(d, None, None, ["a", "b"]),
    lambda d: set_angles(d, None, None, ["a", "b"], 45),
]


@pytest.mark.parametrize("what", range(len(LOCKED)))
def test_what_is_locked_stays_whatever_is_done_to_all(what: int) -> None:
    half = lock(small_design(), None, None, ["a"], locked=True)
    assert half.summary == "Locked A"
    assert placed(LOCKED[what](half.design).design)["a"] == placed(half.design)["a"]
    full = lock(half.design, None, None, ["a", "b"], locked=True)
    assert full.summary == "Locked A and B"
    with pytest.raises(EditError, match=r"Everything selected is locked\. Unlock a part"):
        LOCKED[what](full.design)


def deck(**more: object) -> Design:
    return new_deck(NewDeck(title="T", players=2, width=760.0, depth=260.0, **more), catalogue())  # type: ignore[arg-type]


def test_a_station_copied_to_the_other_player_is_its_mirror_image() -> None:
    design = deck()
    design = shift(design, None, None, ["b"], -2.0, 3.0).design  # one moved by hand goes along
    done = copy_station(design, None, None, "s1")
    held = within(done.design)
    one = sorted((760 - p.x, p.y, p.part) for p in held.placements if p.station == "s1")
    two = sorted((p.x, p.y, p.part) for p in held.placements if p.station == "s2")
    assert [v for row in one for v in row[:2]] == pytest.approx([v for row in two for v in row[:2]], abs=1e-5)
    assert [p.label for p in held.placements] == [p.label for p in within(design).placements], "letters stay"
    assert done.summary == "Copied Player 1 as its mirror image to Player 2"
    assert find_station(held, "s2").mirrored is not find_station(held, "s1").mirrored
    stand = standings(find_station(held, "s2"), held)
    assert sum(s.by_hand for s in stand) == 1, "the station wants its parts where they are, but for the moved one"


def test_a_station_copied_as_it_is_keeps_its_hand() -> None:
    done = copy_station(deck(), None, None, "s1", mirror=False)
    held = within(done.design)
    one, two = ([p for p in held.placements if p.station == s] for s in ("s1", "s2"))
    shifts = {round(b.x - a.x, 6) for a, b in zip(sorted(one, key=_place), sorted(two, key=_place), strict=True)}
    assert len(shifts) == 1
    assert find_station(held, "s2").mirrored is find_station(held, "s1").mirrored
    assert not any(s.by_hand for s in standings(find_station(held, "s2"), held))


def _place(p: PlacementEntry) -> tuple[float, float]:
    return (p.x, p.y)


def test_a_second_player_is_added_with_the_next_letters() -> None:
    design = deck()
    held = within(design)
    alone = held.model_copy(
        update={
            "placements": tuple(p for p in held.placements if p.station == "s1"),
            "stations": tuple(s for s in held.stations if s.id == "s1"),
        }
    )
    board = design.boards[0].model_copy(update={"arrangements": (alone,)})
    design = design.model_copy(update={"boards": (board,)})
    done = copy_station(design, None, None, "s1")
    new = [p for p in within(done.design).placements if p.station == "s2"]
    old = {p.label for p in alone.placements}
    assert len(new) == len(alone.placements) and old.isdisjoint(p.label for p in new)
    assert loads(dumps(done.design)) == done.design
    with pytest.raises(EditError, match="crosses the middle") as caught:
        copy_station(shift(design, None, None, ["b"], 500, 0).design, None, None, "s1")
    assert caught.value.field == "station"


@given(st.floats(-300, 300), st.floats(-300, 300))
def test_placed_by_steps_and_by_bearing_is_the_same_place(dx: float, dy: float) -> None:
    design = small_design()
    stepped = placed(place_beside(design, None, None, "b", "a", dx, dy).design)
    a = stepped["a"]
    assert (stepped["b"].x - a.x, stepped["b"].y - a.y) == pytest.approx((dx, dy), abs=1e-5)
    far, angle = bearing((dx, dy), (0, 0))
    polar = placed(place_away(design, None, None, "b", "a", far, angle).design)["b"]
    assert (polar.x, polar.y) == pytest.approx((stepped["b"].x, stepped["b"].y), abs=1e-5)


def test_a_place_relative_to_another_part_names_it() -> None:
    design = small_design()
    assert place_beside(design, None, None, "b", "a", 38, -2).summary == "Placed B 38 mm right and 2 mm forward of A"
    assert place_away(design, None, None, "b", "a", 40, 90).summary == "Placed B 40 mm from A at 90°"
    up = placed(place_away(design, None, None, "b", "a", 40, 90).design)
    assert (up["b"].x, up["b"].y) == (up["a"].x, up["a"].y + 40), "a quarter turn is exact"


REFUSED: list[tuple[Callable[[Design], Edit], str, str]] = [
    (lambda d: align(d, None, None, ["a"], "left"), "how", "2 parts or more to line them up; 1 selected"),
    (lambda d: align(d, None, None, ["a", "b"], "up"), "how", "cannot be lined up “up”"),
    (lambda d: space(d, None, None, ["a", "b"], "across"), "how", "3 parts or more"),
    (lambda d: space(d, None, None, ["a", "b", "c"], "around"), "how", "Use across or along"),
    (lambda d: shift(d, None, None, ["a"], math.nan, 0), "dx", "not a finite number"),
    (lambda d: turn(d, None, None, ["a"], 400), "by", "from -360 to 360"),
    (lambda d: place_beside(d, None, None, "b", "b", 1, 1), "to", "cannot be placed from itself"),
    (lambda d: place_away(d, None, None, "b", "a", -1, 0), "distance", "from 0"),
    (lambda d: place_away(d, None, None, "b", "a", 1, 700), "direction", "from -360 to 360"),
]


@pytest.mark.parametrize("case", range(len(REFUSED)))
def test_what_cannot_be_done_is_said_beside_its_field(case: int) -> None:
    attempt, field, said = REFUSED[case]
    with pytest.raises(EditError, match=said) as caught:
        attempt(small_design())
    assert caught.value.field == field
