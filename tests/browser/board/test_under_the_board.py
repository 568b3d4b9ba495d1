"""What is out of sight, in the browser: counterbores typed and mended, cautions accepted, sections, the shop."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import product

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.bench import Bench, raft
from tests.browser.conftest import LIMIT, Watch, axe_finds_nothing
from tests.browser.looks.test_looks import too_low_for_a_finger
from tests.long_run import long, rows_in_gate
from tests.running import Server

PLAIN = {"buttons": "1", "shape": "row"}
"""A deck with room for a counterbore about every button."""


def thicken(bench: Bench, thickness: str) -> None:
    """Measure the board anew, in the fold of the board page."""
    bench.page.get_by_role("heading", name="Board and workshop").click()
    bench.page.get_by_label("Thickness, measured", exact=True).fill(thickness)
    with bench.changing():
        bench.page.locator("#shop-fold").get_by_role("button", name="Apply").click()


def counterbore(bench: Bench, width: str, depth: str) -> None:
    """Type a counterbore into the selected card."""
    fold = bench.card.get_by_role("heading", name=re.compile("^Counterbore"))
    if not bench.card.locator("#bore-fold").get_attribute("open") is not None:
        fold.click()
    area = bench.card.locator("#bore-fold")
    area.get_by_label("Width", exact=True).fill(width)
    area.get_by_label("Depth from below", exact=True).fill(depth)
    with bench.changing():
        area.get_by_role("button", name=re.compile("ounterbore")).first.click()


def short_threads(bench: Bench) -> Locator:
    """Headings of findings about threads too short."""
    return bench.report.get_by_role("heading", name=re.compile("thread reach$"))


def test_a_typed_counterbore_is_seen_and_the_caution_vanishes(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(title="Typed", players="One player", **PLAIN)
    thicken(bench, "26.5")
    expect(short_threads(bench)).to_have_count(1)
    bench.report.get_by_role("heading", name=re.compile("thread reach$")).locator("..").get_by_role(
        "link", name="Show"
    ).click()
    expect(bench.card.get_by_role("heading", name="Selected · C", exact=True)).to_be_visible()
    before = bench.page.locator("#elevation").inner_html()
    counterbore(bench, '1 1/2"', "1")
    expect(short_threads(bench)).to_have_count(0)
    assert bench.page.locator("#elevation").inner_html() != before
    assert bench.placed("C")["counterbore"] == {"diameter": 38.1, "depth": 1.0}
    # The section shows it with its size.
    with bench.changing():
        bench.page.get_by_role("navigation", name="Face").get_by_role("link", name="Section").click()
    section = bench.page.locator("#section-svg")
    expect(section).to_contain_text("Section through C")
    expect(section).to_contain_text("38.1 mm")
    # A wrong depth is told beside its field, and keeps what was typed.
    counterbore_field = bench.card.locator("#bore-fold").get_by_label("Depth from below", exact=True)
    counterbore_field.fill("deep")
    with bench.changing():
        bench.card.get_by_role("button", name="Change counterbore").click()
    expect(counterbore_field).to_have_value("deep")
    expect(counterbore_field).to_have_accessible_description(re.compile("“deep”"))
    assert bench.placed("C")["counterbore"] == {"diameter": 38.1, "depth": 1.0}


@pytest.fixture
def _refused(watch: Watch) -> None:
    watch.expect("422")


pytestmark = pytest.mark.usefixtures("_refused")


def test_all_counterbores_are_made_in_one_step_and_undone(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(title="All at once", players="Two players", **PLAIN)
    thicken(bench, "30")
    start = bench.document()
    expect(short_threads(bench)).to_have_count(1)
    group = (
        bench.report.get_by_role("listitem")
        .filter(has=bench.page.get_by_role("heading", name=re.compile("thread reach$")))
        .first
    )
    expect(group).to_contain_text("3 buttons: thread")
    button = group.get_by_role("button", name=re.compile("^Counterbore")).first
    # What it will do is said before it is pressed: which parts, how wide, how deep.
    expect(button).to_have_text(re.compile(r"Counterbore .*\d+ mm wide, \d+(\.\d+)? mm deep"))
    with bench.changing():
        button.click()
    expect(short_threads(bench)).to_have_count(0)
    bored = [p["label"] for p in bench.placements() if p.get("counterbore")]
    assert bored == ["B", "D", "E"]
    bench.undo()
    expect(short_threads(bench)).to_have_count(1)
    assert bench.document() == start


def near_the_edge(bench: Bench) -> float:
    """Bring a button toward the front edge until it is a caution; its distance then."""
    bench.select("E")
    for y in range(32, 20, -2):
        bench.type(y=str(y))
        if bench.report.get_by_role("heading", name=re.compile("^(Caution|Stop)")).count():
            return float(y)
    raise AssertionError("no caution on the way to the edge")


def test_an_accepted_caution_sleeps_until_it_gets_worse(bench: Bench) -> None:
    y = near_the_edge(bench)
    cautions = bench.report.get_by_role("heading", name=re.compile("^Caution"))
    expect(cautions).to_have_count(1)
    expect(bench.truth).to_contain_text("1 caution")
    bench.advised()
    bench.report.get_by_text("Accept…", exact=True).click()
    bench.report.get_by_label("Reason for accepting it").fill("The apron stiffens this edge")
    with bench.changing():
        bench.report.get_by_role("button", name="Accept as it is").click()
    expect(cautions).to_have_count(0)
    expect(bench.truth).to_contain_text("Fits")
    accepted = bench.report.locator(".accepted-words")
    expect(accepted).to_have_count(1)
    expect(bench.report).to_contain_text("The apron stiffens this edge")
    bench.type(y=str(y - 1))
    expect(bench.report.get_by_role("heading", name=re.compile("^(Caution|Stop)"))).to_have_count(1)
    expect(bench.report).to_contain_text("worse now: The apron stiffens this edge")
    expect(bench.truth).not_to_contain_text("Fits")
    bench.type(y="110")
    expect(bench.report.get_by_role("heading", name=re.compile("no longer found"))).to_be_visible()
    bench.advised()
    with bench.changing():
        bench.report.get_by_role("button", name="Delete").click()
    expect(bench.report.get_by_role("heading", name=re.compile("no longer found"))).to_have_count(0)


def test_a_fix_not_worked_out_yet_is_said_first(page: Page, server: Server) -> None:
    bench = raft(page, server)
    before = bench.document()
    links = bench.report.get_by_role("link", name=re.compile("^Find "))
    count = links.count()
    assert count > 0
    with bench.changing():
        links.first.click()
    assert bench.document() == before, "looking for a fix changes nothing"
    expect(bench.report.get_by_role("link", name=re.compile("^Find "))).to_have_count(count - 1)


def test_a_bit_is_added_from_where_it_is_missed(page: Page, server: Server) -> None:
    raft(page, server)
    page.get_by_role("heading", name="Board and workshop").click()
    page.get_by_role("link", name="Set bits, layers and paint").click()
    missed = page.get_by_text(re.compile("^None will do"))
    expect(missed).to_have_count(1)
    item = page.get_by_role("listitem").filter(has=missed).first
    item.get_by_role("button", name="Add to my bits").click()
    expect(missed).to_have_count(0)
    bought = page.get_by_role("button", name="Delete the 37 mm Forstner bit")
    expect(bought).to_have_count(1)
    page.get_by_role("button", name="Restore previous list").click()
    expect(missed).to_have_count(1)
    expect(bought).to_have_count(0)


@long  # tests/web sends every form without scripts
def test_everything_without_scripts(browser: Browser, server: Server, watch: Watch) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 720})
    context.set_default_timeout(LIMIT)
    context.on("page", watch.follow)
    page = context.new_page()
    bench = raft(page, server)
    before = bench.document()
    bench.report.get_by_role("link", name=re.compile("^Find ")).first.click()
    assert bench.document() == before
    bench.report.get_by_text(re.compile("^Accept")).first.click()
    bench.report.get_by_label("Reason for accepting it").first.fill("An exhibit")
    bench.report.get_by_role("button", name="Accept as it is").first.click()
    expect(bench.report.locator(".accepted-words").first).to_be_visible()
    assert bench.raw()["boards"][0]["arrangements"][0]["accepted"][0]["reason"] == "An exhibit"
    bench.report.get_by_role("button", name="Withdraw").first.click()
    expect(bench.report.locator(".accepted-words")).to_have_count(0)
    page.get_by_role("navigation", name="Face").get_by_role("link", name="Section").click()
    page.get_by_role("main").get_by_role("link", name=re.compile("^R13: ")).click()
    expect(page.locator("#section-svg")).to_contain_text("Section through R13")
    with page.expect_download() as started:
        page.get_by_role("link", name="Download this drawing, PDF").click()
    assert started.value.suggested_filename.endswith(".pdf")
    context.close()


# -- how it looks ------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def design(browser: Browser, server: Server) -> str:
    """Address of a copy of the scenario that breaks every rule, one caution of it accepted."""
    context = browser.new_context(viewport={"width": 1280, "height": 720})
    bench = raft(context.new_page(), server)
    bench.advised()
    bench.report.get_by_text(re.compile("^Accept")).first.click()
    bench.report.get_by_label("Reason for accepting it").first.fill("An exhibit")
    with bench.changing():
        bench.report.get_by_role("button", name="Accept as it is").first.click()
    context.close()
    return f"{server.url}/designs/{bench.design}"


PAGES = {
    "report": "",
    "selected": "?select=r13",
    "section": "?face=section&select=r13",
    "no part in hand": "?face=section",
    "shop": "/shop",
    "shop in inches": "/shop?units=inch",
    "paper": "/paper",
}


def open_folds(page: Page) -> None:
    """Open everything that is folded, so that it is judged too."""
    page.evaluate("document.querySelectorAll('details:not(#rename)').forEach((each) => { each.open = true; })")


# How pages look at all is tried of every page elsewhere; here of those that a deck with everything wrong fills.
GATE = {("report", "dark"), ("section", "light"), ("shop in inches", "dark")}


@pytest.mark.parametrize(("name", "scheme"), rows_in_gate(product(PAGES, ("dark", "light")), GATE.__contains__))
def test_a_laptop_needs_no_scrolling_and_axe_finds_nothing(
    open_page: Callable[..., Page], design: str, name: str, scheme: str
) -> None:
    """WCAG 2.0, 2.1 and 2.2, levels A and AA, and the best practices of axe-core; every fold is open."""
    page = open_page(1280, 720, scheme)
    page.goto(design + PAGES[name])
    page.wait_for_load_state("load")
    open_folds(page)
    width, height = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    assert width <= 1280
    assert height <= 720
    if name == "section":
        words_stand_out(page)
    # The report is the same on each of its pages, and the most of what there is to judge.
    axe_finds_nothing(page, None if name == "report" or "/" in PAGES[name] else "main, .card")


@pytest.mark.parametrize("name", PAGES)
def test_a_phone_needs_no_scrolling_sideways(open_page: Callable[..., Page], design: str, name: str) -> None:
    page = open_page(390, 844, "light", has_touch=True, is_mobile=True, device_scale_factor=2)
    page.goto(design + PAGES[name])
    open_folds(page)
    width, shown = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert (width, shown) == (390, 390)
    assert not too_low_for_a_finger(page)


def test_words_of_a_section_can_be_read_in_the_other_colours(open_page: Callable[..., Page], design: str) -> None:
    page = open_page(1280, 720, "light")
    page.goto(design + PAGES["section"])
    words_stand_out(page)


def words_stand_out(page: Page) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1 between the words of a section and the page, by its formula for relative luminance."""
    ground = page.evaluate("getComputedStyle(document.querySelector('.bench')).backgroundColor")
    fills = page.evaluate(
        "[...document.querySelectorAll('#section-svg text')].map((each) => getComputedStyle(each).fill)"
    )
    assert len(fills) > 8
    poor = {fill for fill in fills if contrast(fill, ground) < 4.5}
    assert not poor, f"on {ground}"


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two CSS colours (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance of ``rgb(r, g, b)`` (WCAG 2.2, definition of relative luminance)."""
    parts = [int(v) / 255 for v in re.findall(r"\d+", colour)[:3]]
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
