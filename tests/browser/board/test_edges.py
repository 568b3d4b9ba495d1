"""A drag that comes to the edge of what is in view, and parts that lie beyond the board."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench import Bench, frames
from tests.long_run import in_gate


def middle(page: Page) -> float:
    """Where the middle of the view lies on the drawing, from the left [mm]."""
    return float(page.evaluate("(({x, width}) => x + width / 2)(document.getElementById('board-svg').viewBox.baseVal)"))


def test_a_drag_at_the_edge_of_an_enlarged_view_moves_the_view(bench: Bench) -> None:
    page = bench.page
    area = page.locator("#board-svg").bounding_box()
    assert area
    x, y = bench.centre("G")
    page.mouse.move(x, y)
    for _ in range(3):
        page.mouse.wheel(0, -250)
    page.wait_for_function("() => document.documentElement.hasAttribute('data-zoomed')")
    start, at = middle(page), bench.placed("G")
    x, y = bench.take("G")
    page.mouse.move(area["x"] + area["width"] - 6, y, steps=6)
    # The view goes on under the hand.
    page.wait_for_function(
        "past => (({x, width}) => x + width / 2 > past)(document.getElementById('board-svg').viewBox.baseVal)",
        arg=start + 40,
    )
    page.mouse.move(area["x"] + area["width"] / 2, y, steps=4)
    frames(page)
    still = middle(page)
    frames(page, 10)
    assert middle(page) == still, "away from the edge it stays"
    with bench.changing():
        page.mouse.up()
    assert middle(page) == pytest.approx(still, abs=0.01), "and stays when the part is put down"
    assert bench.placed("G")["x"] == pytest.approx(middle(page), abs=6.0), "the part is where the hand was"
    assert bench.placed("G")["x"] - at["x"] > 40


@pytest.mark.parametrize("x", in_gate(["-60", "830"], lambda x: x == "830"))
def test_a_part_beyond_the_board_is_in_view_with_all_of_it(bench: Bench, x: str) -> None:
    page = bench.page
    bench.select("L")
    bench.type(x=x)
    outer, inner = page.locator("#board-svg").bounding_box(), bench.part("L").bounding_box()
    assert outer
    assert inner
    assert inner["x"] >= outer["x"] - 0.5
    assert inner["x"] + inner["width"] <= outer["x"] + outer["width"] + 0.5
    x0, y0, width, height = page.evaluate(
        "(({x, y, width, height}) => [x, y, width, height])(document.getElementById('board-svg').viewBox.baseVal)"
    )
    assert x0 <= float(x) - 14 and float(x) + 14 <= x0 + width, "it is in the drawing itself"
    assert y0 < 0 < height
    page.goto(bench.url)
    expect(page.locator(".picture img").first).to_be_visible()
