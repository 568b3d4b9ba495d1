"""What a finding rests on, and how far to trust it."""

from __future__ import annotations

from typing import Any

from app.fit.finding import Finding
from app.fit.registry import rule_named
from app.model.source import Source
from app.service.checks.trust import rest_words, rests_on
from app.values import replace
from tests.unit.fit.boards import at, board, button, nut, stick

TYPICAL = button(fixing=nut(26), part_id="typical")
NOTED = replace(TYPICAL, id="noted", source=Source("By hand: thread length; others data sheet: A sheet.", "measured"))


def about(rule: str, *subjects: str, **values: Any) -> Finding:
    return Finding(rule, "caution", subjects, (0, 0), 1.0, 2.0, "", rule_named(rule).detail(**values))


def test_each_measure_is_trusted_by_itself() -> None:
    checked = board(at(200, 150, NOTED))
    assert rests_on(about("thread-reach", "a", cause="reach"), checked) == (
        ("Thread", "measured"),
        ("Nut height", "data sheet"),
    )
    assert rests_on(about("thread-reach", "a", cause="width"), checked) == (("Nut across corners", "data sheet"),)


def test_of_two_parts_the_one_trusted_least_counts() -> None:
    checked = board(at(200, 150, NOTED), at(300, 150, TYPICAL, name="b"))
    found = dict(rests_on(about("thread-reach", "a", "b", cause="reach"), checked))
    assert found == {"Thread": "typical", "Nut height": "typical"}


def test_what_rests_on_the_board_alone_says_nothing() -> None:
    checked = board(at(200, 150, NOTED))
    assert rests_on(about("web", "a", what="hole", other="hole", layer="MDF"), checked) == ()
    assert rests_on(about("edge-distance", "a", what="hole", layer="MDF"), checked) == ()
    assert rests_on(about("thread-reach", "a", cause="ledge"), checked) == ()
    hand = {"load": 250.0, "safety": 3.0, "net": 0.5, "long": 600.0, "short": 300.0, "needed": None, "bent": None}
    assert rests_on(about("deck-strength", **hand), checked) == ()


def test_what_clashes_rests_on_how_large_it_is() -> None:
    checked = board(at(200, 150, NOTED), at(260, 150, stick(), name="b"))
    found = rests_on(about("under-clash", "a", "b", what="nut", other="plate"), checked)
    assert [words for words, _ in found] == ["Nut across corners", "Plate, left to right", "Plate, front to back"]
    lever = rests_on(about("lever-height", "b", cause="low", least=50.0, most=65.0), checked)
    assert lever == (("Lever", "typical"),)


def test_it_is_said_as_a_builder_calls_it() -> None:
    """Widths and depths of one thing are its size; the smallest and largest hole are the limits of the hole."""
    checked = board(at(100, 150, TYPICAL), at(300, 150, stick(), name="b"))
    clash = about("under-clash", "a", "b", what="nut", other="plate")
    assert rest_words(clash, checked) == "Based on typical nut across corners and plate size, not measured"
    match = about("bit-match", "a", cause="hole", nominal=28.0)
    assert rest_words(match, checked) == "Based on typical hole limits, not measured"
