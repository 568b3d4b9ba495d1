"""A header: the size of its diffuser, its strips and what they take. All by plain arithmetic."""

from __future__ import annotations

import math

import pytest

from app.arrange.maker.make import make_board
from app.arrange.maker.registry import maker_named
from app.catalogue.load import catalogue
from app.document.resolve import find_board, resolve
from app.errors import EditError
from app.fit.report.report import check
from app.model.maker.measure import Value, answered
from tests.unit.arrange.maker.designs import plain


def figures(**given: Value) -> dict[str, float]:
    maker = maker_named("header")
    made = maker.make(answered(maker.measures, {k.replace("_", "-"): v for k, v in given.items()}), catalogue())
    return {f.name: f.value for f in made.figures}


def test_the_diffuser_laps_over_the_opening_on_every_side() -> None:
    found = figures(opening_width=300.0, opening_height=60.0, lap=10.0)
    assert (found["diffuser-width"], found["diffuser-height"]) == (320, 80)


@pytest.mark.parametrize(
    ("width", "strip"), [(399.99, 350.0), (400.0, 400.0), (449.9, 400.0), (50.0, 50.0), (16.7 * 6, 100.0)]
)
def test_a_strip_is_cut_at_a_mark_and_no_longer_than_the_opening(width: float, strip: float) -> None:
    assert figures(opening_width=width)["strip"] == strip


def test_what_the_strips_take_is_counted_by_lights_in_series() -> None:
    """400 mm of 60 a metre are 24 lights; three in series share 20 mA: 8 × 20 mA = 160 mA, at 12 V 1.92 W."""
    found = figures()
    assert (found["lights"], found["current"], found["heat"]) == (24, 160, 1920)
    single = figures(strips=2, in_row=1, volts="5", current=60)
    assert (single["lights"], single["strips"]) == (48, 800)
    assert (single["current"], single["heat"]) == (48 * 60, 48 * 60 * 5)


def test_air_goes_through_a_row_of_holes_as_long_as_the_opening() -> None:
    """17 holes of 8 mm in 400 mm, 25 mm apart about the middle; the outermost would lie over its end."""
    assert figures()["air"] == pytest.approx(15 * math.pi / 4 * 8**2)
    assert "air" not in figures(vents=False)


@pytest.mark.parametrize("more", [{}, {"vents": False}, {"corner": 10.0}, {"strips": 3, "behind": 50.0}])
def test_it_has_no_stop_and_no_caution(more: dict[str, Value]) -> None:
    edit = make_board(plain(), "header", more, catalogue())
    board = resolve(edit.design, edit.board, None, catalogue())
    report = check(board, catalogue())
    assert [(f.rule, f.subjects) for f in (*report.stops, *report.cautions)] == []
    assert find_board(edit.design, edit.board).arrangements[0].placements[0].id == "header-diffuser"


def test_a_strip_too_far_back_for_the_cabinet_is_found() -> None:
    """3 mm of diffuser, 80 mm free, and 15 mm for wires: 62 mm from strip to diffuser is the most."""
    for behind, want in ((62.0, []), (62.1, ["caution"]), (77.5, ["stop"])):
        edit = make_board(plain(), "header", {"behind": behind}, catalogue())
        found = check(resolve(edit.design, edit.board, None, catalogue()), catalogue()).findings
        assert [f.severity for f in found if f.rule == "depth-below"] == want


@pytest.mark.parametrize(
    ("measures", "fields", "words"),
    [
        ({"corner": 36.0, "cut": 500.0}, ("corner", "cut"), "No piece of strip, 500 mm from mark to mark"),
        ({"vent-pitch": 10.0}, ("vent-pitch",), "a pitch of 13 mm or more, got 10 mm"),
    ],
)
def test_measures_that_cannot_be_are_refused_beside_their_fields(
    measures: dict[str, Value], fields: tuple[str, ...], words: str
) -> None:
    with pytest.raises(EditError) as caught:
        make_board(plain(), "header", measures, catalogue())
    assert set(caught.value.problems) == set(fields) and words in str(caught.value)
