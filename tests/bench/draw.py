"""Drawings for the screen: the section through each part, beside the plan of the whole board."""

from __future__ import annotations

import time

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import scenario_list
from app.document.schema import Design
from app.service import new_design
from app.service.checks.checking import CheckResult, judged
from app.service.drawings.drawings import board_svg, section_svg
from tests.bench.timing import Aim, median_ms, ms, percentile, print_table

REPEATS = 5
SECTION_LIMIT = 10.0
"""Longest a section may take from the judged board to SVG, at p95 of the parts [ms]."""


def boards() -> list[tuple[str, Design]]:
    """A deck of two players, and every scenario: one of them breaks every rule."""
    two = new_design(NewDeck(players=2, buttons=8, width=1100.0, depth=280.0))
    return [("two players, 8 buttons", two), *((s.id, s.design) for s in scenario_list())]


def measure() -> list[Aim]:
    """Measure, print the table, and return the aims."""
    rows, every = [], []
    for name, design in boards():
        seen = judged(resolve(design, None, None, catalogue()))
        plan = median_ms(lambda s=seen: board_svg(s, "top", []), REPEATS)  # type: ignore[misc]
        times = sections(seen)
        every += times
        rows.append([name, str(len(times)), ms(plan), ms(percentile(times, 50)), ms(percentile(times, 95))])
    print_table("Drawings as SVG [ms]", ["board", "parts", "plan, median", "section, median", "p95"], rows)
    print("  Each from the judged board: the plan with its elevation, and the section through every part.")
    late = percentile(every, 95)
    aim = f"< {SECTION_LIMIT:.0f} ms"
    return [Aim(f"section, {len(every)} parts, p95", f"{ms(late)} ms", aim, late < SECTION_LIMIT)]


def sections(seen: CheckResult) -> list[float]:
    """Median time of the section through each part, one after another so that none is drawn twice in a row [ms]."""
    times: dict[str, list[float]] = {placed.id: [] for placed in seen.resolved.placements}
    for _ in range(REPEATS):
        for placement, taken in times.items():
            began = time.perf_counter()
            section_svg(seen, placement)
            taken.append((time.perf_counter() - began) * 1000)
    return [sorted(taken)[REPEATS // 2] for taken in times.values()]
