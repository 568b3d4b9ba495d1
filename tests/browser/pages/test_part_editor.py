"""A part corrected with callipers in hand, in a real browser: with scripts, without, and on a phone."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.browser.bench import Bench
from tests.browser.conftest import LIMIT, Watch, axe_finds_nothing
from tests.long_run import in_gate


def open_part(bench: Bench, placement: str = "b") -> None:
    bench.page.goto(f"{bench.url}/designs/{bench.design}/part/{placement}")
    expect(bench.page.get_by_role("heading", level=1)).to_contain_text(f"Hardware for {placement.upper()}")


def dimension(page: Page, name: str) -> Locator:
    return page.locator(f'#part-drawing .dim[data-measure="{name}"]')


def save(page: Page) -> None:
    page.get_by_role("button", name=re.compile("^Save")).click()


def cut_through(bench: Bench) -> None:
    """Look at the section through the part in hand."""
    with bench.changing():
        bench.page.get_by_role("navigation", name="Face").get_by_role("link", name="Section").click()
    expect(bench.page.locator("#section-svg")).to_be_visible()


def test_a_field_brings_out_its_dimension(bench: Bench) -> None:
    page = bench.page
    open_part(bench)
    brought = page.locator("#part-drawing .dim.on")
    expect(brought).to_have_count(0)
    page.get_by_label("Thread", exact=True).focus()
    expect(brought).to_have_count(1)
    expect(brought).to_have_attribute("data-measure", "thread_length")
    style = dimension(page, "thread_length").locator("text")
    expect(style).to_have_css("font-weight", "700")
    expect(dimension(page, "nut_width").locator("text")).to_have_css("font-weight", "400")
    # On with the keyboard: the next field takes over.
    page.keyboard.press("Tab")
    expect(brought).to_have_attribute("data-measure", "nut_height")
    # A dimension that is pressed leads to its field.
    dimension(page, "body_depth").locator("text").click()
    expect(page.get_by_label("Depth", exact=True)).to_be_focused()
    expect(brought).to_have_attribute("data-measure", "body_depth")
    page.get_by_label("Name", exact=True).focus()
    expect(brought).to_have_count(0)


def test_a_measured_thread_brings_a_caution_and_takes_it_away(bench: Bench) -> None:
    """18 mm of board, a nut of 6 mm and 1 mm of spare thread need 25 mm of thread: 20 mm is too short."""
    page, start = bench.page, bench.document()
    open_part(bench)
    thread = page.get_by_label("Thread", exact=True)
    expect(thread).to_have_value("34 mm")
    expect(thread).to_have_accessible_description(re.compile("underside of the rim"))
    row = page.locator(".measure-field", has=thread)
    expect(row.get_by_text("typical", exact=True)).to_be_visible()
    thread.fill("20")
    expect(row.get_by_text("measured", exact=True)).to_be_visible()
    save(page)
    bench.arrive()
    expect(bench.report).to_contain_text(re.compile("thread", re.IGNORECASE))
    assert len(bench.raw()["hardware"]) == 1
    section = page.locator("#section-svg")
    cut_through(bench)
    expect(section).to_contain_text("thread 20 mm")
    expect(section).to_contain_text("By hand: thread length; others typical.")
    expect(section.locator(".bite-stop")).not_to_have_count(0)
    short = section.inner_html()
    open_part(bench)
    expect(page.get_by_label("Thread", exact=True)).to_have_value("20 mm")
    expect(row.get_by_text("measured", exact=True)).to_be_visible()
    expect(dimension(page, "thread_length")).to_contain_text("Thread 20 mm")
    page.get_by_label("Thread", exact=True).fill('1.34"')
    save(page)
    bench.arrive()
    assert bench.raw()["hardware"][0]["fixing"]["thread_length"] == pytest.approx(1.34 * 25.4, abs=1e-9)
    expect(bench.report.get_by_role("heading", name=re.compile("^(Stop|Caution)"))).to_have_count(0)
    cut_through(bench)
    expect(section).to_contain_text("thread 34.04 mm")
    expect(section.locator(".bite-stop, .bite-caution")).to_have_count(0)
    assert section.inner_html() != short
    page.get_by_role("navigation", name="Face").get_by_role("link", name="Top").click()
    bench.arrive()
    bench.undo()
    expect(bench.report).to_contain_text(re.compile("thread", re.IGNORECASE))
    bench.undo()
    assert bench.document() == start


def test_nonsense_is_told_beside_its_field(bench: Bench, watch: Watch) -> None:
    watch.expect("422")
    page, start = bench.page, bench.document()
    open_part(bench)
    page.get_by_label("Nut across corners", exact=True).fill("12 mm")
    page.get_by_label("Depth", exact=True).fill("2 1/2")
    save(page)
    wrong = page.get_by_label("Nut across corners", exact=True)
    expect(wrong).to_be_focused()
    expect(wrong).to_have_value("12 mm")
    expect(wrong).to_have_accessible_description(re.compile("wider than its thread"))
    expect(page.get_by_label("Depth", exact=True)).to_have_value("2 1/2")
    expect(page.locator("#part-drawing .dim.on")).to_have_attribute("data-measure", "nut_width")
    assert bench.document() == start
    wrong.fill("38")
    save(page)
    bench.arrive()
    assert bench.raw()["hardware"][0]["body"]["depth"] == pytest.approx(2.5 * 25.4, abs=1e-9)


@pytest.fixture
def plain(browser: Browser, watch: Watch) -> Iterator[BrowserContext]:
    """A browser that runs no scripts."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 720})
    context.set_default_timeout(LIMIT)
    context.on("page", watch.follow)
    yield context
    context.close()


def test_without_scripts(bench: Bench, plain: BrowserContext, watch: Watch) -> None:
    watch.expect("422")
    page = plain.new_page()
    page.goto(f"{bench.url}/designs/{bench.design}/part/b")
    expect(page.locator("#part-drawing .dim")).not_to_have_count(0)
    expect(page.locator("#part-drawing .dim.on")).to_have_count(0)
    thread = page.get_by_label("Thread", exact=True)
    thread.fill("5")
    save(page)
    expect(thread).to_have_value("5")
    expect(thread).to_have_accessible_description(re.compile("nothing is left for a board"))
    expect(page.locator("#part-drawing .dim.on")).to_have_attribute("data-measure", "thread_length")
    thread.fill("31.5")
    page.get_by_role("radio", name="Only at B").check()
    save(page)
    expect(page.locator("#board-svg")).to_be_visible()
    own = bench.raw()["hardware"][0]["id"]
    assert [p["id"] for p in bench.placements() if p["part"] == own] == ["b"]


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], lambda scheme: scheme == "dark"))
@pytest.mark.parametrize("placement", in_gate(["a", "b"], lambda placement: placement == "b"))  # test_looks.py has a
def test_everybody_can_use_it(bench: Bench, scheme: str, placement: str) -> None:
    bench.page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    open_part(bench, placement)
    bench.page.locator("input[data-measure]").first.focus()
    axe_finds_nothing(bench.page)
    width, height = bench.page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    assert width <= 1280 and height <= 720, "a laptop shows drawing and fields without scrolling the page"


def test_on_a_phone_the_dimension_in_hand_stays_in_sight(bench: Bench) -> None:
    page = bench.page
    page.set_viewport_size({"width": 390, "height": 844})
    open_part(bench)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    depth = page.get_by_label("Depth", exact=True)
    depth.scroll_into_view_if_needed()
    depth.focus()
    expect(dimension(page, "body_depth")).to_be_in_viewport()
    covered = page.locator(".part-stage").bounding_box()
    field = depth.bounding_box()
    assert covered and field
    assert field["y"] >= covered["y"] + covered["height"] - 1, "the field is not behind the drawing"
