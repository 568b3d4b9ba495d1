"""An outline from a file in a real browser: looked at, its unit said, taken, undone."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.bench import Bench, put_deck
from tests.browser.conftest import axe_finds_nothing
from tests.long_run import in_gate
from tests.running import Server

STADIUM = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 900 300">'
    '<path d="M60,10 H780 A60,60 0 0 1 840,70 V290 H10 V60 A50,50 0 0 1 60,10 Z"/></svg>'
)


def choose(page: Page, file: Path) -> None:
    page.get_by_label("DXF or SVG file").set_input_files(file)
    page.get_by_role("button", name="Preview").click()


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    file = tmp_path / "hand-drawn.svg"
    file.write_text(STADIUM, encoding="utf-8")
    return file


def corners(bench: Bench) -> list[dict[str, object]]:
    return list(json.loads(bench.document())["boards"][0]["outline"]["corners"])


def test_an_outline_is_looked_at_taken_and_undone(bench: Bench, drawing: Path) -> None:
    before = corners(bench)
    page = bench.page
    page.locator("#to-outline").click()
    choose(page, drawing)
    expect(page.locator("#outline-svg")).to_be_visible()
    expect(page.get_by_text("does not say what unit")).to_be_visible()
    assert corners(bench) == before, "looking changes nothing"
    page.get_by_role("radio", name="830 mm × 280 mm").check()
    page.get_by_role("button", name="Import this outline").click()
    bench.arrive()
    after = corners(bench)
    assert max(float(str(c["x"])) for c in after) == pytest.approx(830, abs=1e-6)
    # The arcs are still arcs: corners set back equally by their radius.
    assert sorted(c["setback"][0] for c in after if c.get("setback")) == pytest.approx([50, 60], abs=1e-6)  # type: ignore[index]
    undo = page.locator("#undo")
    expect(undo).to_contain_text("outline")
    undo.click()
    expect(undo).not_to_contain_text("outline")
    assert corners(bench) == before


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], lambda scheme: scheme == "dark"))
def test_nothing_for_axe_to_find_and_nothing_sticks_out(
    server: Server, open_page: Callable[..., Page], drawing: Path, scheme: str
) -> None:
    page = open_page(390, 844, scheme)
    page.goto(f"{server.url}/designs/{put_deck(server.url)}/outline")
    choose(page, drawing)
    expect(page.locator("#outline-svg")).to_be_visible()
    axe_finds_nothing(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_by_keyboard_and_without_scripts(bench: Bench, browser: Browser, tmp_path: Path) -> None:
    """The forms are plain ones; what the file cannot be is told on the same page."""
    file = tmp_path / "with-openings.svg"
    file.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="300mm" viewBox="0 0 900 300">'
        '<rect width="800" height="280"/><rect x="100" y="100" width="80" height="40"/>'
        '<circle cx="400" cy="100" r="30"/></svg>',
        encoding="utf-8",
    )
    broken = tmp_path / "open.svg"
    broken.write_text('<svg xmlns="http://www.w3.org/2000/svg"><path d="M0,0 H90 V80"/></svg>', encoding="utf-8")
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{bench.url}/designs/{bench.design}/outline")
    choose(page, broken)
    expect(page.get_by_role("alert").filter(has_text="one ends")).to_contain_text("open.svg")
    choose(page, file)
    window = page.get_by_role("checkbox", name="80 mm × 40 mm, middle at 140 mm | 160 mm")
    expect(window).to_be_checked()
    circle = page.get_by_role("checkbox", name="circle 60 mm wide, middle at 400 mm | 180 mm")
    expect(circle).to_be_hidden()
    page.locator("#circles summary").focus()
    page.keyboard.press("Enter")
    expect(circle).not_to_be_checked()
    circle.focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Import this outline").focus()
    page.keyboard.press("Enter")
    expect(page).not_to_have_url(f"{bench.url}/designs/{bench.design}/outline/look")
    openings = json.loads(bench.document())["boards"][0]["outline"]["openings"]
    # One opening of four corners, one of a circle: as many set-back corners, all of one radius.
    assert sorted(len(o) for o in openings)[0] == 4
    assert len(openings) == 2
    context.close()
