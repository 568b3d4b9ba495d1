"""A pack in a real browser: chosen, made with its progress, stopped, made again; without scripts a plain download."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from tests.browser.bench import HeldBack, put_file
from tests.browser.conftest import Watch, axe_finds_nothing
from tests.companions import with_companions
from tests.long_run import in_gate
from tests.running import Server


def open_pack(page: Page, server: Server, text: str) -> None:
    page.goto(f"{server.url}/designs/{put_file(server.url, text)}/pack")
    expect(page.locator("html[data-ready]")).to_be_attached()


def names_in(path: Path) -> list[str]:
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        return archive.namelist()


@pytest.mark.parametrize("scheme", in_gate(["dark", "light"], lambda scheme: scheme == "dark"))
def test_a_pack_is_stopped_then_made_and_fetched(
    open_page: Callable[..., Page], server: Server, tmp_path: Path, scheme: str
) -> None:
    page = open_page(1280, 720, scheme, accept_downloads=True)
    open_pack(page, server, dumps(with_companions()))
    page.get_by_role("button", name="Make the pack").click()
    expect(page.get_by_role("heading", name="Making the pack")).to_be_visible()
    bar, said = page.get_by_role("progressbar"), page.locator("#pack-said")
    expect(said).to_have_text(re.compile(r"^\d+ of about [\d,]+ pages and files"))
    axe_finds_nothing(page)
    page.wait_for_function("() => document.getElementById('pack-bar').value > 0")
    page.get_by_role("button", name="Stop").click()
    expect(page.get_by_role("heading", name="Stopped")).to_be_visible()
    expect(page.locator("#live")).to_contain_text("Nothing of the pack is left")
    expect(bar).to_be_hidden()
    before = page.locator(".pack-figures strong").inner_text()
    for label in ("Sheets, each kind by itself", "Letter", "Inches"):
        page.get_by_label(label, exact=True).uncheck()
    expect(page.locator(".pack-figures strong")).not_to_have_text(before)
    with page.expect_download() as fetched:
        page.get_by_role("button", name="Make the pack").press("Enter")
    expect(page.get_by_role("heading", name="The pack is made")).to_be_visible()
    expect(page.locator("#live")).to_contain_text("The pack is made")
    expect(page.get_by_role("link", name="Save the pack")).to_be_visible()
    axe_finds_nothing(page)
    fetched.value.save_as(tmp_path / "plan.zip")
    names = names_in(tmp_path / "plan.zip")
    assert [name for name in names if "/booklets/" in name] == [name for name in names if name.endswith("a4-mm.pdf")]
    said_files = re.search(r"(\d+) files", said.inner_text())
    assert said_files
    assert int(said_files[1]) == len(names)


def test_figures_that_come_late_put_back_no_box(page: Page, server: Server) -> None:
    open_pack(page, server, dumps(load_scenario("lantern-hill-solo")))
    figures = page.locator(".pack-figures strong")
    all_of_it = figures.inner_text()
    held = HeldBack(page, r"/pack\?")
    page.get_by_label("Letter", exact=True).uncheck()
    first = held.next()
    page.get_by_label("Inches", exact=True).uncheck()
    # Those of both boxes are asked for a moment after the second is cleared; left too early, that would be broken off.
    with page.expect_response(lambda answer: "/pack?" in answer.url and "units=inch" not in answer.url):
        first.continue_()  # figures of the one box, while the other is cleared already
        held.release()
    expect(figures).not_to_have_text(all_of_it)
    for label in ("Letter", "Inches"):
        expect(page.get_by_label(label, exact=True)).not_to_be_checked()
    expect(page.locator(".htmx-request")).to_have_count(0)


def test_what_is_missing_is_said_beside_its_boxes(page: Page, server: Server, watch: Watch) -> None:
    watch.expect("422")
    open_pack(page, server, dumps(load_scenario("lantern-hill-solo")))
    for label in ("A4", "Letter"):
        page.get_by_label(label, exact=True).uncheck()
    expect(page.get_by_text("Choose a paper.")).to_be_visible()
    expect(page.get_by_label("Letter", exact=True)).to_be_focused()
    page.get_by_role("button", name="Make the pack").click()
    expect(page.get_by_role("heading", name="The pack was not made")).to_be_visible()
    expect(page.locator("#pack-said")).to_have_text("Choose a paper.")


def test_without_scripts_it_is_counted_anew_and_downloaded(browser: Browser, server: Server, tmp_path: Path) -> None:
    context = browser.new_context(java_script_enabled=False, accept_downloads=True)
    page = context.new_page()
    page.goto(f"{server.url}/designs/{put_file(server.url, dumps(load_scenario('lantern-hill-solo')))}/pack")
    for label in ("Booklets, every sheet in one file", "Sheets, each kind by itself"):
        page.get_by_label(label).uncheck()
    page.get_by_role("button", name="Count again").click()
    expect(page.get_by_label("Booklets, every sheet in one file")).not_to_be_checked()
    expect(page.locator(".pack-figures")).not_to_contain_text("pages")
    with page.expect_download() as fetched:
        page.get_by_role("button", name="Make the pack").click()
    fetched.value.save_as(tmp_path / "plan.zip")
    assert any("/lists/" in name for name in names_in(tmp_path / "plan.zip"))
    context.close()
