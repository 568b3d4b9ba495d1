"""``python -m tests.endure``: kill, crowd, starve and insult the running app, and see that it keeps its promises.

It promises that an acknowledged edit is kept, whatever happens to the program, the disk or the database; that two
programs on one place both keep their work; that nothing anybody sends is answered by a fault; and that memory does not
grow. Exit code 1 if a promise was broken. All traffic stays on 127.0.0.1, and all files in a folder that is removed.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

from tests.endure.figures import Figures
from tests.endure.places import DATABASES
from tests.endure.run import Task, run


def main() -> int:
    """Run over each database, side by side, and print the figures."""
    arguments = _arguments()
    databases = DATABASES if arguments.database == "both" else (arguments.database,)
    tasks = [Task(database, arguments.minutes, arguments.seed) for database in databases]
    began = time.perf_counter()
    total = Figures()
    with ProcessPoolExecutor(len(tasks), mp_context=get_context("spawn")) as pool:
        for task, figures in zip(tasks, pool.map(run, tasks), strict=True):
            print(f"\n{task.database}, {task.minutes:g} minutes, seed {task.seed}")
            print("\n".join(figures.lines()))
            total.add(figures)
    if len(tasks) > 1:
        print("\nall together")
        print("\n".join(total.lines()))
    busy = f", load {os.getloadavg()[0]:.1f} at the end" if hasattr(os, "getloadavg") else ""
    faults = sum(many for status, many in total.answers.items() if status >= 500 and status != 503)
    print(
        f"\n{total.counts['kills']:,} kills, {total.counts['edits acknowledged']:,} edits acknowledged, "
        f"{total.counts['edits lost']} lost; {total.counts['hostile inputs']:,} hostile inputs, {faults} faults; "
        f"slowest answer {total.slow[0][0] if total.slow else 0:.1f} s; {_memory(total)}"
        f"{total.share_reached:.1%} of routes reached; {len(total.broken)} promises broken; "
        f"{time.perf_counter() - began:.0f} s{busy}"
    )
    return 1 if total.broken else 0


def _memory(total: Figures) -> str:
    start, end = (total.memory.get(moment, 0.0) for moment in ("at start", "at end"))
    return f"memory {start:.0f} MB at the start, {end:.0f} MB at the end; "


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.endure", description=__doc__)
    parser.add_argument("--minutes", type=float, default=30, help="how long, about (30)")
    parser.add_argument("--database", choices=(*DATABASES, "both"), default="both", help="which database (both)")
    parser.add_argument("--seed", type=int, default=0, help="of all that is random (0)")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
