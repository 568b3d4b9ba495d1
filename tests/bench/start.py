"""From the command to the first page, and a design checked by the command line: the whole process each time.

Beside them, turn by turn, the least there is of the same kind: a page by FastAPI, Jinja and SQLAlchemy, and Python with
numpy and pydantic imported. All keep their compiled modules in one folder of their own, filled before anything is
timed, whatever the surroundings say of such files; and numpy starts threads of its own for none of them, which would be
counted against the bare one alone, since the app never lets it. Both the clock and the processor have to meet the aim.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from msgspec import Struct

from tests.bench.timing import Aim, ms, percentile, print_table, ratio_aim
from tests.running import free_port
from tests.tools import ROOT

STARTS: Final = 9
MOST: Final = 1.5
"""How many times as long as the bare one each may take."""

IMPORTED: Final = "import numpy; from pydantic import BaseModel, Field"
"""What bare Python imports: of pydantic what every model needs, since ``import pydantic`` alone imports none of it."""

_LIMIT_S: Final = 60.0
_DESIGN: Final = "scenarios/harbour-lane-two-seater.json"
_direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))


class Took(Struct, frozen=True):
    """What one process took until it was done, by the clock and by its processor [ms]."""

    clock: float
    work: float


def measure() -> list[Aim]:
    """Measure, print the table, and return the aims."""
    with tempfile.TemporaryDirectory() as folder:
        env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        env |= {"PYTHONPYCACHEPREFIX": str(Path(folder) / "compiled"), "HOLEWISE_KEY": "", "OPENBLAS_NUM_THREADS": "1"}
        pages = _turns(lambda n: _first_page(_app(Path(folder) / f"data{n}"), env),
                       lambda n: _first_page(_bare(Path(folder) / f"{n}.sqlite"), env))  # fmt: skip
        checks = _turns(lambda _: _run(["-m", "app", "check", _DESIGN], env), lambda _: _run(["-c", IMPORTED], env))
    head = ["", "clock, p50", "p95", "processor, p50", "bare: clock, p50", "processor, p50"]
    named = (("the whole first page", pages), ("holewise check FILE", checks))
    print_table(f"From the command to … [ms], {STARTS} times each", head, [_row(what, *two) for what, two in named])
    print("  Bare: a page by FastAPI, Jinja and SQLAlchemy; Python with numpy and pydantic imported.")
    return [
        ratio_aim(f"{what}, {by}", ours, f"{ms(theirs)} ms, bare", theirs, most=MOST)
        for what, two in named
        for by, ours, theirs in _middles(*two)
    ]


def _row(what: str, ours: Sequence[Took], theirs: Sequence[Took]) -> list[str]:
    (_, clock, bare_clock), (_, work, bare_work) = _middles(ours, theirs)
    return [what, *map(ms, (clock, percentile([one.clock for one in ours], 95), work, bare_clock, bare_work))]


def _middles(ours: Sequence[Took], theirs: Sequence[Took]) -> list[tuple[str, float, float]]:
    """By the clock and by the processor: the median of ours, and that of theirs."""
    both: tuple[tuple[str, Callable[[Took], float]], ...] = (
        ("clock", lambda one: one.clock),
        ("processor", lambda one: one.work),
    )
    return [(by, statistics.median(map(told, ours)), statistics.median(map(told, theirs))) for by, told in both]


def _turns(ours: Callable[[int], Took], theirs: Callable[[int], Took]) -> tuple[list[Took], list[Took]]:
    """Both in turn, so that what else the machine does meets both; the first of each fills the caches."""
    pairs = [(ours(n), theirs(n)) for n in range(STARTS + 1)][1:]
    return [a for a, _ in pairs], [b for _, b in pairs]


def _app(data: Path) -> Callable[[int], list[str]]:
    return lambda port: ["-m", "app", "serve", "--port", str(port), "--no-open", "--data", str(data)]


def _bare(file: Path) -> Callable[[int], list[str]]:
    return lambda port: ["-m", "tests.bench.bare", str(port), str(file)]


def _first_page(command: Callable[[int], list[str]], env: dict[str, str]) -> Took:
    port = free_port()
    began = time.perf_counter()
    process = subprocess.Popen([sys.executable, *command(port)], cwd=ROOT, env=env, stdout=subprocess.DEVNULL)
    try:
        _wait(f"http://127.0.0.1:{port}/", began + _LIMIT_S)
        clock = (time.perf_counter() - began) * 1000
        work = _so_far(process.pid) or clock
    finally:
        process.terminate()
        process.wait(timeout=20)
    return Took(clock, work)


def _wait(url: str, until: float) -> None:
    while time.perf_counter() < until:
        try:
            with _direct.open(url, timeout=5) as answer:
                answer.read()
            return
        except OSError:
            time.sleep(0.01)
    raise AssertionError(f"nothing answered at {url}")


def _run(arguments: Sequence[str], env: dict[str, str]) -> Took:
    before, began = _worked(), time.perf_counter()
    subprocess.run([sys.executable, *arguments], cwd=ROOT, env=env, stdout=subprocess.DEVNULL, check=False)
    clock = (time.perf_counter() - began) * 1000
    return Took(clock, _worked() - before or clock)


def _worked() -> float:
    """What the processor did for all processes of this one that have ended [ms]; 0 where that is not kept."""
    if sys.platform == "win32":
        return 0.0
    import resource

    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (used.ru_utime + used.ru_stime) * 1000


def _so_far(pid: int) -> float:
    """What the processor did for a process until now [ms]; 0 where that is not told."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text("ascii", "replace").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) * 1000 / os.sysconf("SC_CLK_TCK")
    except OSError:
        return 0.0
