"""The whole template PDF beside printing the same board's SVG with a Chromium that is already running."""

from __future__ import annotations

from collections.abc import Sequence

from playwright.sync_api import Browser

from app import service
from app.arrange.new_deck import NewDeck
from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.schema import Design
from app.paper.sheets import template_pages
from app.scene.primitives import Scene
from app.writers import pdf, svg
from tests.bench.boards import grid
from tests.bench.timing import Aim, median_ms, ms, print_table

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
    rows, aims = [], []
    for name, design in boards():
        board = resolve(design, None, None, catalogue())
        paper = paper_by_text("a4")
        pages = template_pages(board, "top", paper)
        laying = median_ms(lambda b=board, p=paper: template_pages(b, "top", p), REPEATS)  # type: ignore[misc]
        writing = median_ms(lambda p=pages: pdf.write(p), REPEATS)  # type: ignore[misc]
        theirs = chromium(browser, pages) if browser else None
        rows.append([name, str(len(pages)), ms(laying), ms(writing), ms(theirs) if theirs else "no Chromium"])
        if theirs:
            ratio = theirs / writing
            aims.append(Aim(f"PDF, {name}", f"{ratio:.1f} times faster", f"> {FASTER:.0f} times", ratio > FASTER))
    head = ["board", "A4 sheets", "lay out and tile", "write PDF", "Chromium, SVG to PDF"]
    print_table("Template as PDF [ms, median]", head, rows)
    print("  Both write the same sheets; Chromium runs already and has its page open.")
    return aims


def chromium(browser: Browser, pages: Sequence[Scene]) -> float:
    """Median time of printing the sheets' SVG, true size, from a page that is already open [ms]."""
    drawings = "".join(svg.embed(scene, ident=f"sheet{i}") for i, scene in enumerate(pages))
    first = pages[0]
    width, height = f"{first.width}mm", f"{first.height}mm"
    style = (
        f"@page {{ size: {width} {height}; margin: 0 }} body {{ margin: 0 }}"
        f"svg {{ display: block; width: {width}; height: {height}; break-after: page }}"
    )
    page = browser.new_page()

    def run() -> bytes:
        page.set_content(f"<!doctype html><style>{style}</style>{drawings}")
        return page.pdf(prefer_css_page_size=True, print_background=True)

    time = median_ms(run, REPEATS)
    page.close()
    return time
