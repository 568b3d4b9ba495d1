"""``python -m tests.bench``: measure the app beside general-purpose tools, all on this machine in one run.

With names, as ``python -m tests.bench paper drag``, those alone. Each is measured in a process of its own, since what
one leaves in memory lengthens the next.
"""

from __future__ import annotations

import multiprocessing
import os
import platform
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor

from tests.bench.measured import KNOWN, measured
from tests.bench.timing import Aim, print_aims


def main(names: Sequence[str]) -> int:
    """Run every measurement, or those named, print the tables and, last, the aims; 2 for a name that is none."""
    if not set(names) <= set(KNOWN):
        print(f"There are measurements of {', '.join(KNOWN)}; asked for: {', '.join(names)}.")
        return 2
    busy = f", load {os.getloadavg()[0]:.1f} before the start" if hasattr(os, "getloadavg") else ""
    print(f"Python {platform.python_version()}, {platform.system()}, {os.cpu_count()} processors{busy}", flush=True)
    aims: list[Aim] = []
    anew = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(max_workers=1, mp_context=anew, max_tasks_per_child=1) as processes:
        for found in processes.map(measured, [name for name in KNOWN if not names or name in names]):
            aims += found
    print_aims(aims)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
