"""A template as PDF, laid out, tiled and written, beside Chromium printing its finished sheets.

Chromium is already running, or is started for it; both take turns with ours. Laying out is also timed beside writing,
by the processor, and a board of ten times the holes beside a small one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from playwright.sync_api import Browser, BrowserType, Page

from app import service
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.schema import Design
from app.model.resolved import ResolvedBoard
from app.paper.sheet.sheets import template_pages
from app.scene.primitives import Scene
from app.writers import pdf, svg
from tests.bench import tiling
from tests.bench.boards import grid
from tests.bench.timing import Aim, in_turns, ms, print_table, ratio_aim, work_in_turns
from tests.tools import find_browser, launch_flags

REPEATS: Final = 7
STARTED: Final = 12.0
"""How many times faster than Chromium started for it the whole template is to be."""

RUNNING: Final = 2.0
"""How many times faster than Chromium that runs already."""

LAYING: Final = 3.0
"""As many times as writing it takes, laying out a board of 300 holes may take."""

GROWTH: Final = 12.0
"""As many times as long laying out ten times the holes may take."""


def boards() -> Sequence[tuple[str, Design]]:
    """What is printed: decks as people make them, and one far beyond."""
    one = NewDeck(players=1, buttons=6, width=600.0, depth=260.0)
    two = NewDeck(players=2, buttons=8, width=1100.0, depth=280.0)
    return [
        ("one player, 6 buttons", service.new_design(one)),
        ("two players, 8 buttons", service.new_design(two)),
        ("300 cut-outs", grid(300)),
    ]


def measure(browser: Browser | None) -> list[Aim]:
    """Measure, print the table, and return the aims; without a browser only our own side."""
    rows, aims = [], [*tiling.measure(), *_laying()]
    for name, design in boards():
        board = resolve(design, None, None, catalogue())
        pages = template_pages(board, "top", paper_by_text("a4"))
        runs: list[Callable[[], object]] = [lambda b=board: _whole(b)]  # type: ignore[misc]
        if browser:
            html, page = sheets_html(pages), browser.new_page()
            chromium = browser.browser_type
            runs += [lambda p=page, h=html: printed(p, h), lambda c=chromium, h=html: _printed_from_start(c, h)]  # type: ignore[misc]
        times = in_turns(runs, REPEATS)
        rows.append([name, str(len(pages)), *map(ms, times), *["no Chromium"] * (3 - len(times))])
        for what, theirs, least in zip(("running", "started for it"), times[1:], (RUNNING, STARTED), strict=False):
            ratio = theirs / times[0]
            aims.append(
                Aim(f"PDF whole, {name}", f"{ms(times[0])} ms", f"≥ {least:g}", ratio >= least,
                    f"{ms(theirs)} ms, Chromium {what}", f"{ratio:.1f}")
            )  # fmt: skip
        if browser:
            page.close()
    head = ["board", "A4 sheets", "whole PDF", "Chromium running", "Chromium started"]
    print_table("Template as PDF, laid out, tiled and written [ms, median, in turns]", head, rows)
    print("  All write the same sheets. Running: Chromium has its page open. Started: a script starts it for the job.")
    return aims


def _whole(board: ResolvedBoard) -> bytes:
    return pdf.write(template_pages(board, "top", paper_by_text("a4")))


def _laying() -> list[Aim]:
    """Laying out boards of 30 and 300 holes, and writing the larger, by the processor."""
    paper = paper_by_text("a4")
    small, large = (resolve(grid(holes), None, None, catalogue()) for holes in (30, 300))
    pages = template_pages(large, "top", paper)
    few, many, writing = work_in_turns(
        (
            lambda: template_pages(small, "top", paper),
            lambda: template_pages(large, "top", paper),
            lambda: pdf.write(pages),
        ),
        2 * REPEATS,
    )
    rows = [["30", ms(few), ""], ["300", ms(many), ms(writing)]]
    print_table("Sheets of a template [ms of the processor, median]", ["holes", "lay out", "write"], rows)
    return [
        ratio_aim("lay out 300 holes", many, f"{ms(few)} ms, 30 holes", few, most=GROWTH),
        ratio_aim("lay out 300 holes", many, f"{ms(writing)} ms, writing them", writing, most=LAYING),
    ]


def _printed_from_start(chromium: BrowserType, html: str) -> bytes:
    """Chromium started, the sheets printed from it, and closed."""
    browser = chromium.launch(executable_path=find_browser(), args=launch_flags())
    made = printed(browser.new_page(), html)
    browser.close()
    return made


def sheets_html(pages: Sequence[Scene]) -> str:
    """The sheets one after another on a page for printing."""
    drawings = "".join(svg.embed(scene, ident=f"sheet{i}") for i, scene in enumerate(pages))
    width, height = f"{pages[0].width}mm", f"{pages[0].height}mm"
    style = (
        f"@page {{ size: {width} {height}; margin: 0 }} body {{ margin: 0 }}"
        f"svg {{ display: block; width: {width}; height: {height}; break-after: page }}"
    )
    return f"<!doctype html><style>{style}</style>{drawings}"


def printed(page: Page, html: str) -> bytes:
    """The page as PDF."""
    page.set_content(html)
    return page.pdf(prefer_css_page_size=True, print_background=True)
