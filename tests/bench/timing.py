"""Stop-watches and the plain table."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Aim:
    """Something measured against what it should be."""

    what: str
    measured: str
    aim: str
    met: bool


def median_ms(run: Callable[[], object], repeats: int) -> float:
    """Median time of ``repeats`` runs after one to warm up [ms]."""
    run()
    times = []
    for _ in range(repeats):
        began = time.perf_counter()
        run()
        times.append((time.perf_counter() - began) * 1000)
    return statistics.median(times)


def percentile(values: Sequence[float], percent: float) -> float:
    """The value below which ``percent`` of ``values`` lie, by nearest rank."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, max(0, round(percent / 100 * len(ordered) + 0.5) - 1))]


def print_table(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """A table in columns, the first to the left, the others to the right."""
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    print(f"\n{title}")
    for row in (head, ["-" * width for width in widths], *rows):
        cells = [row[0].ljust(widths[0]), *(cell.rjust(w) for cell, w in zip(row[1:], widths[1:], strict=True))]
        print("  " + "  ".join(cells))


def print_aims(aims: Sequence[Aim]) -> None:
    """The aims, each with what was measured and whether that is good enough."""
    rows = [[a.what, a.measured, a.aim, "met" if a.met else "NOT MET"] for a in aims]
    print_table("Aims", ["what", "measured", "aim", ""], rows)


def ms(value: float) -> str:
    """``value`` [ms] with three figures that matter."""
    return f"{value:.2f}" if value < 10 else f"{value:.1f}" if value < 100 else f"{value:,.0f}"
