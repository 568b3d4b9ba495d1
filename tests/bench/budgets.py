"""``python -m tests.bench.budgets``: every page and file of the largest designs that are let in, against its aim.

Over HTTP, from one server that has nothing else to do. Each address is asked for twice: the first time everything is
made anew, the second time some of it is at hand. The aim is for both. Beside each stands the same of a two-player deck.
"""

from __future__ import annotations

import argparse
import http.client
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlencode, urlsplit

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.service import open_workshop
from app.service.workshop import Workshop
from tests.bench.largest import largest_designs
from tests.bench.timing import Aim, ms, print_aims, print_table
from tests.running import running_app

PAGE, DRAWING, ROOM = 1.0, 2.0, 5.0
"""Longest that a page, a drawing or file, and making room may take [s]."""

PAGES = {
    "": PAGE, "?select={part}": PAGE, "?select={part}&face=section": PAGE, "/part/{part}": PAGE, "/board": PAGE,
    "/stations": PAGE, "/shop": PAGE, "/judged": PAGE, "/timeline": PAGE, "/outline": PAGE, "/printer": PAGE,
    "/paper": PAGE, "POST /preview": PAGE, "POST /edit/move": PAGE, "POST /undo": PAGE,
    "/design.json": DRAWING, "/thumbnail.svg": DRAWING, "/arrangement.svg": DRAWING, "/sheet.svg?leaf=2": DRAWING,
    "/check-sheet.pdf": DRAWING, "/drawing.svg": DRAWING, "/drawing.dxf": DRAWING, "/view.pdf": DRAWING,
    "/template.pdf": DRAWING, "/room": ROOM,
}  # fmt: skip
"""Addresses of a design, in the order they are asked for, with their aims [s]."""

DECK = "harbour-lane-two-seater"
_PATIENCE_S = 130.0


@dataclass(frozen=True, slots=True)
class Visit:
    """One address asked for.

    Args:
        first, again: times of the first and the second answer [s].
        status: of the worse answer.
        size: of the second answer [bytes].
    """

    first: float
    again: float
    status: int
    size: int

    def meets(self, aim: float) -> bool:
        """Whether both answers came in time, and were what was asked for."""
        return max(self.first, self.again) <= aim and self.status < 400


def measure(wanted: Sequence[str] = ()) -> list[Aim]:
    """Measure, print a table for each design, and return the aims.

    Args:
        wanted: words of the names of the designs that are measured; all of them if empty.
    """
    files = {name: data for name, data in largest_designs().items() if not wanted or any(w in name for w in wanted)}
    deck = dumps(load_scenario(DECK)).encode("utf-8")
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "data"
        workshop = open_workshop(data)
        known = _put(workshop, deck)
        opened = {name: _put(workshop, file) for name, file in files.items()}
        workshop.close()
        with running_app(data) as server:
            port = urlsplit(server.url).port or 0
            beside = {page: _visited(port, page, *known) for page in PAGES}
            picture = _twice(port, "GET", "/static/icon.svg", {})
            print(f"For comparison: one picture, {ms(1000 * picture.again)} ms")
            return [
                aim for name, (design, part) in opened.items() for aim in _measured(port, name, design, part, beside)
            ]


def _put(workshop: Workshop, file: bytes) -> tuple[str, str]:
    """Put a file on the shelf; gives the ids of the design and of its first part."""
    design = workshop.open_file(file).design.id
    return design, workshop.design(design)[1].boards[0].arrangements[0].placements[0].id


def _measured(port: int, name: str, design: str, part: str, beside: Mapping[str, Visit]) -> list[Aim]:
    rows, aims = [], []
    for page, aim in PAGES.items():
        visit = _visited(port, page, design, part)
        known, met = beside[page], visit.meets(aim)
        said = "" if met else "MISSED" if visit.status < 400 else f"answered {visit.status}"
        times = [ms(1000 * t) for t in (visit.first, visit.again)]
        rows.append([page or "board page", *times, f"{visit.size / 1000:,.0f}", f"{1000 * aim:,.0f}",
                     ms(1000 * known.first), ms(1000 * known.again), said])  # fmt: skip
        if not met:
            worse = f"{max(visit.first, visit.again):.2f} s"
            aims.append(
                Aim(f"{name}: {page or 'board page'}", worse if visit.status < 400 else said, f"{aim:g} s", met)
            )
    head = ["address", "first", "again", "kB", "aim", "two players, first", "again", ""]
    print_table(f"{name} [ms]", head, rows)
    return aims or [Aim(f"{name}: every page, drawing and room", "in time", "each its own", met=True)]


def _visited(port: int, page: str, design: str, part: str) -> Visit:
    method, _, path = page.rpartition(" ")
    values = {"select": part, "dx": "4", "dy": "3", "unit": "mm"}
    return _twice(port, method or "GET", f"/designs/{design}{path.format(part=part)}", values if method else {})


def _twice(port: int, method: str, address: str, values: Mapping[str, str]) -> Visit:
    first, again = (_asked(port, method, address, values) for _ in range(2))
    return Visit(first[0], again[0], max(first[1], again[1]), again[2])


def _asked(port: int, method: str, address: str, values: Mapping[str, str]) -> tuple[float, int, int]:
    """Time [s], status and size [bytes] of an answer, with the page that a form leads to."""
    began = time.perf_counter()
    body = urlencode(values).encode() if values else None
    kind = {"Content-Type": "application/x-www-form-urlencoded"} if values else {}
    status, size, leads = _answer(port, method, address, body, kind)
    if leads:
        status, size, leads = _answer(port, "GET", leads, None, {})
    return time.perf_counter() - began, status, size


def _answer(
    port: int, method: str, address: str, body: bytes | None, headers: Mapping[str, str]
) -> tuple[int, int, str]:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=_PATIENCE_S)
    try:
        line.request(method, address, body, dict(headers))
        came = line.getresponse()
        return came.status, len(came.read()), came.headers.get("Location", "")
    finally:
        line.close()


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure and print; exit code 1 if an aim is missed."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.budgets", description=__doc__)
    parser.add_argument("designs", nargs="*", help="words of the names of designs, as parts or corners; all by default")
    aims = measure(parser.parse_args(arguments).designs)
    print_aims(aims)
    return 0 if all(aim.met for aim in aims) else 1


if __name__ == "__main__":
    sys.exit(main())
