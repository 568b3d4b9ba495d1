"""Numbers of a pattern's holes: from the middle outwards, and the same for each hole that stays when it grows."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from app.document.pattern_schema import PatternEntry
from app.document.patterns import pattern_of
from app.model.pattern import Pattern


def pattern(order: str, shape: str, width: float, height: float = 60.0, pitch: float = 9.0) -> Pattern:
    boundary: Any = {"shape": shape, "width": width, "height": height}
    entry = {"id": "s", "order": order, "hole": 5.0, "length": 20.0, "pitch": pitch, "boundary": boundary}
    return pattern_of(PatternEntry.model_validate(entry))


def numbered(made: Pattern) -> dict[tuple[int, int], int]:
    return {cell: number for number, cell in made.holes.by_number.items()}


def test_numbers_go_from_the_middle_outwards_and_round_from_the_right() -> None:
    """Around a hole of rows staggered at 60° six stand as far away, 60° apart: Euclid, IV.15."""
    holes = pattern("staggered-60", "circle", 30.0).holes
    assert holes.numbers.tolist() == [1, 2, 3, 4, 5, 6, 7]
    turns = [math.degrees(math.atan2(y, x)) % 360 for x, y in holes.centres[1:].tolist()]
    assert [round(turn, 6) for turn in turns] == [0, 60, 120, 180, 240, 300]


@given(
    order=st.sampled_from(["square", "staggered-60", "staggered-45", "rings", "slots"]),
    shape=st.sampled_from(["circle", "rectangle"]),
    before=st.tuples(st.floats(40, 90), st.floats(40, 90)),
    after=st.tuples(st.floats(40, 160), st.floats(40, 160)),
)
def test_a_hole_that_stays_keeps_its_number(
    order: str, shape: str, before: tuple[float, float], after: tuple[float, float]
) -> None:
    first = pattern(order, shape, *before)
    grown = pattern(order, shape, *after).numbered_as(first)
    was, now = numbered(first), numbered(grown)
    assert {cell: now[cell] for cell in was.keys() & now.keys()} == {
        cell: was[cell] for cell in was.keys() & now.keys()
    }
    assert len(set(now.values())) == len(now)
    again = pattern(order, shape, *before).numbered_as(grown)
    assert {cell: was[cell] for cell in was} == numbered(again)


def test_another_order_is_counted_anew() -> None:
    grown = pattern("square", "rectangle", 150.0).numbered_as(pattern("square", "rectangle", 50.0))
    assert grown.numbers
    assert not pattern("rings", "rectangle", 150.0).numbered_as(grown).numbers


def test_what_counting_anew_gives_is_not_written_down() -> None:
    """A circle grows by holes farther out than all it had."""
    assert not pattern("staggered-60", "circle", 120.0).numbered_as(pattern("staggered-60", "circle", 60.0)).numbers
