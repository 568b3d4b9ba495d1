"""The app in a browser that runs no scripts: everything but dragging works by links and forms."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.bench import Bench
from tests.browser.conftest import LIMIT, Watch
from tests.reading.measure import page_sizes
from tests.running import Server


@pytest.fixture
def plain(browser: Browser, watch: Watch) -> Iterator[Page]:
    """A page without JavaScript."""
    context = browser.new_context(
        java_script_enabled=False, viewport={"width": 1280, "height": 720}, locale="en-GB", accept_downloads=True
    )
    context.set_default_timeout(LIMIT)
    context.on("page", watch.follow)
    yield context.new_page()
    context.close()


def test_the_main_job_without_scripts(plain: Page, server: Server, watch: Watch, tmp_path: Path) -> None:
    page = plain
    watch.expect("422")
    page.goto(server.url)
    form = page.get_by_role("region", name="New deck")
    form.get_by_label("Title", exact=True).fill("No scripts")
    form.get_by_role("radio", name="Two players").check()
    form.get_by_role("button", name="Make the deck").click()
    bench = Bench(page, server.url)
    bench.arrive()
    count = len(bench.placements())
    start = bench.document()

    # Choose a part from the list, type its place in another unit than the one shown.
    choose(page, "E")
    field = bench.card.get_by_label("From left edge", exact=True)
    bench.card.get_by_label("From left edge", exact=True).fill('8 1/4"')
    bench.card.get_by_role("button", name="Apply").click()
    expect(field).to_have_value(re.compile(r"^209"))
    assert bench.placed("E")["x"] == pytest.approx(8.25 * 25.4, abs=1e-6)

    # Nonsense is explained beside the field and kept.
    field.fill("over there")
    bench.card.get_by_role("button", name="Apply").click()
    expect(field).to_have_value("over there")
    expect(field).to_have_accessible_description(re.compile("over there"))
    assert bench.placed("E")["x"] == pytest.approx(8.25 * 25.4, abs=1e-6)

    # At the edge it stops; the offered change, or undo, clears it.
    field.fill("750")
    bench.card.get_by_role("button", name="Apply").click()
    stops = bench.report.get_by_role("heading", name=re.compile("^Stop"))
    expect(stops.first).to_be_visible()
    assert bench.check(tmp_path) == 1
    bench.report.get_by_role("link", name="Show").first.click()
    page.get_by_role("button", name=re.compile("^Undo")).click()
    expect(stops).to_have_count(0)
    assert bench.check(tmp_path) == 0
    page.get_by_role("button", name=re.compile("^Undo")).click()
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_be_disabled()
    assert bench.document() == start
    page.get_by_role("button", name=re.compile("^Redo")).click()
    assert bench.placed("E")["x"] == pytest.approx(8.25 * 25.4, abs=1e-6)

    # Add, duplicate, relabel, exchange, switch off, remove.
    page.get_by_role("button", name=re.compile("24 mm hole")).first.click()
    bench.card.get_by_role("button", name="Duplicate", exact=True).click()
    bench.card.get_by_label("Label", exact=True).fill("COIN")
    bench.card.get_by_role("button", name="Apply").click()
    assert [p["label"] for p in bench.placements()].count("COIN") == 1
    assert len(bench.placements()) == count + 2
    was = bench.placed("COIN")["part"]
    bench.card.get_by_label("Hardware").select_option(index=2)
    bench.card.get_by_role("button", name="Use this part").click()
    assert bench.placed("COIN")["part"] != was
    switch = bench.card.get_by_role("switch", name=re.compile("rilled"))
    switch.click()
    expect(switch).to_have_attribute("aria-checked", "false")
    assert bench.placed("COIN")["drill"] is False
    bench.card.get_by_role("button", name="Delete", exact=True).click()
    assert len(bench.placements()) == count + 1

    # The other ways to look at it, then paper.
    for nav, name in (("Arrangement", "One player"), ("Face", "Underside"), ("Units", "inch")):
        page.get_by_role("navigation", name=nav).get_by_role("link", name=name).click()
        expect(page.get_by_role("navigation", name=nav).get_by_role("link", name=name)).to_have_attribute(
            "aria-current", "true"
        )
    expect(bench.drawing).to_contain_text("UNDERSIDE")
    page.get_by_role("link", name="Paper", exact=True).click()
    page.get_by_label("Size", exact=True).select_option("letter")
    page.get_by_role("button", name="Apply").click()
    expect(page.locator("#truth")).to_contain_text(re.compile("sheets? of Letter"))
    with page.expect_download() as started:
        page.get_by_role("link", name=re.compile("template, PDF")).click()
    file = tmp_path / "template.pdf"
    started.value.save_as(file)
    for sides in page_sizes(file.read_bytes()):
        assert sorted(sides) == pytest.approx((215.9, 279.4), abs=0.004)


def test_a_scenario_opens_without_scripts(plain: Page, server: Server) -> None:
    plain.goto(server.url)
    opened = plain.get_by_role("button", name=re.compile("^Open a copy of")).first
    if not opened.is_visible():
        plain.get_by_text("Scenarios", exact=True).click()
    opened.click()
    Bench(plain, server.url).arrive()


def choose(page: Page, letter: str) -> None:
    """Open the list of parts and take one: the way without a pointer."""
    page.get_by_role("heading", name=re.compile("^Parts on the board")).click()
    page.get_by_role("link", name=re.compile(rf"^{letter}: ")).click()
