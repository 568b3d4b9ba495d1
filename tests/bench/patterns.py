"""A pattern of 2,000 holes: judged, printed and dragged, each beside a reference of the same run."""

from __future__ import annotations

from typing import Final

from playwright.sync_api import Browser

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.paper.sheet.sheets import template_pages
from app.writers import pdf
from tests.bench.boards import grille
from tests.bench.drag import SLOW_FRAME, one_drag
from tests.bench.fit import COARSE, fit_report, klayout_check
from tests.bench.paper import printed, sheets_html
from tests.bench.timing import Aim, in_turns, ms, percentile, print_table

REPORT: Final = 40.0
"""How long resolving and judging the grille may take [ms]."""

TEMPLATE: Final = 400.0
"""How long laying out, tiling and writing its template may take [ms]."""

ANSWER: Final = 60.0
"""How late an answer to a drag may be, at p95 [ms]."""

SPACE: Final = 2.5
"""Web asked of KLayout [mm]: less than there is, so that it has nothing to list, which takes it five times as long."""

_SMOOTH: Final = 0.01
"""How many of the frames may be slow."""


def measure(browser: Browser | None) -> list[Aim]:
    """Measure, print the table, and return the aims; without a browser only our own side."""
    design, paper = grille(), paper_by_text("a4")
    board = resolve(design, None, None, catalogue())
    holes = len(board.placements[0].holes)
    report, _ = fit_report(design, 15)
    theirs = klayout_check(board, COARSE, 1, SPACE)
    runs = [lambda: pdf.write(template_pages(board, "top", paper))]
    if browser:
        page, html = browser.new_page(), sheets_html(template_pages(board, "top", paper))
        runs.append(lambda: printed(page, html))
    times = in_turns(runs, 5)
    rows = [
        ["report", ms(report), f"{ms(theirs)}, KLayout {COARSE}"],
        ["template", ms(times[0]), f"{ms(times[1])}, Chromium running" if browser else "no Chromium"],
    ]
    aims = [
        Aim(
            "report of a grille", f"{ms(report)} ms", f"< {REPORT:.0f} ms", report < REPORT, f"{ms(theirs)} ms, KLayout"
        ),
        Aim("template of a grille", f"{ms(times[0])} ms", f"< {TEMPLATE:.0f} ms", times[0] < TEMPLATE),
    ]
    if browser:
        drag = one_drag(browser, design, "s1")
        answer, slow = percentile(drag.answers, 95), sum(f > SLOW_FRAME for f in drag.frames) / len(drag.frames)
        rows.append(["drag, answer p95", ms(answer), f"{slow:.1%} of frames over {SLOW_FRAME:.0f} ms"])
        aims.append(Aim("drag of a grille, p95", f"{ms(answer)} ms", f"< {ANSWER:.0f} ms", answer < ANSWER))
        aims.append(Aim("slow frames, a grille", f"{slow:.1%}", f"< {_SMOOTH:.0%}", slow < _SMOOTH))
    print_table(f"A pattern of {holes:,} holes [ms]", ["what", "ours", "beside"], rows)
    return aims
