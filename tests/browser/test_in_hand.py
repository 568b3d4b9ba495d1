"""What is in the hand, as the hand sees it: its card, its frame, its place, and the verdict that is always in sight."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench import Bench
from tests.browser.test_typing import go, late, settled


def test_the_middle_of_a_station_is_said_as_its_stick_stands(bench: Bench) -> None:
    """Beside its buttons, the middle lies between stick and columns; a stick in its own middle is the middle."""
    page = go(bench, "/stations")
    middle = page.get_by_label("Middle from the left edge")
    expect(page.locator("#hint-centre")).to_have_text("Midway between stick and farthest column")
    page.get_by_label("Stick", exact=True).select_option("centre")
    expect(page.locator("#hint-centre")).to_contain_text("Where the stick stands")
    settled(page)
    shown = middle.input_value()
    assert shown == f"{bench.placed('A')['x']:g} mm"


def test_a_part_is_pressed_through_the_line_that_leads_to_the_elevation(bench: Bench) -> None:
    """The line runs from a part at the back over whatever stands in front of it."""
    bench.select("F")
    bench.type(x=str(bench.placed("C")["x"]))
    bench.select("C")
    expect(bench.drawing.locator(".projection")).to_have_count(1)
    with bench.changing():
        bench.page.mouse.click(*bench.centre("F"))
    expect(bench.card.get_by_role("heading", name="Selected · F", exact=True)).to_be_visible()


def test_a_pressed_part_that_is_let_go_with_escape_has_no_frame(bench: Bench) -> None:
    page = bench.page
    bench.select("C")
    with bench.changing():
        page.keyboard.press("Escape")
    expect(bench.part("C")).to_have_css("outline-style", "none")
    # By keys, it has: nobody loses their place.
    page.keyboard.press("Tab")
    expect(page.locator("#parts .part:focus")).to_have_css("outline-style", "solid")


def test_the_card_is_of_the_part_that_is_dragged(bench: Bench) -> None:
    page = bench.page
    bench.select("C")
    x, y = bench.take("K")
    page.mouse.move(x + 20.0, y, steps=5)
    expect(bench.card.get_by_role("heading", name="Selected · K", exact=True)).to_be_visible()
    place = bench.placed("K")["x"] + 20.0 / bench.scale()
    shown = page.get_by_label("From left edge", exact=True)
    page.wait_for_function(
        "at => Math.abs(parseFloat(document.getElementById('field-x').value) - at) < 3", arg=place
    )
    assert shown.input_value().endswith(" mm")
    page.keyboard.press("Escape")
    expect(bench.card.get_by_role("heading", name="Selected · C", exact=True)).to_be_visible()
    page.mouse.up()


@pytest.mark.parametrize("by", [50, 400])
def test_a_hand_that_rests_before_the_answer_takes_hold_when_it_comes(bench: Bench, by: int) -> None:
    """C is brought within 2 mm of D's line and held still: the line takes hold of it without another move."""
    page = bench.page
    bench.select("C")
    bench.type(y=str(bench.placed("D")["y"] - 30.0))
    scale = bench.scale()
    late(page, by)
    x, y = bench.take("C")
    page.mouse.move(x, y - 15.0 * scale)
    page.mouse.move(x, y - 28.6 * scale)
    line = bench.placed("D")["y"]
    expect(page.get_by_label("From front edge", exact=True)).to_have_value(re.compile(rf"^{line:g} mm$"))
    with bench.changing():
        page.mouse.up()
    assert bench.placed("C")["y"] == pytest.approx(line)


def in_sight(page: Page, selector: str) -> bool:
    """Whether the middle of an element is what is seen there, and not scrolled away."""
    return bool(
        page.evaluate(
            "s => { const e = document.querySelector(s), r = e.getBoundingClientRect();"
            " const seen = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);"
            " return e.contains(seen) || seen?.contains(e); }",
            selector,
        )
    )
