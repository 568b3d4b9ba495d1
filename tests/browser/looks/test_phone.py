"""The pages on a phone: nothing moves sideways, the head is short, the foot covers nothing that is typed in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench import Bench
from tests.browser.conftest import Watch
from tests.browser.looks.test_looks import PAGES, made, show, too_low_for_a_finger, wide_elements
from tests.long_run import in_gate, rows_in_gate
from tests.running import Server

__all__ = ["made"]

TOUCH: dict[str, Any] = {"has_touch": True, "is_mobile": True, "device_scale_factor": 2}
TWO_ROWS = 2 * 44 + 3 * 8
"""Two rows of buttons as high as a finger asks for, with room above, between and below them [px]."""

OVERLAP = """() => {
  const e = document.activeElement, over = [...document.querySelectorAll('.truth, .part-save, .part-stage')];
  if (!e.matches('input, select, textarea')) return null;
  const a = e.getBoundingClientRect(), boxes = over.map((each) => each.getBoundingClientRect());
  const by = boxes.map((b) => Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top));
  return { name: e.id || e.name, covered: Math.max(...by) };
}"""


COVERED = """() => [...document.querySelectorAll('.head :is(a, button, summary)')]
  .filter((e) => e.checkVisibility()).map((e) => [e, e.getBoundingClientRect()])
  .filter(([e, r]) => [r.left + 1, (r.left + r.right) / 2, r.right - 1].some((x) => {
    const met = document.elementFromPoint(x, (r.top + r.bottom) / 2);
    return met !== e && !e.contains(met); }))
  .map(([e]) => e.id || e.textContent)"""


WORDS = """() => [...document.querySelectorAll('main svg text')]
  .filter((e) => e.checkVisibility() && !e.closest('#parts, #board-parts, svg #board') && e.textContent.trim())
  .map((e) => { const r = e.getBoundingClientRect(), m = e.getScreenCTM();
    return [e.textContent, parseFloat(getComputedStyle(e).fontSize) * m.a, r.left, r.right]; })"""


DRAWN = ("board", "selected", "underside", "section", "board itself", "stations")


def words_can_be_read(page: Page, name: str) -> None:
    """Letters of 8.5 px and more beside the board (our own aim), and the words are all on the screen."""
    found = page.evaluate(WORDS)
    assert len(found) > 3
    assert min(size for _, size, _, _ in found) >= 8.5, found
    if name != "section":  # which is as wide as it can be read, in a frame of its own that is moved sideways
        assert [words for words, _, left, right in found if left < 0 or right > 360] == []


@pytest.mark.parametrize("name", PAGES)
def test_a_narrow_page_moves_nothing_sideways_under_a_short_head(
    open_page: Callable[..., Page], server: Server, made: tuple[str, str, str], watch: Watch, name: str
) -> None:
    """At 360 and 390 px: no page is wider, a head is of two rows at most, a foot of one line.

    Letters can be read, and a finger hits the buttons.
    """
    watch.expect("404")
    page = open_page(360, 740, "light", **TOUCH)
    show(page, name, server, made)
    for width, height in ((360, 740), (390, 844)):
        page.set_viewport_size({"width": width, "height": height})
        wide, shown = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
        assert shown == width, "the page made the browser zoom out"
        assert wide <= width, wide_elements(page)
        for head in page.locator(".head, .part-head").all():
            assert head.evaluate("e => e.offsetHeight") <= TWO_ROWS
        for foot in page.locator("#truth").all():
            assert foot.evaluate("e => e.offsetHeight < 2 * parseFloat(getComputedStyle(e).lineHeight)")
        if width == 360 and name in DRAWN:
            words_can_be_read(page, name)
    if name in {"shelf", "selected", "stop", "paper", "at board"}:
        assert not too_low_for_a_finger(page)


@pytest.mark.parametrize(
    ("width", "height"), rows_in_gate([(1280, 720), (390, 844), (360, 740)], lambda size: size != (390, 844))
)
def test_no_button_of_a_head_is_hidden_by_signs_of_stops(
    open_page: Callable[..., Page], server: Server, width: int, height: int
) -> None:
    """With stops in both arrangements and a long step to undo, each is what is met where it stands, end to end."""
    bench = Bench(open_page(1280, 720, "light"), server.url)
    bench.put_deck(title="A deck with stops in both arrangements")
    bench.select("B")
    bench.type(x="3")
    more = TOUCH if width < 600 else {}
    page = open_page(width, height, "light", **more)
    for where in ("", "/stations", "/shop", "/paper", "/judged", "/timeline"):
        page.goto(f"{server.url}/designs/{bench.design}{where}")
        page.wait_for_load_state("load")
        assert page.evaluate(COVERED) == [], where
        assert page.evaluate("document.documentElement.scrollWidth") <= width, where
        said = page.locator("#arrangement-short > summary" if width < 600 else "nav[aria-label=Arrangement]")
        if where != "/timeline":
            expect(said.locator("visible=true").locator(".stop .icon").last).to_be_visible()


@pytest.mark.parametrize("name", ["selected", "section", "paper", "part"])
def test_the_foot_covers_no_field_that_has_the_focus(
    open_page: Callable[..., Page], server: Server, made: tuple[str, str, str], name: str
) -> None:
    """From field to field by Tab, forth and back: none lies below what stays at the foot of the screen."""
    page = open_page(360, 640, "light", **TOUCH)
    show(page, name, server, made)
    page.evaluate("document.querySelectorAll('main ~ aside details').forEach((fold) => { fold.open = true; })")
    met: set[str] = set()
    page.locator("aside :is(input:not([type=hidden]), select)").first.focus()
    for key in ("Tab", "Shift+Tab"):
        for _ in range(24):
            page.keyboard.press(key)
            found = page.evaluate(OVERLAP)
            if found:
                met.add(found["name"])
                assert found["covered"] <= 0, found
    assert len(met) >= 4


@pytest.mark.parametrize("width", in_gate([360, 390], lambda width: width == 360))
def test_the_template_is_had_without_scrolling_far(
    open_page: Callable[..., Page], server: Server, made: tuple[str, str, str], width: int
) -> None:
    """What the paper page is for is on the first screen, below the board."""
    page = open_page(width, 844, "light", **TOUCH)
    show(page, "paper", server, made)
    template = page.get_by_role("link", name="Top template, PDF").bounding_box()
    assert template
    assert template["y"] + template["height"] <= 844


def test_what_a_switch_offers_is_chosen_from_a_list(
    open_page: Callable[..., Page], server: Server, made: tuple[str, str, str]
) -> None:
    page = open_page(360, 740, "light", **TOUCH)
    show(page, "selected", server, made)
    page.locator("#face-short > summary").click()
    offered = page.get_by_role("navigation", name="Face").get_by_role("link")
    expect(offered).to_have_text(["Top", "Underside", "Section"])
    for each in offered.all():
        area = each.bounding_box()
        assert area
        assert area["height"] >= 44
        assert area["x"] >= 0
        assert area["x"] + area["width"] <= 360
    offered.nth(1).click()
    expect(page.locator("#face-short > summary")).to_contain_text("Underside")
    expect(page.locator("#face-short")).not_to_have_attribute("open", "")
