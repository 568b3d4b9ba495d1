"""Full packs by two processes, as wall time and as processor time, beside one booklet written alone."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Final

from app.document.load import loads
from app.document.schema import Design
from app.service.pack.packing import Pack, made_pack
from app.service.pack.request import PackRequest
from tests.bench.timing import Aim, print_table
from tests.make_cabinets import METRIC, with_boards

DECK: Final = "harbour-lane-two-seater"
"""Two players; its master has an arrangement for one as well."""

AIMS: Final = {DECK: 3.0, f"{DECK} with companions": 5.0}
"""Longest that a full pack may take on two processors that do nothing else [s]."""

_RUNS: Final = 3


def design_of(name: str) -> Design:
    """A scenario; with a board of each maker of a cabinet round it, if its name says so."""
    scenario, _, companions = name.partition(" with ")
    design = loads((Path("scenarios") / f"{scenario}.json").read_text("utf-8"))
    return with_boards(design, METRIC) if companions else design


def timed(design: Design, processes: int) -> tuple[float, float, Pack]:
    """The shortest of a few runs: by the clock, and what this process alone worked [s]; and the pack."""
    found = []
    for _ in range(_RUNS):
        began, worked = time.perf_counter(), time.process_time()
        pack = made_pack(design, PackRequest(), processes=processes)
        found.append((time.perf_counter() - began, time.process_time() - worked, pack))
    return min(found, key=lambda one: one[0])


def measure() -> list[Aim]:
    """Measure, print the table, and return the aims."""
    rows, aims = [], []
    for name, most in AIMS.items():
        design = design_of(name)
        alone, worked, pack = timed(design, 1)
        both, _, same = timed(design, 2)
        if same != pack:
            raise AssertionError(f"{name}: two processes make another pack than one")
        many = f"{len(pack.files)} files, {pack.pages} pages"
        rows.append([name, many, f"{alone:.2f}", f"{worked:.2f}", f"{both:.2f}"])
        said = f"{alone:.2f} s by one process, which worked {worked:.2f} s"
        aims.append(Aim(f"full pack of {name}", f"{both:.2f} s", f"< {most:.0f} s", both < most, said))
    print_table("Full packs [s]", ["design", "what", "one process", "of it at work", "two processes"], rows)
    return aims
