"""``python -m tests.bench.load``: fifty people at one shelf, each at a design of their own, two seconds between steps.

A general-purpose load tool (locust) plays them, on the same processors as the app, its two workers and its database.
Every answer is looked into: one that is wrong counts as a failure, as one that does not come.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

from msgspec import Struct

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.service import open_workshop
from tests.bench.timing import Aim, ms, percentile, print_aims, print_table
from tests.postgres import running_server
from tests.running import running_app
from tests.tools import NO_POSTGRES, ROOT, find_postgres

NO_TOOL = "no load tool: locust comes with `pip install -e .[load]`"
LIMIT = 150.0
"""Longest answer, of all that a person waits for while at work, at p95 [ms]."""

WAITED_FOR = ("shelf", "board page", "part in hand", "drag answer", "drag answer, at rest", "move put down", "checking",
              "section", "paper page", "undo")  # fmt: skip
"""What the limit is for: pages and the answers to a drag. Pictures come after their page, and a file is made longer."""

SCENARIO = "harbour-lane-two-seater"
_STEPS = 8  # of a round
_GRACE_S = 60.0


class Run(Struct, frozen=True):
    """What a run came to.

    Args:
        database: where the designs were.
        times: of every answer by kind of step [ms].
        faults: how many answers were wrong or did not come.
        first: the first of them, in words.
    """

    database: str
    times: Mapping[str, Sequence[float]]
    faults: int
    first: Sequence[str]

    def aims(self) -> list[Aim]:
        """The aims, and whether they are met."""
        late = {what: percentile(self.times[what], 95) for what in WAITED_FOR if what in self.times}
        worst = max(late, key=lambda what: late[what], default="")
        met = set(late) == set(WAITED_FOR) and late[worst] < LIMIT
        said = f"{ms(late[worst])} ms ({worst})" if worst else "nothing"
        return [
            Aim(f"{self.database}: pages and drag answers, p95", said, f"< {LIMIT:.0f} ms", met),
            Aim(f"{self.database}: failures", str(self.faults), "0", not self.faults),
        ]


def run(database: str, people: int, seconds: float, pause: float = 2.0, rounds: int = 0) -> Run:
    """People at work on one shelf.

    Args:
        database: ``sqlite`` or ``postgres``.
        people: how many, each with a design of their own.
        seconds: how long; they come one after the other within the first round.
        pause: between two steps of one of them [s].
        rounds: it ends before, when so many are done by all of them together; 0 for no such end.

    Raises:
        RuntimeError: there is no load tool, or no such database.
        AssertionError: the app or the tool did not run.
    """
    if find_spec("locust") is None:
        raise RuntimeError(NO_TOOL)
    with tempfile.TemporaryDirectory() as folder, _place(database, Path(folder)) as where:
        designs, parts = _fill(where, people)
        data = Path(folder) / "data"
        more = ["--database", where] if isinstance(where, str) else []
        with running_app(data, "--workers", "2", *more) as server:
            times = Path(folder) / "times.json"
            asked = {"designs": designs, "parts": parts, "times": str(times), "pause": pause, "rounds": rounds}
            env = {**os.environ, "HOLEWISE_PEOPLE": json.dumps(asked)}
            rate = people / min(_STEPS * pause + 1.0, seconds / 2)
            _play(server.url, env, people, seconds, rate)
        said = json.loads(times.read_text("utf-8"))
    return Run(database, said["times"], said["faults"], said["first"])


def _play(url: str, env: Mapping[str, str], people: int, seconds: float, rate: float) -> None:
    """Let the tool play the people, in a process of its own."""
    command = [
        sys.executable, "-m", "locust", "--locustfile", str(ROOT / "tests/bench/people.py"), "--headless",
        "--only-summary", "--host", url, "--users", str(people), "--spawn-rate", f"{rate:.3f}",
        "--run-time", f"{seconds:g}s", "--exit-code-on-error", "0", "--loglevel", "WARNING",
    ]  # fmt: skip
    done = subprocess.run(
        command, cwd=ROOT, env=env, capture_output=True, text=True, check=False, timeout=seconds + _GRACE_S
    )
    assert done.returncode == 0, done.stderr[-3000:]


@contextmanager
def _place(database: str, folder: Path) -> Iterator[Path | str]:
    """A place for designs: a folder, or the URL of a schema on a server that is gone afterwards."""
    if database == "sqlite":
        yield folder / "data"
        return
    if find_postgres() is None:
        raise RuntimeError(NO_POSTGRES)
    with running_server() as server:
        yield server.new_schema()


def _fill(where: Path | str, people: int) -> tuple[list[str], list[str]]:
    """A design for each of the people; gives their ids, and those of the parts each has."""
    workshop, design = open_workshop(where), load_scenario(SCENARIO)
    try:
        copies = (design.model_copy(update={"title": f"Deck {n}"}) for n in range(people))
        designs = [workshop.open_file(dumps(copy).encode("utf-8")).design.id for copy in copies]
    finally:
        workshop.close()
    return designs, [placed.id for placed in design.boards[0].arrangements[0].placements]


def print_run(found: Run, what: str) -> None:
    """Print the table of a run, and the first of its failures."""
    rows = [
        [name, str(len(times)), *(ms(percentile(times, p)) for p in (50, 95)), ms(max(times)),
         "" if name in WAITED_FOR else "not in the aim"]
        for name, times in sorted(found.times.items(), key=lambda item: -percentile(item[1], 95))
    ]  # fmt: skip
    print_table(f"{what}, {found.database} [ms]", ["step", "answers", "p50", "p95", "worst", ""], rows)
    for fault in found.first:
        print(f"  FAILED  {fault}")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run, print the tables and the verdict; exit code 1 if an aim is missed."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.load", description=__doc__)
    parser.add_argument("--people", type=int, default=50)
    parser.add_argument("--seconds", type=float, default=120.0, help="for each database")
    parser.add_argument("--pause", type=float, default=2.0, help="seconds between two steps of one person")
    parser.add_argument("--database", choices=["sqlite", "postgres", "both"], default="both")
    asked = parser.parse_args(arguments)
    aims: list[Aim] = []
    for database in ("sqlite", "postgres") if asked.database == "both" else (asked.database,):
        found = run(database, asked.people, asked.seconds, asked.pause)
        print_run(found, f"{asked.people} people, {asked.pause:g} s between steps, {asked.seconds:g} s")
        aims += found.aims()
    print_aims(aims)
    passed = all(aim.met for aim in aims)
    print("\nPASS" if passed else "\nFAIL")
    return 0 if passed else 1


if __name__ == "__main__":
    sys.exit(main())
