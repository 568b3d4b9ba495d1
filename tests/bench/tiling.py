"""Choosing the sheets, beside trying every offset of a plain grid of them, on decks of 1200 × 400 mm."""

from __future__ import annotations

import itertools
import random

import numpy as np

from app.catalogue.load import catalogue
from app.paper.sheet.layout import SheetLayout, layouts
from app.paper.sheet.seams import BREATH, NEAR, THROUGH, sheets_needed
from app.paper.sheet.tiling import BLEED, Circle, tile
from tests.bench.timing import Aim, median_ms, ms, print_table

WIDTH, DEPTH, CENTRES = 1200.0, 400.0, 40
STEP = 0.5
"""How finely the offsets are tried [mm]."""

AIM = 200.0
"""How long choosing may take [ms]."""

Found = tuple[int, int, int, int]
"""Sheets, centres a seam runs through, centres it comes near, holes it cuts."""


def deck(seed: int) -> list[Circle]:
    """Centres at random, 22 mm from any edge at least, holes of 5 to 40 mm."""
    rng = random.Random(seed)
    return [
        (rng.uniform(22.0, WIDTH - 22.0), rng.uniform(22.0, DEPTH - 22.0), rng.uniform(2.5, 20.0))
        for _ in range(CENTRES)
    ]


def every_offset(circles: list[Circle], ways: tuple[SheetLayout, ...], overlap: float) -> tuple[Found, int]:
    """The best of all offsets of a grid of equal sheets, and how many were tried."""
    found = np.array(circles)
    tried, best = 0, (10**9, 0, 0, 0)
    for layout in ways:
        axes, sheets = [], 1
        for axis, length in enumerate((WIDTH, DEPTH)):
            room = layout.room[axis]
            count, pitch = sheets_needed(length + 2 * BLEED, room, overlap), room - overlap
            slack = count * pitch + overlap - length - 2 * BLEED
            sheets *= count
            costs = []
            for offset in np.arange(0.0, slack + 1e-9, STEP):
                seams = -BLEED - offset + overlap / 2 + pitch * np.arange(1, count)
                off = np.abs(seams[:, None] - found[:, axis])
                counts = ((off < THROUGH).sum(), (off < NEAR).sum(), (off < found[:, 2] + BREATH).sum())
                costs.append(tuple(int(c) for c in counts))
            axes.append(costs)
        for a, b in itertools.product(*axes):
            tried += 1
            best = min(best, (sheets, a[0] + b[0], a[1] + b[1], a[2] + b[2]))
    return best, tried


def measure() -> list[Aim]:
    """Measure, print the table, and return the aims."""
    overlap, rows, slowest, beaten = catalogue().rule("tile-overlap"), [], 0.0, 0
    for name, seed in itertools.product(("a4", "letter", "a3"), (1, 2, 3)):
        ways, circles = layouts(catalogue().papers[name]), deck(seed)
        chosen = tile((0.0, 0.0, WIDTH, DEPTH), circles, ways, overlap)
        time = median_ms(lambda c=circles, w=ways: tile((0.0, 0.0, WIDTH, DEPTH), c, w, overlap), 9)  # type: ignore[misc]
        plain, tried = every_offset(circles, ways, overlap)
        theirs = median_ms(lambda c=circles, w=ways: every_offset(c, w, overlap), 1)  # type: ignore[misc]
        mine = (len(chosen.tiles), *chosen.cost.key[:3])
        slowest, beaten = max(slowest, time), beaten + (plain < mine)
        rows.append(
            [f"{catalogue().papers[name].name}, deck {seed}", ms(time), f"{chosen.weighed:,}", said(mine),
             ms(theirs), f"{tried:,}", said(plain)]
        )  # fmt: skip
    head = ["paper", "choosing", "weighed", "result", "every offset", "tried", "result"]
    print_table(f"Sheets of a {WIDTH:g} × {DEPTH:g} mm deck, {CENTRES} centres [ms, median]", head, rows)
    print("  Result: sheets; centres a seam runs through, comes within 10 mm of, holes it cuts.")
    print(f"  Every offset: a plain grid of sheets moved by {STEP:g} mm at a time along both axes.")
    return [
        Aim("sheets of a 1200 × 400 mm deck", f"{slowest:.1f} ms", f"< {AIM:.0f} ms", slowest < AIM),
        Aim("sheets beaten by some offset", str(beaten), "0", beaten == 0),
    ]


def said(found: Found) -> str:
    """A result in figures."""
    return f"{found[0]}; {found[1]}, {found[2]}, {found[3]}"
