"""Stop-watches and the plain table."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence

from msgspec import Struct


class Aim(Struct, frozen=True):
    """Something measured against what it should be.

    Args:
        what: what was measured.
        measured: the figure.
        aim: what it should be.
        met: whether it is.
        reference: what it is measured beside, in the same run.
        ratio: the figure to the reference, or the other way round where that is more than 1.
    """

    what: str
    measured: str
    aim: str
    met: bool
    reference: str = ""
    ratio: str = ""


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


def ratio_aim(what: str, figure: float, said: str, reference: float, *, most: float) -> Aim:
    """An aim for how many times as long as its reference something takes.

    Args:
        what: what was measured.
        figure: its time [ms].
        said: the reference in words, with its time.
        reference: the time of the reference [ms].
        most: as many times as long it may take.
    """
    ratio = figure / reference
    return Aim(what, f"{ms(figure)} ms", f"≤ {most:g}", ratio <= most, said, f"{ratio:.2f}")


def in_turns(
    runs: Sequence[Callable[[], object]], repeats: int, clock: Callable[[], float] = time.perf_counter
) -> list[float]:
    """Median time of each of ``runs`` [ms], after one of each to warm up.

    They take turns, so that what else the machine does meets all of them alike.
    """
    times: list[list[float]] = [[] for _ in runs]
    for turn in range(repeats + 1):
        for run, kept in zip(runs, times, strict=True):
            began = clock()
            run()
            if turn:
                kept.append((clock() - began) * 1000)
    return [statistics.median(kept) for kept in times]


def work_in_turns(runs: Sequence[Callable[[], object]], repeats: int) -> list[float]:
    """The same by what this process's processor did, which another program's work does not lengthen [ms]."""
    return in_turns(runs, repeats, time.process_time)


def print_table(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """A table in columns, the first to the left, the others to the right."""
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    print(f"\n{title}")
    for row in (head, ["-" * width for width in widths], *rows):
        cells = [row[0].ljust(widths[0]), *(cell.rjust(w) for cell, w in zip(row[1:], widths[1:], strict=True))]
        print("  " + "  ".join(cells))


def print_aims(aims: Sequence[Aim]) -> None:
    """The aims, each with what was measured and whether that is good enough."""
    rows = [[a.what, a.measured, a.reference, a.ratio, a.aim, "met" if a.met else "NOT MET"] for a in aims]
    print_table("Aims", ["what", "measured", "beside", "ratio", "aim", ""], rows)


def ms(value: float) -> str:
    """``value`` [ms] with three figures that matter."""
    return f"{value:.2f}" if value < 10 else f"{value:.1f}" if value < 100 else f"{value:,.0f}"
