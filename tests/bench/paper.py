"""The whole template PDF beside printing the same sheets' SVG with Chromium: already running, and started for it."""

from __future__ import annotations

from collections.abc import Sequence

from playwright.sync_api import Browser, BrowserType, Page

from app import service
from app.arrange.new_deck_spec import NewDeck
from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.schema import Design
from app.paper.sheets import template_pages
from app.scene.primitives import Scene
from app.writers import pdf, svg
from tests.bench import tiling
from tests.bench.boards import grid
from tests.bench.timing import Aim, median_ms, ms, print_table
from tests.tools import find_browser, launch_flags

REPEATS = 9
FASTER = 10.0
"""How many times faster than printing with Chromium the template is to be."""


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
    rows, aims = [], tiling.measure()
    for name, design in boards():
        board = resolve(design, None, None, catalogue())
        paper = paper_by_text("a4")
        pages = template_pages(board, "top", paper)
        laying = median_ms(lambda b=board, p=paper: template_pages(b, "top", p), REPEATS)  # type: ignore[misc]
        writing = median_ms(lambda p=pages: pdf.write(p), REPEATS)  # type: ignore[misc]
        row = [name, str(len(pages)), ms(laying), ms(writing)]
        if browser:
            running, started = printing(browser, pages), printing_from_start(browser.browser_type, pages)
            row += [ms(running), ms(started)]
            for what, theirs in (("running", running), ("started for it", started)):
                ratio = theirs / writing
                said = f"PDF, {name}, Chromium {what}"
                aims.append(Aim(said, f"{ratio:.1f} times faster", f"> {FASTER:.0f} times", ratio > FASTER))
        rows.append([*row, *["no Chromium"] * (6 - len(row))])
    head = ["board", "A4 sheets", "lay out and tile", "write PDF", "Chromium running", "Chromium started"]
    print_table("Template as PDF [ms, median]", head, rows)
    print("  All write the same sheets. Running: Chromium has its page open. Started: a script starts it for the job.")
    return aims


def printing(browser: Browser, pages: Sequence[Scene]) -> float:
    """Median time of printing the sheets' SVG, true size, from a page that is already open [ms]."""
    html = sheets_html(pages)
    page = browser.new_page()
    time = median_ms(lambda: printed(page, html), REPEATS)
    page.close()
    return time


def printing_from_start(chromium: BrowserType, pages: Sequence[Scene]) -> float:
    """Median time of starting Chromium, printing the sheets' SVG and closing it [ms]."""
    html = sheets_html(pages)

    def run() -> bytes:
        browser = chromium.launch(executable_path=find_browser(), args=launch_flags())
        made = printed(browser.new_page(), html)
        browser.close()
        return made

    return median_ms(run, 3)


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
