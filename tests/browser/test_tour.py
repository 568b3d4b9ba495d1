"""The pictures of the README, taken from the running app.

A run takes every picture anew and compares it, coarsely, with the one in the repository: fonts differ from machine to
machine, but a page that has changed no longer looks like its picture. ``HOLEWISE_RENEW_TOUR=1`` writes them; so does a
picture that is missing.
"""

from __future__ import annotations

import os
import re
import subprocess
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from typing import Any, Literal

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from tests.browser.bench import Bench, fetch, put_file
from tests.browser.conftest import LIMIT, Watch
from tests.long_run import long
from tests.running import Server
from tests.tools import ROOT

FOLDER = Path(__file__).parent / "tour"
SIZE = (1280, 720)
PICTURES = (
    "shelf.png",
    "board.png",
    "stop-dark.png",
    "room.png",
    "stations.png",
    "companion.png",
    "section.png",
    "paper.png",
    "sheet.png",
)
DECKS = ("Harbour Lane two-seater", "Lantern Hill solo", "Willow Court easy reach")

MOST_CHANGED = 0.02
"""Mean difference of two pictures, 0 to 1, up to which they show the same page: other fonts make less."""


@pytest.fixture(scope="module")
def decks(browser: Browser, server: Server) -> dict[str, str]:
    """Copies of three scenarios on an otherwise empty shelf: id by title, the first opened last."""
    page = browser.new_page()
    found = {}
    for title in reversed(DECKS):
        page.goto(server.url)
        copy = page.get_by_role("button", name=f"Open a copy of {title}")
        if not copy.is_visible():
            page.get_by_text("Scenarios", exact=True).click()
        copy.click()
        bench = Bench(page, server.url)
        bench.arrive()
        found[title] = bench.design
    page.close()
    return found


@pytest.fixture
def photograph(browser: Browser, watch: Watch) -> Iterator[Callable[[str], Page]]:
    """A page of the pictures' size, in light or dark colours."""
    # Playwright hides the caret by a style of its own, which the app's policy rightly refuses.
    watch.expect("Applying inline style violates")
    opened: list[Any] = []

    def new(scheme: str) -> Page:
        colour: Literal["dark", "light"] = "dark" if scheme == "dark" else "light"
        context = browser.new_context(
            viewport={"width": SIZE[0], "height": SIZE[1]}, color_scheme=colour, reduced_motion="reduce", locale="en-GB"
        )
        context.set_default_timeout(LIMIT)
        context.on("page", watch.follow)
        opened.append(context)
        return context.new_page()

    yield new
    for context in opened:
        context.close()


@long
def test_the_shelf(photograph: Callable[[str], Page], server: Server, decks: dict[str, str]) -> None:
    page = photograph("light")
    page.goto(server.url)
    for title in decks:
        expect(page.get_by_role("heading", name=title, exact=True).first).to_be_visible()
    pictures = page.locator(".designs img")
    for index in range(len(decks)):
        expect(pictures.nth(index)).to_have_js_property("complete", value=True)
    keep("shelf.png", page.screenshot())


@long
def test_the_board(photograph: Callable[[str], Page], server: Server, decks: dict[str, str]) -> None:
    bench = on_bench(photograph("light"), server, decks[DECKS[0]])
    bench.select("E")
    keep("board.png", bench.page.screenshot())


@long
def test_a_stop_in_the_dark(photograph: Callable[[str], Page], server: Server, decks: dict[str, str]) -> None:
    bench = on_bench(photograph("dark"), server, decks[DECKS[0]])
    before, scale = bench.document(), bench.scale()
    right = max(c["x"] for c in bench.raw()["boards"][0]["outline"]["corners"])
    x, y = bench.take("L")
    bench.page.mouse.move(x + (right - bench.placed("L")["x"] - 22.0) * scale, y, steps=10)
    expect(bench.report.get_by_role("heading", name=re.compile("^Stop")).first).to_be_visible()
    expect(bench.truth).to_contain_text("stop")
    # The last answer of the drag is on screen, not one from on the way.
    expect(bench.page.locator("#moving")).to_have_attribute("data-x", re.compile(rf"^{right - 22:.0f}\b"))
    picture = bench.page.screenshot()
    with bench.changing():
        bench.page.keyboard.press("Escape")
    bench.page.mouse.up()
    assert bench.document() == before
    keep("stop-dark.png", picture)


@long
def test_making_room(photograph: Callable[[str], Page], server: Server, decks: dict[str, str]) -> None:
    bench = on_bench(photograph("light"), server, decks[DECKS[0]])
    before = bench.document()
    for moved, beside, nearer in (("L", "K", 10.0), ("D", "C", 8.0), ("R", "Q", 9.0)):
        at = bench.placed(beside)
        bench.select(moved)
        bench.type(x=f"{bench.placed(moved)['x'] - nearer:g}", y=f"{at['y']:g}")
    bench.report.get_by_role("link", name=re.compile("^Make room")).click()
    expect(bench.page.get_by_role("heading", name="This would make room")).to_be_visible()
    picture = bench.page.screenshot()
    bench.page.get_by_role("link", name="Leave the board as it is").click()
    bench.arrive()
    for _ in range(3):
        bench.undo()
    assert bench.document() == before
    keep("room.png", picture)


@long
def test_the_stations(photograph: Callable[[str], Page], server: Server, decks: dict[str, str]) -> None:
    page = photograph("light")
    page.goto(f"{server.url}/designs/{decks[DECKS[0]]}/stations")
    expect(page.get_by_role("heading", name="Arrangements side by side")).to_be_visible()
    pictures = page.locator(".beside img")
    for index in range(pictures.count()):
        expect(pictures.nth(index)).to_have_js_property("complete", value=True)
    keep("stations.png", page.screenshot())


@long
def test_a_companion(photograph: Callable[[str], Page], server: Server) -> None:
    page = photograph("light")
    design = put_file(server.url, dumps(load_scenario("foundry-yard-cabinet")))
    page.goto(f"{server.url}/designs/{design}?board=grille")
    expect(page.locator("#drawing svg").first).to_be_visible()
    page.wait_for_load_state("networkidle")  # the pictures of the boards have come
    keep("companion.png", page.screenshot())


@long
def test_a_section(photograph: Callable[[str], Page], server: Server, decks: dict[str, str]) -> None:
    page = photograph("dark")
    page.goto(f"{server.url}/designs/{decks[DECKS[0]]}?face=section&select=a")
    expect(page.locator("#section-svg")).to_be_visible()
    page.wait_for_load_state("networkidle")  # the pictures of the hardware have come
    keep("section.png", page.screenshot())


@long
def test_the_paper(photograph: Callable[[str], Page], server: Server, decks: dict[str, str]) -> None:
    page = photograph("light")
    page.goto(f"{server.url}/designs/{decks[DECKS[0]]}/paper")
    expect(page.get_by_role("link", name=re.compile("template, PDF"))).to_be_visible()
    expect(page.locator("#proof-template")).to_contain_text("agrees with the design")
    keep("paper.png", page.screenshot())


@long
def test_a_sheet(server: Server, decks: dict[str, str], pdftoppm: Path, tmp_path: Path) -> None:
    file = tmp_path / "template.pdf"
    file.write_bytes(fetch(f"{server.url}/designs/{decks[DECKS[0]]}/template.pdf?paper=a4"))
    command = [
        str(pdftoppm),
        "-r",
        "100",
        "-png",
        "-singlefile",
        "-f",
        "2",
        "-l",
        "2",
        str(file),
        str(tmp_path / "sheet"),
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    keep("sheet.png", (tmp_path / "sheet.png").read_bytes())


def test_the_readme_shows_every_picture() -> None:
    shown = re.findall(r"!\[[^\]]+\]\(tests/browser/tour/([^)]+)\)", (ROOT / "README.md").read_text("utf-8"))
    assert sorted(shown) == sorted(PICTURES)


def on_bench(page: Page, server: Server, design: str) -> Bench:
    """The board page of a design."""
    bench = Bench(page, server.url)
    page.goto(f"{server.url}/designs/{design}")
    bench.arrive()
    return bench


def keep(name: str, data: bytes) -> None:
    """Write a picture where that is wanted; else hold it against the one there is."""
    taken = Image.open(BytesIO(data)).convert("RGB")
    grey = np.asarray(taken.convert("L"), float)
    assert grey.std() > 8, "the picture is blank"
    file = FOLDER / name
    if os.environ.get("HOLEWISE_RENEW_TOUR") or not file.exists():
        FOLDER.mkdir(exist_ok=True)
        taken.quantize(256, dither=Image.Dither.NONE).save(file, optimize=True)
    stored = Image.open(file).convert("RGB")
    assert stored.size == taken.size, f"{name} is of another size: renew it with HOLEWISE_RENEW_TOUR=1"
    coarse = [np.asarray(image.resize((80, 45), Image.Resampling.BOX), float) / 255 for image in (stored, taken)]
    changed = float(np.abs(coarse[0] - coarse[1]).mean())
    assert changed <= MOST_CHANGED, (
        f"{name} no longer shows the app ({changed:.3f}): renew it with HOLEWISE_RENEW_TOUR=1"
    )
