"""Everybody can use it in every state: axe finds nothing, targets are large enough, the focus is never covered.

WCAG 2.2: 2.1.4 single keys can be switched off, 2.4.7 and 2.4.11 the focus is seen, 2.5.7 what is dragged can be done
without dragging, 2.5.8 targets of 24 × 24 px or as far apart. axe-core judges 2.0, 2.1 and 2.2, levels A and AA.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.bench import Bench
from tests.browser.board.test_hands import places
from tests.browser.conftest import Watch, axe_finds_nothing
from tests.long_run import by_turns, in_gate
from tests.running import Server


def one(page: Page, base: str) -> None:
    page.goto(f"{base}?select=e")
    page.locator("#relative-fold summary").click()
    page.locator("#bore-fold summary").click()


def many(page: Page, base: str) -> None:
    page.goto(f"{base}?select=e,f,g")
    for fold in ("by", "all", "station"):
        page.locator(f"#{fold}-fold summary").click()


def keys(page: Page, base: str) -> None:
    page.goto(f"{base}?select=e")
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    page.get_by_role("button", name="Keyboard shortcuts").click()
    expect(page.get_by_role("dialog", name="Keyboard shortcuts")).to_be_visible()


def rename(page: Page, base: str) -> None:
    page.goto(base)
    page.locator("#rename summary").click()
    for fold in ("parts", "shop"):
        page.locator(f"#{fold}-fold summary").click()


def wrong(page: Page, base: str) -> None:
    page.goto(f"{base}?select=e")
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    page.locator("#field-x").fill("over there")
    page.locator("#field-x").press("Enter")
    expect(page.locator("#wrong-x")).to_be_visible()


def dragging(page: Page, base: str) -> None:
    page.goto(base)
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    area = page.locator("#part-g").bounding_box()
    assert area
    page.mouse.move(area["x"] + area["width"] / 2, area["y"] + area["height"] / 2)
    page.mouse.down()
    page.mouse.move(area["x"] - 4, area["y"] + 4, steps=6)
    expect(page.locator("#truth")).to_contain_text("stop")


def stations(page: Page, base: str) -> None:
    page.goto(f"{base}/stations")


def station_wrong(page: Page, base: str) -> None:
    page.goto(f"{base}/stations")
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    page.get_by_label("Row to row").fill("far")
    page.get_by_label("Row to row").press("Enter")
    expect(page.locator("#wrong-row_spacing")).to_be_visible()


def timeline(page: Page, base: str) -> None:
    page.goto(f"{base}/timeline")


STATES: dict[str, Callable[[Page, str], None]] = {
    "one selected": one,
    "several selected": many,
    "list of keys": keys,
    "folds and menus open": rename,
    "error beside a field": wrong,
    "while a part is dragged": dragging,
    "stations": stations,
    "error on the stations page": station_wrong,
    "timeline": timeline,
}


@pytest.fixture(scope="module")
def made(browser: Browser, server: Server) -> str:
    """Address of a two-player deck with a few steps behind it."""
    context = browser.new_context(viewport={"width": 1280, "height": 720}, reduced_motion="reduce")
    bench = Bench(context.new_page(), server.url)
    bench.put_deck(title="For everybody")
    for dx in (-6.0, 3.0):
        bench.drag("G", dx, -8.0)
        bench.undo()
    context.close()
    return f"{server.url}/designs/{bench.design}"


SMALL = """() => {
  const shown = [...document.querySelectorAll(
    'a[href], button, summary, select, input:not([type=hidden]), [role=button], [role=switch], [data-placement]')]
    .filter((e) => e.checkVisibility({ visibilityProperty: true }) && !e.disabled && !e.closest('.hide-seen'));
  const box = (e) => e.matches('input[type=radio], input[type=checkbox]') && e.closest('label') || e;
  const area = (e) => box(e).getBoundingClientRect();
  // What is scrolled away in one column lies behind another, not beside it.
  const region = (e) => e.closest('aside, header, main, footer, [popover]');
  const rows = shown.map((e) => [e, area(e)]).filter(([, r]) => r.width > 1 && r.height > 1);
  const inline = (e) => e.matches('a') && getComputedStyle(e).display === 'inline'
    && e.parentElement.textContent.trim() !== e.textContent.trim();
  // Undersized ones count if a circle of 24 px about their common centre meets another target, or that target's circle.
  return rows.filter(([e, r]) => (r.width < 23.9 || r.height < 23.9) && !inline(e)).filter(([e, r]) => {
    const [x, y] = [(r.left + r.right) / 2, (r.top + r.bottom) / 2];
    return rows.some(([other, o]) => {
      if (other === e || other.contains(e) || e.contains(other) || region(other) !== region(e)) return false;
      const far = Math.hypot(Math.max(o.left - x, 0, x - o.right), Math.max(o.top - y, 0, y - o.bottom));
      const small = o.width < 23.9 || o.height < 23.9;
      return far < 12 || small && Math.hypot((o.left + o.right) / 2 - x, (o.top + o.bottom) / 2 - y) < 24;
    });
  }).map(([e, r]) => `${(e.id || e.name || e.getAttribute('aria-label') || e.textContent).trim().slice(0, 40)}`
    + ` ${e.tagName} ${Math.round(r.width)} × ${Math.round(r.height)}`);
}"""


@pytest.mark.parametrize(("state", "scheme"), by_turns(STATES, ["light", "dark"]))
def test_axe_finds_nothing_and_every_target_is_24_px_or_far_from_the_next(
    open_page: Callable[..., Page], watch: Watch, made: str, state: str, scheme: str
) -> None:
    watch.expect("422")
    page = open_page(1280, 720, scheme)
    STATES[state](page, made)
    if state != "while a part is dragged":  # what is in the hand lies over everything
        assert page.evaluate(SMALL) == []
    try:
        axe_finds_nothing(page)
    finally:
        page.keyboard.press("Escape")
        page.mouse.up()


COVERED = """() => {
  const e = document.activeElement;
  if (!e || e === document.body) return null;
  const r = e.getBoundingClientRect();
  const spots = [[.5, .5], [.2, .5], [.8, .5], [.5, .2], [.5, .8]]
    .map(([a, b]) => [r.left + a * r.width, r.top + b * r.height]);
  const open = spots.some(([x, y]) => {
    const top = document.elementFromPoint(x, y);
    return top && (e.contains(top) || top.contains(e) && !top.matches('body, html') || top.closest('label')?.contains(e)
      || e.labels && [...e.labels].some((l) => l.contains(top)));
  });
  return [open, `${e.tagName}#${e.id} ${(e.getAttribute('aria-label') || e.textContent).trim().slice(0, 30)}`];
}"""


@pytest.mark.parametrize("size", in_gate([(1280, 720), (640, 360)], lambda size: size == (640, 360)))
@pytest.mark.parametrize("state", ["one selected", "several selected", "stations", "timeline"])
def test_the_focus_is_never_covered(page: Page, made: str, state: str, size: tuple[int, int]) -> None:
    """At 640 × 360 a page is as a laptop's zoomed to 200 % (1.4.4 with 2.4.11)."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    STATES[state](page, made)
    page.evaluate("document.activeElement.blur()")
    covered, seen = [], 0
    for _ in range(130):
        page.keyboard.press("Tab")
        found = page.evaluate(COVERED)
        if found is None:
            break
        seen += 1
        if not found[0]:
            covered.append(found[1])
    assert seen > 3
    assert covered == []


def test_what_is_dragged_can_be_done_by_single_presses(bench: Bench) -> None:
    """Moving, choosing several and adding: each without a drag and without the keyboard."""
    page, before = bench.page, places(bench)
    count = len(bench.placements())
    with bench.changing():
        page.locator("#palette .tile").first.click()
    assert len(bench.placements()) == count + 1, "added where there is room"
    bench.undo()
    bench.select("E")
    bench.type(x=str(before["E"][0] - 5))
    assert places(bench)["E"][0] == pytest.approx(before["E"][0] - 5)
    page.keyboard.down("Shift")
    with bench.changing():
        page.mouse.click(*bench.centre("F"))
    page.keyboard.up("Shift")
    bench.card.get_by_text("Move or turn by").click()
    bench.card.get_by_label("To the back").fill("3")
    with bench.changing():
        bench.card.get_by_role("button", name="Move them").click()
    assert places(bench)["F"][1] == pytest.approx(before["F"][1] + 3)


def test_single_keys_can_be_switched_off_and_stay_off(bench: Bench) -> None:
    page = bench.page
    page.get_by_role("button", name="Keyboard shortcuts").click()
    page.get_by_role("checkbox", name=re.compile("^Single-key shortcuts|work without Ctrl")).uncheck()
    page.keyboard.press("Escape")
    bench.select("E")
    kept = bench.document()
    for key in ("t", "l", "?"):
        page.keyboard.press(key)
    expect(page.get_by_role("dialog", name="Keyboard shortcuts")).to_be_hidden()
    page.reload()
    bench.arrive()
    bench.part("E").focus()
    page.keyboard.press("t")
    with bench.changing():  # keys with Ctrl and named keys work as before
        page.keyboard.press("Control+a")
    assert bench.document() == kept
    page.get_by_role("button", name="Keyboard shortcuts").click()
    box = page.get_by_role("checkbox", name=re.compile("^Single-key shortcuts|work without Ctrl"))
    expect(box).not_to_be_checked()
    box.check()
    page.keyboard.press("Escape")
    bench.part("E").focus()
    with bench.changing():
        page.keyboard.press("l")
    assert bench.placed("E")["locked"] is True
