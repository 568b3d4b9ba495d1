"""The full fit report beside one spacing check of KLayout and a shapely loop over pairs, on the same boards."""

from __future__ import annotations

import time

import klayout.db as kdb
import shapely

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.fit.report.report import check
from app.model.resolved import ResolvedBoard
from tests.bench.boards import grid
from tests.bench.timing import Aim, median_ms, ms, print_table

SIZES = (30, 150, 1500)

COARSE = 64
"""Sides of the polygon that stands for a circle in KLayout and shapely, which have no circles: 0.02 mm off."""

FINE = 272
"""Sides that keep a 30 mm circle within the 0.001 mm the rules keep: 15·(1 - cos(π/272)) = 0.0010."""

SPACE = 5.0
"""Web asked of KLayout and shapely [mm], about what the rules ask of MDF."""

DBU = 0.001
"""KLayout's unit [mm]."""

LOOP_SHARE = 0.03
"""Share of the rows of the largest pair loop that is really run; the loop is even, so it is scaled up."""


def measure() -> list[Aim]:
    """Measure, print the table, and return the aims."""
    rows, ours, theirs = [], {}, {}
    for size in SIZES:
        design = grid(size)
        board = resolve(design, None, None, catalogue())
        assert len(_circles(board)) == size
        ours[size], findings = fit_report(design, 5 if size > 1000 else 25)
        theirs[size] = klayout_check(board, COARSE, 3 if size > 1000 else 15)
        fine = klayout_check(board, FINE, 1)
        loop, about = shapely_loop(board)
        loop_shown = f"{'~' if about else ''}{ms(loop)}"
        rows.append([f"{size:,}", str(findings), ms(ours[size]), ms(theirs[size]), ms(fine), loop_shown])
    head = ["cut-outs", "findings", "every rule", f"KLayout {COARSE}", f"KLayout {FINE}", "shapely loop"]
    print_table("Fit report beside one check of the webs [ms, median]", head, rows)
    print("  Ours starts from the document, the others from its holes. They judge webs only, circles as polygons of")
    print(f"  so many sides (shapely {COARSE}); ours is exact. ~ is scaled up from {LOOP_SHARE:.0%} of the pairs.")
    aims = [
        Aim(f"every rule, {n:,} cut-outs", f"{ms(our)} ms", f"< {ms(theirs[n])} ms, KLayout {COARSE}", our < theirs[n])
        for n, our in ours.items()
    ]
    growth = ours[1500] / ours[150]
    return [*aims, Aim("growth from 150 to 1,500", f"{growth:.1f} times", "< 15 times", growth < 15)]


def fit_report(design: Design, repeats: int) -> tuple[float, int]:
    """Median time of resolving a document and of the full report on it [ms], and its number of findings."""
    known = catalogue()
    times, findings = [], 0
    for _ in range(repeats + 1):
        began = time.perf_counter()
        findings = len(check(resolve(design, None, None, known), known).findings)
        times.append((time.perf_counter() - began) * 1000)
    return sorted(times[1:])[len(times[1:]) // 2], findings


def klayout_check(board: ResolvedBoard, sides: int, repeats: int, space: float = SPACE) -> float:
    """Median time of KLayout's check of the spaces between all holes, their polygons made first [ms].

    Args:
        board: the board.
        sides: of the polygon that stands for a circle.
        repeats: how often it is timed.
        space: web that is asked for [mm].
    """
    circles = _circles(board)

    def run() -> int:
        region = kdb.Region()
        for x, y, radius in circles:
            box = kdb.DBox(x - radius, y - radius, x + radius, y + radius)
            region.insert(kdb.DPolygon.ellipse(box, sides).to_itype(DBU))
        return region.space_check(round(space / DBU)).count()

    return median_ms(run, repeats)


def shapely_loop(board: ResolvedBoard) -> tuple[float, bool]:
    """Time of a loop over all pairs with shapely's distance [ms], and whether it was scaled up from a share."""
    holes = [shapely.Point(x, y).buffer(radius, quad_segs=COARSE // 4) for x, y, radius in _circles(board)]
    share = LOOP_SHARE if len(holes) > 1000 else 1.0
    pairs, total = 0, len(holes) * (len(holes) - 1) // 2
    began = time.perf_counter()
    for i, hole in enumerate(holes):
        if pairs >= total * share:
            break
        for other in holes[i + 1 :]:
            hole.distance(other)
        pairs += len(holes) - 1 - i
    return (time.perf_counter() - began) * 1000 * total / pairs, share < 1


def _circles(board: ResolvedBoard) -> list[tuple[float, float, float]]:
    shapes = [hole.shape for placed in board.drilled for hole in placed.holes]
    return [(*shape.centre, shape.radius) for shape in shapes]
