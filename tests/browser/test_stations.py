"""Stations and the timeline in a real browser: by keyboard and pointer, light and dark, on a phone."""

from __future__ import annotations

import json
import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.bench import Bench
from tests.browser.conftest import Watch


def places(bench: Bench, station: str = "s1") -> dict[str, tuple[float, float]]:
    rows = json.loads(bench.document())["boards"][0]["arrangements"][0]["placements"]
    return {p["label"]: (p["x"], p["y"]) for p in rows if p.get("station") == station}


def open_stations(bench: Bench) -> Page:
    bench.page.get_by_role("link", name=re.compile("^Stations")).click()
    expect(bench.page.get_by_role("heading", level=1)).to_contain_text("Stations")
    return bench.page


def test_a_pitch_typed_by_keyboard_moves_the_buttons_at_once_and_undo_brings_them_back(bench: Bench) -> None:
    page, before = open_stations(bench), places(bench)
    field = page.get_by_label("Column to column")
    field.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("2 in")
    page.keyboard.press("Tab")
    undo = page.get_by_role("button", name=re.compile("^Undo"))
    expect(undo).to_contain_text("column to column")
    after = places(bench)
    assert after.keys() == before.keys()
    xs = sorted({round(x, 6) for label, (x, _) in after.items() if label != "A"})
    assert xs[1] - xs[0] == pytest.approx(50.8, abs=1e-6)  # 2 in, exactly
    drawn = page.locator("#part-b")
    expect(drawn).to_be_visible()
    undo.click()
    expect(undo).not_to_contain_text("column to column")
    assert places(bench) == before


def test_the_other_player_is_chosen_and_a_wrong_number_stays_beside_its_field(bench: Bench, watch: Watch) -> None:
    watch.expect("422")
    page = open_stations(bench)
    page.get_by_role("navigation", name="Station").get_by_role("link", name="Player 2").click()
    expect(page.get_by_role("heading", name="Player 2")).to_be_visible()
    field = page.get_by_label("Row to row")
    field.fill("far")
    field.press("Enter")
    wrong = page.locator("#wrong-row_spacing")
    expect(wrong).to_contain_text("far")
    expect(page.get_by_label("Row to row")).to_have_value("far")


def test_the_timeline_goes_back_and_forward(bench: Bench) -> None:
    start = places(bench)
    page = open_stations(bench)
    for value in ("45 mm", "48 mm"):
        page.get_by_label("Column to column").fill(value)
        page.get_by_label("Column to column").press("Enter")
        expect(page.get_by_role("button", name=re.compile("^Undo"))).to_contain_text(value)
    last = places(bench)
    page.get_by_role("link", name="‹ Board").click()
    page.locator("#to-timeline").click()
    steps = page.locator(".step")
    expect(steps).to_have_count(3)
    steps.nth(2).get_by_role("button").click()
    expect(steps.nth(2)).to_have_attribute("aria-current", "step")
    assert places(bench) == start
    page.get_by_role("button", name=re.compile("^Go to this: .*48 mm")).click()
    expect(steps.nth(0)).to_have_attribute("aria-current", "step")
    assert places(bench) == last


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_for_axe_to_find(bench: Bench, browser: Browser, scheme: str) -> None:
    context = browser.new_context(color_scheme=scheme, viewport={"width": 1280, "height": 720})  # type: ignore[arg-type]
    page = context.new_page()
    for where in ("stations", "timeline"):
        page.goto(f"{bench.url}/designs/{bench.design}/{where}")
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
        assert page.evaluate("document.documentElement.scrollHeight <= innerHeight + 1"), where
    context.close()


def test_on_a_phone_nothing_sticks_out(bench: Bench, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    for where in ("stations", "timeline"):
        page.goto(f"{bench.url}/designs/{bench.design}/{where}")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), where
    context.close()
