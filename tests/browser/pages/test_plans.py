"""The way of a plan maker, in a real browser: published, changed, compared, printed, packed; nothing is a dead end."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pymupdf
import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench import put_copy
from tests.browser.conftest import axe_finds_nothing
from tests.long_run import rows_in_gate
from tests.running import Server

WAYS = [(1280, "light", True), (390, "dark", False)]


@pytest.mark.parametrize(("width", "scheme", "scripts"), rows_in_gate(WAYS, lambda way: way == WAYS[0]))
def test_a_revision_is_published_compared_printed_and_packed(
    open_page: Callable[..., Page], server: Server, tmp_path: Path, width: int, scheme: str, scripts: bool
) -> None:
    page = open_page(width, 800, scheme, java_script_enabled=scripts, accept_downloads=True)
    design = f"{server.url}/designs/{put_copy(server.url, 'lantern-hill-solo')}"
    page.goto(design)
    page.get_by_role("link", name="Revisions").click()
    page.get_by_role("button", name="Publish revision A").click()
    expect(page.get_by_role("heading", name="This is revision A")).to_be_visible()
    page.goto(f"{design}?select=b")
    across = page.get_by_label(re.compile("From left"))
    across.fill(str(float(across.input_value().split()[0]) + 20))
    across.press("Enter")
    expect(page.locator("#undo")).to_have_attribute("title", re.compile("Moved B"))
    page.goto(f"{design}/revisions")
    page.get_by_role("link", name="Compare with now").click()
    expect(page.locator("main")).to_contain_text("From revision A to how it is now")
    row = page.get_by_role("row").filter(has_text="moved 20 mm to the right")
    expect(row.first).to_be_visible()
    expect(page.locator(".compare-drawing .was").first).to_be_visible()
    if scripts:
        axe_finds_nothing(page)
    with page.expect_download() as waiting:
        page.get_by_role("link", name="Sheet to print, Letter").click()
    waiting.value.save_as(tmp_path / "changed.pdf")
    with pymupdf.open(tmp_path / "changed.pdf") as sheet:
        said = " ".join(sheet[0].get_text().split())
    assert "From revision A to step" in said
    page.get_by_role("link", name="What a board needs that is drilled already").click()
    expect(page.get_by_role("heading", level=2).first).to_contain_text("of work")
    page.get_by_role("link", name="Board").first.click()
    page.get_by_role("link", name="Pack everything").click()
    expect(page.get_by_role("button", name="Make the pack")).to_be_visible()
    page.goto(f"{design}/timeline")
    page.get_by_role("link", name="Pack: Published revision A").click()
    expect(page.get_by_label("State of the design")).to_have_value("A")
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
