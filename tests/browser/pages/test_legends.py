"""The page of legends in a browser: with scripts and without, on a laptop and a phone; axe has nothing against it."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.bench import put_deck
from tests.browser.conftest import Watch, axe_finds_nothing
from tests.long_run import in_gate
from tests.running import Server


def test_legends_are_set_with_what_is_seen_at_once(page: Page, server: Server, watch: Watch) -> None:
    watch.expect("422")
    deck = put_deck(server.url, title="Lettered")
    page.goto(f"{server.url}/designs/{deck}/legends")
    page.get_by_role("button", name="Letter every part by its name").click()
    expect(page.locator("#legends-svg .legend")).to_have_count(16)
    page.get_by_role("link", name="B", exact=True).click()
    expect(page.get_by_role("heading", name="Legend of B")).to_be_visible()
    page.get_by_label("Text").fill("START")
    page.get_by_label("Place").select_option("ring")
    page.get_by_role("button", name="Apply", exact=True).click()
    expect(page.get_by_role("row", name="B START ring")).to_be_visible()
    page.get_by_label("Text").fill("安")
    page.get_by_role("button", name="Apply", exact=True).click()
    expect(page.locator("#wrong-text")).to_contain_text("Leave those out")
    expect(page.get_by_label("Text")).to_have_value("安")
    axe_finds_nothing(page)
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("row", name="B B behind")).to_be_visible()


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], {"light"}.__contains__))
def test_a_phone_without_scripts_letters_a_part(browser: Browser, server: Server, scheme: str) -> None:
    deck = put_deck(server.url, title=f"Lettered by hand, {scheme}")
    dark = scheme == "dark"
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, color_scheme="dark" if dark else "light", java_script_enabled=False
    )
    try:
        page = context.new_page()
        page.goto(f"{server.url}/designs/{deck}/legends?select=b")
        page.get_by_label("Text").fill("GO")
        page.get_by_role("button", name="Apply", exact=True).click()
        expect(page.get_by_role("row", name=re.compile("^B .*GO .*behind"))).to_be_visible()
        with page.expect_download() as got:
            page.get_by_role("link", name="For a plotter, SVG").first.click()
        assert got.value.suggested_filename.endswith("legends.svg")
    finally:
        context.close()


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], {"dark"}.__contains__))
def test_axe_has_nothing_against_the_page(open_page: Callable[..., Page], server: Server, scheme: str) -> None:
    deck = put_deck(server.url, title=f"Looked at, {scheme}")
    page = open_page(1280, 720, scheme)
    page.goto(f"{server.url}/designs/{deck}/legends")
    page.get_by_role("button", name="Letter every part by its name").click()
    expect(page.locator("#legends-svg .legend")).to_have_count(16)
    axe_finds_nothing(page)
