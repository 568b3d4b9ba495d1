"""What is in the hand, as the hand sees it: its card, its frame, its place, and the verdict that is always in sight."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench import Bench
from tests.browser.board.test_typing import go, late, settled
from tests.long_run import in_gate


def test_the_middle_of_a_station_is_said_as_its_stick_stands(bench: Bench) -> None:
    """Beside its buttons, the middle lies between stick and columns; a stick in its own middle is the middle."""
    page = go(bench, "/stations")
    middle = page.get_by_label("Centre from the left edge")
    expect(page.locator("#hint-centre")).to_have_text("Midway between stick and furthest column")
    page.get_by_label("Stick", exact=True).select_option("centre")
    expect(page.locator("#hint-centre")).to_contain_text("Centre of the stick")
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
    # By keys, the next one has: nobody loses their place.
    page.keyboard.press("PageDown")
    expect(page.locator("#parts .part:focus")).to_have_css("outline-style", "solid")


def test_the_card_is_of_the_part_that_is_dragged(bench: Bench) -> None:
    page = bench.page
    bench.select("C")
    x, y = bench.take("K")
    page.mouse.move(x + 20.0, y, steps=5)
    expect(bench.card.get_by_role("heading", name="Selected · K", exact=True)).to_be_visible()
    place = bench.placed("K")["x"] + 20.0 / bench.scale()
    shown = page.get_by_label("From left edge", exact=True)
    page.wait_for_function("at => Math.abs(parseFloat(document.getElementById('field-x').value) - at) < 4", arg=place)
    assert shown.input_value().endswith(" mm")
    page.keyboard.press("Escape")
    expect(bench.card.get_by_role("heading", name="Selected · C", exact=True)).to_be_visible()
    page.mouse.up()


@pytest.mark.parametrize("by", in_gate([50, 400], lambda by: by == 400))
def test_a_hand_that_rests_before_the_answer_takes_hold_when_it_comes(bench: Bench, by: int) -> None:
    """C is brought within 2 mm of D's line and held still: the line takes hold of it without another move."""
    page = bench.page
    bench.select("C")
    bench.type(y=str(bench.placed("D")["y"] - 10.0))
    scale = bench.scale()
    late(page, by)
    x, y = bench.take("C")
    page.mouse.move(x, y - 5.0 * scale)
    page.mouse.move(x, y - 8.6 * scale)
    line = bench.placed("D")["y"]
    expect(page.get_by_label("From front edge", exact=True)).to_have_value(re.compile(rf"^{line:g} mm$"))
    with bench.changing():
        page.mouse.up()
    assert bench.placed("C")["y"] == pytest.approx(line)


def verdict_in_sight(page: Page) -> None:
    """Nothing covers the verdict, and it is not scrolled away."""
    title = page.locator("#report-title")
    expect(title).to_be_in_viewport(ratio=1)
    seen = title.evaluate(
        "e => { const r = e.getBoundingClientRect();"
        " return e.contains(document.elementFromPoint(r.right - 20, r.top + r.height / 2)); }"
    )
    assert seen


def test_the_verdict_is_above_the_card_and_stays_in_sight(bench: Bench) -> None:
    """The card of a part is longer than the screen; however far it is scrolled, the verdict stands above it."""
    page = bench.page
    bench.select("E")
    title, card = page.locator("#report-title"), bench.card
    above, below = title.bounding_box(), card.bounding_box()
    assert above
    assert below
    assert above["y"] + above["height"] <= below["y"]
    expect(title).to_contain_text("Fits")
    expect(page.locator(".all-clear")).to_be_hidden()
    side = page.locator("#side").bounding_box()
    assert side
    page.mouse.move(side["x"] + 100, side["y"] + 300)
    page.mouse.wheel(0, 5000)
    expect(page.get_by_text("What was checked", exact=True)).to_be_in_viewport()
    verdict_in_sight(page)


def test_what_ails_the_part_in_hand_is_said_at_the_head_of_its_card_while_it_is_dragged(bench: Bench) -> None:
    """E is brought over the front edge and back: the card says it as soon as the report does."""
    page = bench.page
    bench.select("E")
    own = bench.card.get_by_role("list", name="Findings about this part")
    expect(own).to_have_count(0)
    scale = bench.scale()
    x, y = bench.take("E")
    page.mouse.move(x, y + (bench.placed("E")["y"] - 2.0) * scale, steps=6)
    expect(own).to_contain_text("edge")
    verdict_in_sight(page)
    box, field = own.bounding_box(), page.get_by_label("From left edge", exact=True).bounding_box()
    assert box
    assert field
    assert box["y"] < field["y"]
    page.mouse.move(x, y, steps=4)
    expect(own).to_have_count(0)
    page.keyboard.press("Escape")
    page.mouse.up()


def test_several_parts_are_counterbored_at_once_in_one_step(bench: Bench) -> None:
    start = bench.document()
    bench.select("B")
    bench.page.keyboard.down("Shift")
    with bench.changing():
        bench.page.mouse.click(*bench.centre("D"))
    bench.page.keyboard.up("Shift")
    bench.card.get_by_role("heading", name="Counterbore them").click()
    bench.card.get_by_label("Width", exact=True).click()
    bench.page.keyboard.type("45")
    bench.page.keyboard.press("Tab")
    bench.page.keyboard.type("3")
    with bench.changing():
        bench.page.keyboard.press("Enter")
    bored = {p["label"]: p["counterbore"] for p in bench.placements() if p.get("counterbore")}
    assert bored == {letter: {"diameter": 45.0, "depth": 3.0} for letter in "BD"}
    bench.undo()
    assert bench.document() == start


def test_each_tile_shows_its_part_and_the_hand_carries_it_as_large_as_on_the_board(bench: Bench) -> None:
    """All are drawn from one file, which the browser must have been allowed to fetch."""
    page = bench.page
    page.wait_for_function("() => [...document.querySelectorAll('.tile use')].every((use) => use.getBBox().width > 10)")
    tile = page.locator("#palette .tile").first
    expect(tile).to_have_accessible_name(re.compile(r"^Button, \d+ mm"))
    box = tile.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 20, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(*bench.centre("C"), steps=4)
    ghost = page.locator(".ghost")
    width = float(tile.locator("[data-width]").get_attribute("data-width") or 0)  # [mm]
    scale = bench.drawing.evaluate("(svg) => svg.getScreenCTM().a")
    held = ghost.bounding_box()
    assert held is not None and held["width"] == pytest.approx(width * scale, abs=1)
    assert ghost.locator("use").evaluate("(use) => use.getBBox().width") > 10
    with bench.changing():
        page.mouse.up()
    expect(ghost).to_have_count(0)
