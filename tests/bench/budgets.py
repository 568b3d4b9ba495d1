"""``python -m tests.bench.budgets``: every page and file of the largest designs that are let in, against its aim.

Over HTTP, from one server that has nothing else to do, each address once: everything is made anew then, and what is
asked for again is at hand. Where the system tells it, the time its processes worked stands beside that of the clock:
it is the same on a computer that has other work. The nearest to its aim, or farthest beyond it, comes first.
"""

from __future__ import annotations

import argparse
import http.client
import math
import os
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from urllib.parse import urlencode, urlsplit

from msgspec import Struct

from app.document.dump import dumps
from app.service import open_workshop
from app.service.workshop import Workshop
from tests.bench.boards import grid
from tests.bench.largest import largest_designs
from tests.bench.timing import Aim, print_aims, print_table
from tests.running import Server, running_app

PAGE, DRAWING, ROOM, PACK = 1.0, 2.0, 5.0, 15.0
"""Longest that a page, a drawing or file, making room, and a pack of sheets with its proof may take [s]."""

PAGES = {
    "": PAGE, "?select={part}": PAGE, "?select={part}&face=section": PAGE, "/part/{part}": PAGE, "/board": PAGE,
    "/stations": PAGE, "/shop": PAGE, "/judged": PAGE, "/timeline": PAGE, "/outline": PAGE, "/printer": PAGE,
    "/paper": PAGE, "/marking": PAGE, "POST /preview": PAGE, "POST /edit/move": PAGE, "POST /undo": PAGE,
    "/design.json": DRAWING, "/thumbnail.svg": DRAWING, "/arrangement.svg": DRAWING, "/sheet.svg?leaf=2": DRAWING,
    "/check-sheet.pdf": DRAWING, "/drawing.svg": DRAWING, "/drawing.dxf": DRAWING, "/view.pdf": DRAWING,
    "/template.pdf": PACK, "/all-templates.pdf": PACK, "/outline-marking.pdf": PACK, "/room": ROOM,
}  # fmt: skip
"""Addresses of a design, in the order they are asked for, with their aims [s]."""

_HEAVY = 300  # parts: what is asked about so many is worked out in another process
_PATIENCE_S = 130.0


class Visit(Struct, frozen=True):
    """One address asked for.

    Args:
        of: the design and the address.
        seconds: time of the answer [s].
        worked: how long the processes of the server worked for it [s]; 0 where the system does not tell.
        status: of the answer.
        size: of the answer [bytes].
        aim: longest that it may take [s].
    """

    of: str
    seconds: float
    worked: float
    status: int
    size: int
    aim: float

    @property
    def share(self) -> float:
        """How much of its time it took; infinite if it was not answered as it should be."""
        return self.seconds / self.aim if self.status < 400 else math.inf


def measure(wanted: Sequence[str] = ()) -> list[Aim]:
    """Measure, print every address with its aim, and return the aims.

    Args:
        wanted: words of the names of the designs that are measured; all of them if empty.
    """
    files = {name: data for name, data in largest_designs().items() if not wanted or any(w in name for w in wanted)}
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "data"
        workshop = open_workshop(data)
        known = _put(workshop, dumps(grid(_HEAVY)).encode("utf-8"))
        opened = {name: _put(workshop, file) for name, file in files.items()}
        workshop.close()
        with running_app(data) as server:
            for page in PAGES:  # what is imported when it is first needed is there then
                _visited(server, "", page, *known)
            visits = []
            for name, put in opened.items():
                _visited(server, "", "", *known)  # a process for long work that was ended has begun again then
                visits += [_visited(server, name, page, *put) for page in PAGES]
    visits.sort(key=lambda visit: -visit.share)
    rows = [
        [v.of, f"{v.seconds:.2f}", f"{v.worked:.2f}", f"{v.aim:g}", f"{v.size / 1000:,.0f}", _said(v)] for v in visits
    ]
    print_table("Every address, the nearest to its aim first", ["address", "s", "worked", "aim", "kB", ""], rows)
    missed = [Aim(v.of, _said(v), f"{v.aim:g} s", met=False) for v in visits if v.share > 1.0]
    return missed or [Aim("every page, drawing and room", "in time", "each its own", met=True)]


def _said(visit: Visit) -> str:
    if visit.status >= 400:
        return f"answered {visit.status}"
    return "" if visit.share <= 1.0 else f"MISSED, {visit.seconds:.2f} s"


def _put(workshop: Workshop, file: bytes) -> tuple[str, str]:
    """Put a file on the shelf; gives the ids of the design and of its first part."""
    design = workshop.open_file(file).design.id
    return design, workshop.design(design)[1].boards[0].arrangements[0].placements[0].id


def _visited(server: Server, name: str, page: str, design: str, part: str) -> Visit:
    method, _, path = page.rpartition(" ")
    values = {"select": part, "dx": "4", "dy": "3", "unit": "mm"} if method else {}
    address = f"/designs/{design}{path.format(part=part)}"
    before = worked(server.process.pid)
    seconds, status, size = _asked(urlsplit(server.url).port or 0, method or "GET", address, values)
    after = worked(server.process.pid)
    return Visit(f"{name}: {page or 'board page'}", seconds, after - before, status, size, PAGES[page])


def worked(pid: int) -> float:
    """How long a process and its children have worked [s]; 0 where the system does not tell."""
    try:
        threads = list(Path(f"/proc/{pid}/task").iterdir())
        children = [child for thread in threads for child in (thread / "children").read_text("ascii").split()]
        fields = Path(f"/proc/{pid}/stat").read_text("ascii", "replace").rpartition(")")[2].split()
    except OSError:
        return 0.0
    # proc(5): user and system time are the 14th and 15th field, those of children that have ended the 16th and 17th.
    own = sum(int(field) for field in fields[11:15]) / os.sysconf("SC_CLK_TCK")
    return own + sum(worked(int(child)) for child in children)


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
