"""``python -m tests.oracle``: random boards judged by the rules and, from the document alone, by solids."""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor

from tests.oracle.documents import document
from tests.oracle.trial import Total, tried

SHOWN = 12  # lines of what is wrong with one board


def main() -> int:
    """Try boards, print what does not agree, and the sum."""
    asked = _arguments()
    start, total = time.perf_counter(), Total()
    seeds = range(asked.seed, asked.seed + asked.boards)
    if asked.jobs > 1:
        with ProcessPoolExecutor(asked.jobs) as pool:
            for trial in pool.map(tried, seeds, chunksize=16):
                total.add(trial)
    else:
        for seed in seeds:
            total.add(tried(seed))
    for trial in total.failed[: asked.show]:
        print(f"\nboard {trial.seed} does not agree:")
        print(*(f"  {line}" for line in trial.words[:SHOWN]), sep="\n")
        print(json.dumps(document(trial.seed)))
    for what, counts in (("misses", total.misses), ("false stops", total.false), ("figures off", total.off)):
        _table(what, counts)
    spent = time.perf_counter() - start
    print(
        f"\n{total.boards} boards, {len(total.failed)} that do not agree; {total.pairs} pairs looked at, "
        f"{total.findings} findings and {total.compared} figures compared; {total.misses.total()} misses, "
        f"{total.false.total()} false stops, {total.off.total()} figures off; worst difference of the others "
        f"{total.worst:.4f} mm; {spent:.0f} s"
    )
    return 1 if total.failed else 0


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.oracle", description=__doc__)
    parser.add_argument("--boards", type=int, default=500, help="how many boards (500)")
    parser.add_argument("--seed", type=int, default=0, help="number of the first board (0)")
    parser.add_argument("--jobs", type=int, default=1, help="processes (1)")
    parser.add_argument("--show", type=int, default=3, help="how many boards that do not agree are written out (3)")
    return parser.parse_args()


def _table(what: str, counts: Counter[str]) -> None:
    if counts:
        print(f"\n{what}:")
        print(*(f"{n:7d}  {name}" for name, n in sorted(counts.items())), sep="\n")


if __name__ == "__main__":
    sys.exit(main())
