"""The pitch from a wanted open area or number of holes, and what cannot be drilled refused beside its field."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.pattern.figured import pattern_figures
from app.arrange.pattern.possible import possible
from app.arrange.pattern.solving import solved
from app.catalogue.load import catalogue
from app.document.pattern_schema import PatternEntry
from app.document.patterns import pattern_of
from app.errors import EditError
from tests.folding import each

ORDERS = ["square", "staggered-60", "staggered-45", "rings", "slots"]


def entry(**changes: object) -> PatternEntry:
    boundary: dict[str, Any] = {"width": 100.0}
    row = {"id": "p", "order": "staggered-60", "hole": 5.0, "pitch": 8.0, "length": 20.0, "boundary": boundary}
    return PatternEntry.model_validate({**row, **changes})


@each("many", [1, 7, 19, 37, 55, 61])
def test_the_numbers_of_holes_that_an_order_of_six_has_are_met(many: int) -> None:
    """Points of a hexagonal lattice round one: 1, 7, 13, 19, 31, 37, 43, 55, 61 (OEIS A038590, from memory)."""
    assert len(pattern_of(solved(entry(), "many", 0, many, "mm")).holes) == many


@each("wanted, got", [(8, 7), (11, 13), (26, 31), (50, 55)])
def test_of_other_numbers_the_nearest_is_taken(wanted: int, got: int) -> None:
    """The same list: 7 and 13, 19 and 31, 43 and 55 are neighbours in it; 50 is nearer to 55, and 26 to 31."""
    assert len(pattern_of(solved(entry(), "many", 0, wanted, "mm")).holes) == got


@given(order=st.sampled_from(ORDERS), middle=st.sampled_from(["hole", "gap"]), many=st.integers(1, 80))
def test_the_widest_pitch_that_gives_the_number_is_taken(order: str, middle: str, many: int) -> None:
    boundary = {"shape": "rectangle", "width": 240.0, "height": 180.0, "inset": 3.0}
    found = solved(entry(order=order, middle=middle, boundary=boundary), "many", 0, many, "mm")
    got = len(pattern_of(found).holes)
    wider = pattern_of(found.model_copy(update={"pitch": round(found.pitch + 0.01, 2)}))
    assert got == 1 or len(wider.holes) < got, "a hundredth wider and some are gone"


def test_a_wanted_open_area_gives_the_published_pitch() -> None:
    """Perforated sheet, round holes of 5 staggered at 60°, pitch 8: 90.69 (d/p)² = 35.43 % open, as published."""
    found = solved(entry(pitch=50.0), "share", 35.43, 0, "mm")
    assert found.pitch == pytest.approx(8, abs=0.005)


def test_figures_are_those_of_the_holes() -> None:
    """Seven holes of 5 mm in a circle of 30: by the areas of circles."""
    got = {f.name: f.value for f in pattern_figures(entry(boundary={"width": 30.0}, pitch=10.0), HAND, 10.0)}
    assert got["holes"] == 7
    assert got["open-area"] == pytest.approx(7 * math.pi / 4 * 5**2)
    assert got["open-share"] == pytest.approx(100 * 7 * 5**2 / 30**2, rel=1e-4)
    assert got["web"] == pytest.approx(10 - 5)
    assert got["web-at-worst"] == pytest.approx(10 - 5 - 2 * HAND.position)
    assert got["minutes"] == pytest.approx(70 / 60)


HAND = catalogue().allowances["hand"]

BOW = [{"x": 0, "y": 0}, {"x": 50, "y": 50}, {"x": 50, "y": 0}, {"x": 0, "y": 50}]


@each(
    "changes, by, share, many, field, said",
    [
        ({"pitch": 5.0}, "pitch", 0, 0, "pitch", "run into each other at a pitch of 5 mm"),
        ({"pitch": 5.01, "hole": 5.0, "boundary": {"width": 700.0}}, "pitch", 0, 0, "pitch", "up to 5,000 holes"),
        ({"boundary": {"width": 4.0}}, "pitch", 0, 0, "hole", "No hole fits in"),
        ({"boundary": {"shape": "outline", "corners": BOW}}, "pitch", 0, 0, "shape", "cross"),
        ({"boundary": {"shape": "outline", "corners": BOW}}, "many", 0, 9, "shape", "cross"),
        ({"order": "slots", "length": 4.0}, "pitch", 0, 0, "length", "at least as long as wide"),
        ({"order": "rings", "gap": 4.0}, "pitch", 0, 0, "gap", "farther apart"),
        ({}, "share", 79.0, 0, "share", "Ask for less"),
        ({}, "share", 0.0, 0, "share", "from 1 to 80 %"),
        ({}, "many", 0, 4000, "many", "Ask for fewer"),
        ({}, "many", 0, 5001, "many", "from 1 to 5,000 holes"),
    ],
)
def test_what_cannot_be_drilled_is_refused_beside_its_field(
    changes: dict[str, object], by: str, share: float, many: int, field: str, said: str
) -> None:
    with pytest.raises(EditError) as caught:
        solved(entry(**changes), by, share, many, "mm")
    assert list(caught.value.problems) == [field], caught.value.problems
    assert said in str(caught.value)


def test_five_thousand_holes_are_possible() -> None:
    assert 4_900 < possible(solved(entry(boundary={"width": 600.0}), "many", 0, 5_000, "mm"), "mm") <= 5_000
