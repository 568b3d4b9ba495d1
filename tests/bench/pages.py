"""From asking for a page to the page that answers: the running app in a real browser, a cold and a warm cache."""

from __future__ import annotations

import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.service import open_workshop
from tests.bench.boards import grid
from tests.bench.timing import Aim, ms, percentile, print_table, ratio_aim
from tests.running import running_app

LOADS = 15
PICTURES = 5.0
"""How many times as long as one picture the board page may take with a cold cache."""


def measure(browser: Browser) -> list[Aim]:
    """Measure, print the table, and return the aim."""
    rows, cold_of, warm_of = [], dict[str, float](), dict[str, float]()
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "data"
        workshop = open_workshop(data)
        deck = workshop.create(NewDeck(title="Benchmark, two players", players=2)).design.id
        large = workshop.open_file(dumps(grid(200)).encode("utf-8")).design.id
        workshop.close()
        with running_app(data) as server:
            for what, path in (
                ("shelf", ""),
                ("board, two players", f"/designs/{deck}"),
                ("paper, two players", f"/designs/{deck}/paper"),
                ("board, 200 controls", f"/designs/{large}"),
                ("for comparison: one picture", "/static/icon.svg"),
            ):
                cold, warm = _loads(browser, server.url + path)
                times = [percentile(values, p) for values in (cold, warm) for p in (50, 95)]
                rows.append([what, *map(ms, times)])
                cold_of[what], warm_of[what] = times[0], times[2]
    head = ["page", "cold p50", "p95", "warm p50", "p95"]
    print_table(f"Load of a page in the browser, {LOADS} times each [ms]", head, rows)
    board, paper, picture = "board, two players", "paper, two players", "for comparison: one picture"
    return [
        ratio_aim("board page, cold", cold_of[board], f"{ms(cold_of[picture])} ms, one picture", cold_of[picture],
                  most=PICTURES),
        ratio_aim("paper page, warm", warm_of[paper], f"{ms(warm_of[board])} ms, board page", warm_of[board], most=1.0),
    ]  # fmt: skip


def _loads(browser: Browser, url: str) -> tuple[list[float], list[float]]:
    """Loads with nothing in the browser's cache, and loads with everything in it."""
    cold = []
    for _ in range(LOADS):
        context = browser.new_context(viewport={"width": 1280, "height": 720})
        cold.append(_load(context.new_page(), url))
        context.close()
    context = browser.new_context(viewport={"width": 1280, "height": 720})
    page = context.new_page()
    warm = [_load(page, url) for _ in range(LOADS + 1)][1:]
    context.close()
    return cold, warm


def _load(page: Page, url: str) -> float:
    page.goto(url)
    page.wait_for_function("() => performance.getEntriesByType('navigation')[0].loadEventEnd > 0")
    return float(page.evaluate("performance.getEntriesByType('navigation')[0].loadEventEnd"))
