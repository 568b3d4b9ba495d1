"""What was checked, opened from the fit report by pointer and by keyboard, with and without scripts."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.bench import Bench
from tests.browser.conftest import Watch, axe_finds_nothing
from tests.long_run import in_gate

Press = Callable[[Page, Locator], None]


def by_pointer(_page: Page, target: Locator) -> None:
    target.click()


def by_keys(page: Page, target: Locator) -> None:
    target.focus()
    page.keyboard.press("Enter")


def tightest_holes(within: Page | Locator) -> Locator:
    """The card or rows of holes against holes."""
    return within.locator("#judged tbody").filter(has_text=re.compile(r"^\s*Holes\s+– holes"))


@pytest.mark.parametrize("press", in_gate([by_pointer, by_keys], lambda press: press is by_keys))
def test_it_opens_in_place_only_when_asked_and_its_letters_lead_to_the_parts(bench: Bench, press: Press) -> None:
    page, asked = bench.page, []
    page.on("request", lambda request: asked.append(request.url) if "/judged" in request.url else None)
    bench.drag("E", -4.0, -3.0)
    assert asked == [], "nobody has asked yet"
    fold = page.locator("#judged-fold > summary")
    press(page, fold)
    count = len(bench.placements())
    expect(tightest_holes(page)).to_contain_text(f"{count * (count - 1) // 2} pairs")
    assert len(asked) == 1
    expect(page).to_have_title(re.compile("^Bench test"))
    assert page.url.partition("?")[0] == f"{bench.url}/designs/{bench.design}", "the address is the board's"
    axe_finds_nothing(page, "#judged-fold")

    link = tightest_holes(page).get_by_role("link").first
    letters = link.inner_text().split(" and ")
    with bench.changing():
        press(page, link)
    chosen = [bench.placed(letter)["id"] for letter in letters]
    assert sorted(page.locator("#bench").get_attribute("data-select").split(",")) == sorted(chosen)  # type: ignore[union-attr]
    # What was open stays open, and tells of the board as it is now.
    expect(tightest_holes(page)).to_be_visible()

    before = tightest_holes(page).inner_text()
    bench.part(letters[0]).focus()
    with bench.changing():
        page.keyboard.press("ArrowUp")
    expect(tightest_holes(page)).not_to_have_text(before)

    press(page, page.get_by_role("link", name="See the whole list"))
    expect(page.get_by_role("heading", level=1)).to_contain_text("What was checked")
    assert tightest_holes(page).get_by_role("link").count() == 3
    everything = page.locator("#everything > summary")
    press(page, everything)
    expect(page.get_by_role("heading", name="The rules")).to_be_visible()
    press(page, page.get_by_role("link", name="‹ Board"))
    bench.arrive()


@pytest.mark.parametrize("press", in_gate([by_pointer, by_keys], lambda press: press is by_pointer))
def test_without_scripts_it_is_a_page_of_its_own(bench: Bench, browser: Browser, watch: Watch, press: Press) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 720})
    context.on("page", watch.follow)
    page = context.new_page()
    page.goto(f"{bench.url}/designs/{bench.design}")
    press(page, page.locator("#judged-fold > summary"))
    press(page, page.get_by_role("link", name="See the whole list"))
    link = tightest_holes(page).get_by_role("link").first
    letters = link.inner_text()
    press(page, link)
    selected = page.get_by_role("region", name=re.compile("selected", re.IGNORECASE)).first
    expect(selected).to_contain_text(letters.split(" and ")[0])
    expect(selected).to_contain_text(letters.split(" and ")[1])
    context.close()


def test_a_drag_asks_for_none_of_it_though_it_is_open(bench: Bench) -> None:
    page, asked = bench.page, []
    page.locator("#judged-fold > summary").click()
    expect(tightest_holes(page)).to_be_visible()
    page.on("request", lambda request: asked.append(request.url.rpartition("/")[2]))
    x, y = bench.take("E")
    page.mouse.move(x - 20, y + 10, steps=12)
    page.wait_for_function("() => document.querySelector('#bench.dragging, .dragging #bench, .dragging')")
    assert "preview" in asked
    assert not [name for name in asked if name.startswith("judged")]
    with bench.changing():
        page.mouse.up()
    expect(tightest_holes(page)).to_be_visible()
    assert len([name for name in asked if name.startswith("judged")]) == 1, "once, for the board as it is then"
