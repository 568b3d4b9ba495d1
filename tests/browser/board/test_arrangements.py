"""Arrangements by keys and pointer, at the bench: one more, another name, one less, and back."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.bench import Bench
from tests.browser.conftest import Watch


def menu(page: Page) -> None:
    page.locator("#arrangements > summary").click()
    expect(page.get_by_label("Name of this arrangement")).to_be_visible()


def names(bench: Bench) -> list[str]:
    return [a["name"] for a in bench.raw()["boards"][0]["arrangements"]]


def test_an_arrangement_is_copied_renamed_and_removed_by_keys_and_pointer(bench: Bench, watch: Watch) -> None:
    watch.expect("422")
    page, before = bench.page, names(bench)
    page.locator("#arrangements > summary").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")
    expect(page.locator("#arrangements")).not_to_have_attribute("open", "")
    expect(page.locator("#arrangements > summary")).to_be_focused()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Add a copy").focus()
    page.keyboard.press("Enter")
    copy = f"{before[0]} copy"
    expect(page.get_by_role("navigation", name="Arrangement").locator("[aria-current]")).to_contain_text(copy)
    expect(page.locator("#arrangements")).not_to_have_attribute("open", "")

    menu(page)
    page.get_by_label("Name of this arrangement").fill(before[0])
    page.keyboard.press("Enter")
    expect(page.locator("#wrong-called")).to_contain_text("Another arrangement of this board")
    page.get_by_label("Name of this arrangement").fill("For the fair")
    page.keyboard.press("Enter")
    expect(page.get_by_role("navigation", name="Arrangement").locator("[aria-current]")).to_contain_text("For the fair")

    # From four on the ways are in a list.
    menu(page)
    page.get_by_role("button", name="Add a blank arrangement").click()
    expect(page.locator("#arrangement-list > summary")).to_contain_text(f"Arrangement {len(before) + 2}")
    page.locator("#arrangement-list > summary").click()
    page.get_by_role("link", name="For the fair").click()
    expect(page.locator("#arrangement-list > summary")).to_contain_text("For the fair")
    expect(page.get_by_role("navigation", name="Arrangement")).to_be_hidden()

    menu(page)
    page.get_by_role("button", name="Delete For the fair").click()
    expect(page.locator("#arrangements")).not_to_have_attribute("open", "")
    assert names(bench) == [*before, f"Arrangement {len(before) + 2}"]
    page.locator("#undo").click()
    expect(page.locator("#arrangement-list")).to_be_visible()
    assert names(bench) == [*before, "For the fair", f"Arrangement {len(before) + 2}"]
