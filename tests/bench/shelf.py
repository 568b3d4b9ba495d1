"""The server's own work for the shelf and for a board page, beside judging one board and serving one picture.

Without a browser and a network: through Starlette's client, in the same process. Times are of this process's processor
as well as of the clock, for a machine that does other things meanwhile lengthens only the second.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from starlette.testclient import TestClient

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.service.checks.checking import check_design
from app.service.workshop import Workshop, open_workshop
from app.web.app import create_app
from app.web.guards import Address
from tests.bench.timing import Aim, ms, percentile, print_aims, print_table

SIZES = (10, 100, 1000)
VISITS = 40
SHELF_LIMIT = 150.0
"""Longest visit of a shelf of 1,000 designs that are kept, at p95 [ms]."""

BOARD_LIMIT = 20.0
"""Longest work for a board page of two players, at the median [ms]."""

SCENARIO = "harbour-lane-two-seater"


def measure() -> list[Aim]:
    """Measure, print the tables, and return the aims."""
    aims, rows = [], []
    files, passed = list[bytes](), list[list[str]]()
    for size in SIZES:
        with tempfile.TemporaryDirectory() as folder:
            workshop = _filled(Path(folder), size)
            client = _client(workshop)
            first, _ = _timed(lambda c=client: c.get("/"), 1)  # type: ignore[misc]
            visits, work = _timed(lambda c=client: c.get("/"), VISITS)  # type: ignore[misc]
            found, _ = _timed(lambda c=client: c.get("/?find=deck+7&order=title"), VISITS)  # type: ignore[misc]
            labelled, _ = _timed(lambda c=client: c.get("/?label=label+3"), VISITS)  # type: ignore[misc]
            saving, _ = _timed(lambda w=workshop: files.append(w.saved().data), 1)  # type: ignore[misc]
            other = open_workshop(Path(folder) / "other")
            opening, _ = _timed(lambda w=other: w.open_shelf(files[-1]), 1)  # type: ignore[misc]
            again, _ = _timed(lambda w=other: w.open_shelf(files[-1]), 1)  # type: ignore[misc]
            other.close()
            passed.append(
                [f"{size} designs", f"{len(files[-1]) / 1e6:.2f} MB", ms(saving[0]), ms(opening[0]), ms(again[0])]
            )
            late = percentile(visits, 95)
            rows.append([
                f"{size} designs", ms(first[0]), ms(percentile(visits, 50)), ms(late), ms(percentile(work, 50)),
                ms(percentile(found, 50)), ms(percentile(found, 95)), ms(percentile(labelled, 50)),
            ])  # fmt: skip
            if size == max(SIZES):
                aim = f"< {SHELF_LIMIT:.0f} ms"
                aims.append(Aim(f"shelf, {size} designs, p95", f"{ms(late)} ms", aim, late < SHELF_LIMIT))
            workshop.close()
    rows += _references()
    head = ["shelf", "first visit", "p50", "p95", "processor, p50", "looked for, p50", "p95", "by label, p50"]
    print_table(f"The shelf [ms], {VISITS} visits", head, rows)
    print_table("A shelf in one file [ms]", ["shelf", "file", "saved", "opened", "once more"], passed)
    return [*aims, *_boards()]


def _boards() -> list[Aim]:
    """A board page again, with another part taken in hand each time, and after a change each time."""
    with tempfile.TemporaryDirectory() as folder:
        workshop = open_workshop(Path(folder) / "data")
        design = workshop.open_scenario(SCENARIO).design.id
        parts = [p.id for p in workshop.design(design)[1].boards[0].arrangements[0].placements]
        client, rows, aims = _client(workshop), [], []
        turns = iter(parts * VISITS)
        for what, visit, limit in (
            ("the same again", lambda: client.get(f"/designs/{design}"), BOARD_LIMIT),
            ("a part in hand, again", lambda: client.get(f"/designs/{design}?select={parts[0]}"), BOARD_LIMIT),
            ("another part in hand", lambda: _unseen(client, design, next(turns)), 0.0),
        ):
            visit()
            times, work = _timed(visit, min(VISITS, len(parts) - 1))
            middle = percentile(work, 50)
            rows.append([what, ms(percentile(times, 50)), ms(percentile(times, 95)), ms(middle)])
            if limit:
                aims.append(Aim(f"board page, {what}", f"{ms(middle)} ms", f"< {limit:.0f} ms", middle < limit))
        workshop.close()
    print_table("A board page of two players [ms]", ["visited", "p50", "p95", "processor, p50"], rows)
    return aims


def _unseen(client: TestClient, design: str, part: str) -> None:
    client.get(f"/designs/{design}?select={part}")


def _references() -> list[list[str]]:
    """One board judged anew, and the smallest answer there is, on this machine in this run."""
    design = load_scenario(SCENARIO)
    judging, judged = _timed(lambda: check_design(design), VISITS)
    with tempfile.TemporaryDirectory() as folder:
        workshop = open_workshop(Path(folder) / "data")
        client = _client(workshop)
        client.get("/static/icon.svg")
        serving, served = _timed(lambda: client.get("/static/icon.svg"), VISITS)
        workshop.close()
    rows = []
    for what, times, work in (("one design judged", judging, judged), ("one picture", serving, served)):
        figures = [percentile(times, 50), percentile(times, 95), percentile(work, 50)]
        rows.append([f"for comparison: {what}", "", *map(ms, figures), "", "", ""])
    return rows


def _filled(folder: Path, size: int) -> Workshop:
    """A shelf of copies of one design, no two of them alike, every other one labelled."""
    workshop, design = open_workshop(folder / "data"), load_scenario(SCENARIO)
    for n in range(size):
        made = workshop.open_file(dumps(_other(design, n)).encode("utf-8"))
        if n % 2:
            workshop.label(made.design.id, [f"label {n % 7}"])
    return workshop


def _other(design: Design, n: int) -> Design:
    return design.model_copy(update={"title": f"Deck {n}"})


def _client(workshop: Workshop) -> TestClient:
    return TestClient(create_app(workshop, Address("127.0.0.1", 8123)), base_url="http://127.0.0.1:8123")


def _timed(visit: Callable[[], object], times: int) -> tuple[list[float], list[float]]:
    """Times of visits by the clock and by the processor [ms]."""
    clock, work = [], []
    for _ in range(times):
        began, worked = time.perf_counter(), time.process_time()
        visit()
        clock.append((time.perf_counter() - began) * 1000)
        work.append((time.process_time() - worked) * 1000)
    return clock, work


if __name__ == "__main__":
    print_aims(measure())
    sys.exit(0)
