"""Lists for the bench in a real browser: read on a phone in either scheme, filled in, counted and looked up."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from app.document.dump import dumps
from tests.browser.bench import put_file
from tests.browser.conftest import axe_finds_nothing
from tests.companions import with_companions
from tests.long_run import by_turns
from tests.running import Server

PAGES = ("/bench", "/bench/marking", "/bench/drilling", "/bench/parts")


@pytest.fixture(scope="module")
def several(server: Server) -> str:
    """Address of a design of several boards."""
    return f"{server.url}/designs/{put_file(server.url, dumps(with_companions()))}"


@pytest.mark.parametrize(("path", "scheme"), by_turns(PAGES, ["light", "dark"]))
def test_on_a_phone_nothing_sticks_out_and_axe_finds_nothing(
    open_page: Callable[..., Page], several: str, path: str, scheme: str
) -> None:
    page = open_page(390, 844, scheme)
    page.goto(f"{several}{path}?board=grille")
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    axe_finds_nothing(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    for row in page.get_by_role("row").filter(visible=True).all()[:3]:
        found = row.bounding_box()
        assert found is not None
        left, wide = found["x"], found["width"]
        assert left >= 0 and left + wide <= 390, "a row is read without moving it"


@pytest.mark.parametrize(("path", "scheme"), by_turns(PAGES[2:], ["dark", "light"]))
def test_on_a_laptop_axe_finds_nothing_in_the_forms(
    open_page: Callable[..., Page], several: str, path: str, scheme: str
) -> None:
    page = open_page(1280, 720, scheme)
    page.goto(f"{several}{path}")
    axe_finds_nothing(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= 1280


def test_a_column_is_made_and_filled_by_keyboard_without_scripts_and_undone(browser: Browser, several: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{several}/bench/parts")
    page.get_by_label("New column").fill("Price")
    page.get_by_label("New column").press("Enter")
    own = page.locator("#own-price")
    expect(own).to_be_visible()
    first = own.get_by_role("textbox").first
    first.fill("3.20")
    first.press("Enter")
    expect(page.get_by_role("cell", name="3.20")).to_be_visible()
    page.get_by_label("New column").fill("price")
    page.get_by_role("button", name="Add column").click()
    expect(page.get_by_label("New column")).to_have_value("price")
    expect(page.get_by_label("New column")).to_have_accessible_description("The list has a column “price” already. "
        "Give this one another name.")  # fmt: skip
    page.goto(f"{several}/bench/parts")
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("cell", name="3.20")).to_have_count(0)
    context.close()


def test_a_rule_is_chosen_and_a_code_is_looked_up(open_page: Callable[..., Page], several: str) -> None:
    page = open_page(1280, 720, "light")
    page.goto(f"{several}/bench/marking?units=mm")
    page.get_by_label("Rule reads").select_option("1 mm")
    page.get_by_role("button", name="Apply").click()
    expect(page.get_by_text("Read to 1 mm")).to_be_visible()
    expect(page.get_by_role("img", name="every centre from one zero").first).to_be_visible()
    code = page.locator(".list-code").inner_text().split()[1].rstrip(":")
    page.goto(f"{several}/bench")
    page.get_by_label("Code on the sheet").fill(code.lower())
    page.get_by_role("button", name="Look it up").click()
    expect(page.get_by_role("status").filter(has_text="still holds")).to_contain_text("mark out the centres")
