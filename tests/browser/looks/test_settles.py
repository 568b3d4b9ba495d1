"""Does every page stand still once it is there, and is long work shown where it was asked for?

Cumulative layout shift as the browser itself measures it (Layout Instability, W3C Web Incubator; up to 0.1 counts as
good in common practice). Ours may be 0.01 at most, in each of three sizes. The times of busy marks are our own choice.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import product
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, expect

from tests.browser.bench import Bench, HeldBack, frames
from tests.browser.conftest import LIMIT, Watch
from tests.long_run import rows_in_gate
from tests.running import Server

MOST_SHIFTED = 0.01
SIZES = {"laptop": (1280, 720), "tablet": (1024, 768), "phone": (390, 844)}

OBSERVE = """
window.shifted = 0;
window.shifts = [];
new PerformanceObserver(list => {
  for (const entry of list.getEntries()) {
    window.shifted += entry.value;
    window.shifts.push(entry.sources.map(s => s.node?.id || s.node?.className || s.node?.nodeName));
  }
}).observe({ type: 'layout-shift', buffered: true });
"""

THERE = """{
  const seen = (e) => {  // what a list has scrolled away is not fetched
    const r = e.getBoundingClientRect();
    return e.contains(document.elementFromPoint((r.left + r.right) / 2, (r.top + r.bottom) / 2));
  };
  return document.readyState === 'complete' && !document.querySelector('.htmx-request, [aria-busy=true]')
    && ![...document.images, ...document.querySelectorAll('[id^=proof-]:has(> a.small:only-child)')]
      .some((e) => seen(e) && !e.complete);
}"""
"""Whether all that comes by itself is there: pictures, proofs of files, ways out, how arrangements stand."""


@pytest.fixture(scope="module")
def board(browser: Browser, server: Server) -> str:
    """Path of a deck with two players, one part of which is too near the edge."""
    page = browser.new_page(viewport={"width": 1280, "height": 720})
    bench = Bench(page, server.url)
    bench.put_deck(title="Standing still")
    bench.select("L")
    bench.type(x="745")
    page.close()
    return f"/designs/{bench.design}"


@pytest.fixture
def open_context(browser: Browser, watch: Watch) -> Iterator[Callable[..., BrowserContext]]:
    """Contexts of another size, watched like every other."""
    opened: list[BrowserContext] = []

    def new(size: str, **more: Any) -> BrowserContext:
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, reduced_motion="reduce", **more)
        context.set_default_timeout(LIMIT)
        context.on("page", watch.follow)
        opened.append(context)
        return context

    yield new
    for context in opened:
        context.close()


PAGES = {
    "shelf": "/",
    "board": "{board}",
    "selected": "{board}?select=l",
    "several": "{board}?select=b,c,d",
    "underside": "{board}?face=under&select=a",
    "section": "{board}?face=section&select=a",
    "part": "{board}/part/b",
    "shop": "{board}/shop",
    "stations": "{board}/stations",
    "legends": "{board}/legends",
    "wiring": "{board}/wiring",
    "timeline": "{board}/timeline",
    "revisions": "{board}/revisions",
    "pack": "{board}/pack",
    "compare": "{board}/compare",
    "bring": "{board}/bring",
    "retrofit": "{board}/retrofit",
    "boards": "{board}/boards",
    "makers": "{board}/make",
    "bench": "{board}/bench",
    "list": "{board}/bench/drilling",
    "at board": "{board}/at-board?at=b/hole-1/through",
    "built": "{board}/built",
    "coupon": "{board}/coupon",
    "report": "{board}/report",
    "steps": "{board}/steps",
    "make": "{board}/make/grille",
    "room": "{board}/room",
    "board itself": "{board}/board",
    "outline": "{board}/outline",
    "marking": "{board}/marking",
    "pattern": "{board}/pattern",
    "paper": "{board}/paper",
    "printer": "{board}/printer",
    "judged": "{board}/judged",
    "problem": "/designs/none",
}


# The gate tries half of the pages in either of two sizes.
HALVES = {("laptop", 0), ("phone", 1)}


@pytest.mark.parametrize(("size", "half"), rows_in_gate(product(SIZES, (0, 1)), HALVES.__contains__))
def test_nothing_moves_once_it_is_there(
    open_context: Callable[..., BrowserContext], server: Server, board: str, watch: Watch, size: str, half: int
) -> None:
    watch.expect("404")
    context = open_context(size, has_touch=size != "laptop")
    context.add_init_script(OBSERVE)
    page = context.new_page()
    moved = {}
    for name, path in list(PAGES.items())[half::2]:
        page.goto(server.url + path.format(board=board))
        page.wait_for_function(f"() => {THERE}")
        frames(page)
        shifted = page.evaluate("window.shifted")
        if shifted > MOST_SHIFTED:
            moved[name] = (round(shifted, 4), page.evaluate("window.shifts"))
    assert not moved, moved


def test_layout_shift_is_measured_at_all(
    open_context: Callable[..., BrowserContext], server: Server, board: str
) -> None:
    """A page that is pushed down is seen to move; else the test above would pass whatever happened."""
    context = open_context("laptop")
    context.add_init_script(OBSERVE)
    page = context.new_page()
    page.goto(server.url + board)
    page.wait_for_function(f"() => {THERE}")
    page.evaluate("document.querySelector('.stage').style.paddingTop = '160px'")
    page.wait_for_function(f"() => window.shifted > {MOST_SHIFTED}")  # what moved a little before that does not end it
    assert page.evaluate("window.shifted") > MOST_SHIFTED


def test_long_work_is_shown_on_what_was_pressed_and_moves_nothing(
    open_context: Callable[..., BrowserContext], server: Server, board: str
) -> None:
    page = open_context("laptop").new_page()
    page.goto(f"{server.url}{board}?select=b")
    held = HeldBack(page, "/edit/duplicate")
    button = page.get_by_role("button", name="Duplicate", exact=True)
    before = button.bounding_box()
    button.click()
    expect(button).to_have_attribute("aria-busy", "true")
    assert button.bounding_box() == before
    assert page.evaluate("getComputedStyle(document.getElementById('duplicate'), '::after').position") == "absolute"
    held.next().continue_()
    expect(page.locator("[aria-busy=true]")).to_have_count(0)
    expect(page.get_by_role("heading", name=re.compile("^Selected · [^B]"))).to_be_visible()


def test_quick_work_shows_nothing(open_context: Callable[..., BrowserContext], server: Server, board: str) -> None:
    """Busy marks are counted as they come; an answer within 300 ms brings none."""
    page = open_context("laptop").new_page()
    page.goto(f"{server.url}{board}?select=b")
    page.evaluate(
        "() => { window.busy = 0; new MutationObserver(all => { window.busy += all.length; })"
        ".observe(document, { subtree: true, attributes: true, attributeFilter: ['aria-busy'] }); }"
    )
    page.route(re.compile(r"/designs/[^/]+\?.*select=c"), lambda route: route.fulfill(status=200, body="<p>quick</p>"))
    page.locator('#parts [data-placement="c"]').click()
    expect(page.get_by_text("quick", exact=True)).to_be_visible()
    assert page.evaluate("window.busy") == 0


def test_a_page_on_its_way_is_shown_on_the_button_that_asked_for_it(
    open_context: Callable[..., BrowserContext], server: Server
) -> None:
    page = open_context("laptop").new_page()
    page.goto(server.url)
    held = HeldBack(page, "/designs$")
    # Said by the page itself: while the next one is on its way, nobody else can ask it.
    page.evaluate(
        "() => new MutationObserver(all => all.forEach("
        "({ target: t }) => console.info('busy:', t.ariaBusy, t.textContent)))"
        ".observe(document, { subtree: true, attributes: true, attributeFilter: ['aria-busy'] })"
    )
    with page.expect_console_message(lambda said: said.text == "busy: true Make the deck"):
        page.get_by_role("button", name="Make the deck").click(no_wait_after=True)
    held.next().continue_()
    expect(page.locator("#board-svg")).to_be_visible()


def test_a_server_that_does_not_answer_is_told_and_nothing_is_lost(
    open_context: Callable[..., BrowserContext], server: Server, board: str, watch: Watch
) -> None:
    watch.expect("ERR_FAILED")
    watch.expect("htmx:sendError")
    watch.expect("htmx:afterRequest")
    page = open_context("laptop").new_page()
    page.goto(f"{server.url}{board}?select=b")
    where = page.get_by_label("From left edge").input_value()
    page.route(re.compile("/edit/"), lambda route: route.abort())
    page.get_by_role("button", name="Duplicate", exact=True).click()
    notice = page.get_by_role("alert").filter(has_text="is not answering")
    expect(notice).to_be_visible()
    expect(notice.locator("svg")).to_be_visible()
    expect(page.get_by_label("From left edge")).to_have_value(where)
    page.unroute(re.compile("/edit/"))
    page.get_by_role("button", name="Duplicate", exact=True).click()
    expect(page.get_by_role("heading", name=re.compile("^Selected · [^B]"))).to_be_visible()
    expect(page.get_by_text("is not answering")).to_have_count(0)
