"""Paper in a real browser: print the check sheet, type what it measures, see the diagnosis, get corrected sheets."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pymupdf
import pytest
from playwright.sync_api import Browser, Page, expect

from app.document.dump import dumps
from tests.browser.bench import Bench, put_deck, put_file
from tests.browser.conftest import Watch, axe_finds_nothing
from tests.browser.looks.test_looks import too_low_for_a_finger
from tests.companions import with_companions
from tests.long_run import in_gate, long
from tests.running import Server

POINT = 25.4 / 72  # mm: ISO 32000-1, 8.3.2.3


def open_paper(bench: Bench) -> Page:
    bench.page.goto(f"{bench.url}/designs/{bench.design}/paper?paper=a4")
    expect(bench.page.get_by_role("heading", level=1)).to_contain_text("Paper")
    return bench.page


def downloaded(page: Page, link: str, folder: Path) -> bytes:
    with page.expect_download() as waiting:
        page.locator(link).click()
    file = folder / waiting.value.suggested_filename
    waiting.value.save_as(file)
    return file.read_bytes()


def filled(data: bytes, number: int) -> list[tuple[float, float]]:
    """Width and height of every filled drawing of a page [mm]."""
    page = list(pymupdf.open(stream=data).pages())[number]
    return [(d["rect"].width * POINT, d["rect"].height * POINT) for d in page.get_drawings() if d["fill"]]


def has(sizes: list[tuple[float, float]], length: float) -> bool:
    return any(length == pytest.approx(side, abs=0.01) for size in sizes for side in size)


def test_from_the_check_sheet_to_corrected_sheets(bench: Bench, tmp_path: Path) -> None:
    """A printer that makes 99.5 % along the short side and 100.4 % along the long one."""
    page = open_paper(bench)
    page.locator("#to-printer").click()
    sheet = downloaded(page, "#check-sheet", tmp_path)
    assert has(filled(sheet, 0), 190.0)
    assert has(filled(sheet, 0), 250.0)
    # As a shrunk print first: A4 on Letter, 279.4 / 297.
    page.get_by_label("A, bottom").fill("178.7")
    page.get_by_label("C, left").fill("235.2")
    page.get_by_role("button", name="Diagnose").click()
    said = page.locator("#diagnosis")
    expect(said).to_contain_text("Letter")
    expect(page.get_by_role("button", name="Save and print")).to_have_count(0)
    # Then as the printer's own small error, by keyboard, in both units.
    page.get_by_label("A, bottom").fill("189.05")
    page.get_by_label("C, left").fill('9.882"')
    page.get_by_label("C, left").press("Enter")
    expect(page.get_by_label("Name of the printer")).to_be_visible()
    expect(page.locator(".keep")).to_contain_text("x 1.0050 y 0.9960")
    page.get_by_label("Name of the printer").fill("Bench printer")
    page.get_by_role("button", name="Save and print corrected").click()
    expect(page.get_by_text("corrected x 1.0050 y 0.9960 for Bench printer")).to_be_visible()
    data = downloaded(page, "#download-template", tmp_path)
    lying = "lying" in page.locator("#truth").inner_text()
    x, y = 190 / 189.05, 250 / (9.882 * 25.4)
    assert has(filled(data, 1), 100 * (y if lying else x))
    assert has(filled(data, 1), 100 * (x if lying else y))
    text = list(pymupdf.open(stream=data).pages())[1].get_text()
    assert "corrected" in text
    page.get_by_role("link", name="Print uncorrected").click()
    expect(page.get_by_text("for Bench printer.")).to_have_count(0)
    assert has(filled(downloaded(page, "#download-template", tmp_path), 1), 100.0)


def test_both_faces_are_downloaded_with_their_proof(bench: Bench, tmp_path: Path) -> None:
    page = open_paper(bench)
    expect(page.locator("#proof-template")).to_contain_text("largest difference 0.00 mm")
    for key in ("other", "svg", "dxf"):
        page.locator(f"#download-{key}").scroll_into_view_if_needed()
        expect(page.locator(f"#proof-{key}")).to_contain_text("largest difference 0.00 mm")
    top = downloaded(page, "#download-template", tmp_path)
    under = downloaded(page, "#download-other", tmp_path)
    texts = [list(pymupdf.open(stream=data).pages())[1].get_text() for data in (top, under)]
    assert "TOP FACE" in texts[0]
    assert "UNDERSIDE" in texts[1]
    names = {file.name for file in tmp_path.iterdir()}
    assert len(names) == 2
    assert any("underside" in name for name in names)


def test_a_wrong_overlap_stays_beside_its_field_and_nothing_is_offered(bench: Bench, watch: Watch) -> None:
    page = open_paper(bench)
    page.get_by_label("Overlap").fill("3")
    page.get_by_label("Overlap").press("Enter")
    expect(page.locator("#wrong-overlap")).to_contain_text("marks")
    expect(page.get_by_label("Overlap")).to_have_value("3")
    expect(page.locator("#download-template")).to_have_count(0)
    page.get_by_label("Overlap").fill("14 mm")
    page.get_by_label("Overlap").press("Enter")
    expect(page.locator("#download-template")).to_be_visible()
    assert not watch.said


def test_every_page_is_seen_and_a_roll_is_one(bench: Bench) -> None:
    page = open_paper(bench)
    leaves = page.locator(".leaves img")
    count = leaves.count()
    assert count >= 5
    for k in range(count):
        leaves.nth(k).scroll_into_view_if_needed()
        expect(leaves.nth(k)).to_have_js_property("complete", True)
        assert leaves.nth(k).evaluate("image => image.naturalWidth") > 0
    page.get_by_label("Another size, or a roll").fill("roll 610")
    page.get_by_role("button", name="Show").click()
    expect(page.locator("#truth")).to_contain_text("1 piece of roll 610 mm wide")


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], lambda scheme: scheme == "dark"))
def test_nothing_for_axe_to_find(server: Server, open_page: Callable[..., Page], scheme: str) -> None:
    """In a wrong entry and in a proof; the pages as they are first shown are looked at with all others."""
    design = put_deck(server.url)
    page = open_page(1280, 720, scheme)
    for where in ("paper?overlap=2", "proof?of=dxf"):
        page.goto(f"{server.url}/designs/{design}/{where}")
        axe_finds_nothing(page)


@long  # test_phone.py holds it for the page as it is first shown
def test_on_a_phone_nothing_sticks_out(bench: Bench, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    for where in ("paper", "printer"):
        page.goto(f"{bench.url}/designs/{bench.design}/{where}")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), where
    context.close()


def test_the_way_to_print_is_in_the_address(bench: Bench) -> None:
    page = open_paper(bench)
    page.get_by_label("Margin").fill("12")
    page.get_by_label("Margin").press("Enter")
    expect(page).to_have_url(re.compile("margin=12"))
    page.get_by_role("link", name="Underside", exact=True).click()
    expect(page).to_have_url(re.compile("face=under.*margin=12|margin=12.*face=under"))
    expect(page.get_by_label("Margin")).to_have_value("12")


@pytest.fixture(scope="module")
def cabinet(server: Server) -> str:
    """Address of the paper page of a deck with companions."""
    return f"{server.url}/designs/{put_file(server.url, dumps(with_companions()))}/paper?paper=a4"


def all_boards_of(data: bytes) -> str:
    """The words of a file of all boards, which has fewer sheets than boards would take one by one."""
    with pymupdf.open(stream=data) as file:
        return " ".join(" ".join(page.get_text().split()) for page in file)


def test_all_boards_by_keys_alone_and_back_to_one(page: Page, cabinet: str, tmp_path: Path) -> None:
    page.goto(cabinet)
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    page.get_by_role("link", name="All boards", exact=True).focus()
    page.keyboard.press("Enter")
    expect(page.locator(".all-boards")).to_contain_text("Row of sockets")
    page.locator("#download-all-templates").focus()
    with page.expect_download() as waiting:
        page.keyboard.press("Enter")
    waiting.value.save_as(tmp_path / "all.pdf")
    assert "Row of sockets" in all_boards_of((tmp_path / "all.pdf").read_bytes())
    page.get_by_role("link", name="This board", exact=True).focus()
    page.keyboard.press("Enter")
    expect(page.locator(".map-frame")).to_be_visible()


def test_all_boards_by_finger_on_a_phone_in_the_dark(
    open_page: Callable[..., Page], cabinet: str, tmp_path: Path
) -> None:
    page = open_page(390, 844, "dark", has_touch=True, is_mobile=True, device_scale_factor=2, accept_downloads=True)
    page.goto(cabinet)
    page.locator("#print-short > summary").tap()
    page.get_by_role("navigation", name="Print").get_by_role("link", name="All boards").tap()
    expect(page.locator(".all-boards")).to_contain_text("Row of sockets")
    assert too_low_for_a_finger(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    axe_finds_nothing(page)
    with page.expect_download() as waiting:
        page.locator("#download-all-templates").tap()
    waiting.value.save_as(tmp_path / "all.pdf")
    assert "Row of sockets" in all_boards_of((tmp_path / "all.pdf").read_bytes())
