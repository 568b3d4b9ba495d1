"""From the command to the first page, the whole process each time."""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.bench.timing import Aim, ms, percentile, print_table
from tests.running import running_app

STARTS = 11
LIMIT = 1000.0
"""Longest start that is good enough, at the median [ms]."""


def measure() -> list[Aim]:
    """Measure, print the table, and return the aim."""
    times = []
    with tempfile.TemporaryDirectory() as folder:
        for n in range(STARTS):
            with running_app(Path(folder) / f"data{n}") as server:
                times.append(server.seconds_to_answer * 1000)
    p50, p95 = percentile(times, 50), percentile(times, 95)
    print_table(
        "Start-up [ms], from the command to the whole first page", ["starts", "p50", "p95"],
        [[str(STARTS), ms(p50), ms(p95)]],
    )  # fmt: skip
    return [Aim("first page, p50", f"{ms(p50)} ms", f"< {LIMIT:,.0f} ms", p50 < LIMIT)]
