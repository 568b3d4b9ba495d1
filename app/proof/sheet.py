"""One sheet of a template against the model: each hole in its window, its cross, every rim, and nothing else."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.geometry.nearest import Places
from app.paper.sheet.tiling import Tile
from app.proof.compare import Bools, ProofTally, Round, match_rims, match_rings
from app.proof.curves import Point, Straight, Trace, mapped
from app.proof.read_pdf import PdfPage
from app.proof.result import TOLERANCE
from app.proof.rims import RimLine, cut_rim
from app.proof.rings import Ring, rings
from app.proof.wanted import WantedCut

Floats = npt.NDArray[np.float64]

_LARGEST_MARK = 6.0
_ARM_NEAR = 1.5
"""An arm of a cross begins no further from its centre than this [mm]."""


def board_lines(page: PdfPage, tile: Tile) -> list[Trace]:
    """The lines of a page that are the board's, at their place on it; small straight marks may be among them.

    They are drawn inside the window; the reader forgets the window where a line lies wholly in it, and then tells it
    apart only by its place.
    """
    by, within = (-tile.offset[0], -tile.offset[1]), _within(tile)
    found = []
    for inside, traces in ((True, page.clipped), (False, page.free)):
        for trace in traces:
            if not inside and trace.filled:
                continue
            curves = tuple(mapped(c, (1.0, 1.0), by) for c in trace.curves)
            there = Trace(curves, trace.closed, trace.layer, trace.filled)
            if inside or all(map(within, there.points())):
                found.append(there)
    return found


def _within(tile: Tile) -> Callable[[Point], bool]:
    x0, y0, x1, y1 = tile.window
    return lambda at: x0 - TOLERANCE <= at[0] <= x1 + TOLERANCE and y0 - TOLERANCE <= at[1] <= y1 + TOLERANCE


class SheetContents:
    """What the sheets of a template have to show between them, prepared once for all of them.

    Args:
        cuts: every cut.
        rims: the outline, and the openings.
    """

    def __init__(self, cuts: Sequence[WantedCut], rims: Sequence[RimLine]) -> None:
        self.cuts = tuple(cuts)
        self.at = np.array([cut.at for cut in self.cuts]).reshape(-1, 2)
        self.rims = tuple(rims)
        self.circles = np.array([cut.is_circle for cut in self.cuts], np.bool_)
        self.round = Round(self.cuts)
        self.others = {k: cut_rim(cut) for k, cut in enumerate(self.cuts) if not cut.is_circle}


def check_sheet(traces: Sequence[Trace], tile: Tile, asked: SheetContents, tally: ProofTally) -> None:
    """What lies in the sheet's window is there; nothing is there that lies nowhere on the board."""
    inside = _all_inside(asked.at, tile)
    cuts = [asked.cuts[int(k)] for k in np.nonzero(inside)[0]]
    seen = [bool(_all_inside(rim.samples, tile).any()) for rim in asked.rims]
    shown = [rim for rim, here in zip(asked.rims, seen, strict=True) if here]
    others = [rim for rim, here in zip(asked.rims, seen, strict=True) if not here]
    shown += [rim for k, rim in asked.others.items() if inside[k]]
    others += [rim for k, rim in asked.others.items() if not inside[k]]
    sorted_out = _sort(traces, [*shown, *others])
    needed = inside[asked.circles]
    match_rings(sorted_out.rings, asked.round, tally, needed=needed, broken=sorted_out.arcs, once=False)
    match_rims(sorted_out.loops, shown, tally, optional=others, once=False)
    centres = {(round(c.at[0], 6), round(c.at[1], 6)): c for c in cuts if c.operation != "recess"}
    _check_crosses(tuple(centres.values()), asked.at[inside], sorted_out.lines, tile, tally)


class _Sorted(Struct, frozen=True):
    """The lines of the board on a sheet: circles, parts of broken ones, closed lines and straight ones."""

    rings: list[Ring]
    arcs: list[Trace]
    loops: list[Trace]
    lines: list[Straight]


def _sort(traces: Sequence[Trace], rims: Sequence[RimLine]) -> _Sorted:
    found = _Sorted([], [], [], [])
    rest = []
    for trace in traces:
        if len(trace.curves) == 1 and isinstance(trace.curves[0], Straight):
            found.lines.append(trace.curves[0])
        elif trace.round and not trace.closed:
            found.arcs.append(trace)
        elif _is_rim(trace, rims):
            found.loops.append(trace)
        else:
            rest.append(trace)
    for trace, one in zip(rest, rings(rest, TOLERANCE / 2), strict=True):
        if one is not None:
            found.rings.append(one)
        elif not _is_mark(trace):
            found.loops.append(trace)
    return found


def _is_rim(trace: Trace, rims: Sequence[RimLine]) -> bool:
    """Whether a line that might be a hole or a mark is a round or small rim after all."""
    if trace.round:
        rims = [rim for rim in rims if not len(rim.chords)]
    elif _is_mark(trace):
        rims = [rim for rim in rims if rim.length <= 4 * _LARGEST_MARK + TOLERANCE]
    else:
        return False
    return any(rim.difference(trace) <= TOLERANCE for rim in rims)


def _is_mark(trace: Trace) -> bool:
    """Whether a line is small and straight, as the diamonds on the seams are."""
    if not all(isinstance(c, Straight) for c in trace.curves):
        return False
    xs, ys = zip(*trace.points(), strict=True)
    return bool(max(max(xs) - min(xs), max(ys) - min(ys)) <= _LARGEST_MARK)


def on_board(cut: WantedCut, rims: Sequence[RimLine]) -> bool:
    """Whether a cut's centre lies on the board: then it has to be on a sheet."""
    return all(rim.encloses(cut.at) == (rim.operation == "outline") for rim in rims)


def _all_inside(at: Floats, tile: Tile) -> Bools:
    """Which places, shape (n, 2), lie in the window of a sheet."""
    x0, y0, x1, y1 = tile.window
    x, y = at[:, 0], at[:, 1]
    found: Bools = (x0 + 1e-6 < x) & (x < x1 - 1e-6) & (y0 + 1e-6 < y) & (y < y1 - 1e-6)
    return found


def _inside(at: Point, tile: Tile) -> bool:
    x0, y0, x1, y1 = tile.window
    return x0 + 1e-6 < at[0] < x1 - 1e-6 and y0 + 1e-6 < at[1] < y1 - 1e-6


_Arm = tuple[int, int]
"""Axis of an arm of a cross, and 1 for one that lies against its direction, else 0."""


def _arms(cut: WantedCut, tile: Tile) -> set[_Arm]:
    """The arms of a cut's cross that begin inside the window."""
    x, y = cut.at
    near = {
        (0, 1): (x - _ARM_NEAR, y),
        (0, 0): (x + _ARM_NEAR, y),
        (1, 1): (x, y - _ARM_NEAR),
        (1, 0): (x, y + _ARM_NEAR),
    }
    return {arm for arm, start in near.items() if _inside(start, tile)}


def _check_crosses(
    cuts: Sequence[WantedCut], places: Floats, lines: Sequence[Straight], tile: Tile, tally: ProofTally
) -> None:
    """Four arms point at each centre, from all sides, each beginning just beside it: what is punched is their middle.

    Beside another centre or the edge of the sheet an arm may be broken off; what is left of the cross is compared.

    Args:
        cuts: one for each centre.
        places: the centres of all cuts in the window, shape (n, 2) [mm].
        lines: all straight lines of the sheet.
        tile: the sheet.
        tally: takes what is found.
    """
    at = np.array([cut.at for cut in cuts]).reshape(-1, 2)
    i, j = Places(places).near(at, 2 * _ARM_NEAR)
    crowded = set(i[np.hypot(*(places[j] - at[i]).T) >= 1e-6].tolist())
    arms = _arms_found(at, np.array([(line.a, line.b) for line in lines]).reshape(-1, 2, 2))
    for row, cut in enumerate(cuts):
        needed = set() if row in crowded else _arms(cut, tile)
        if any(math.isinf(arms[row, axis, side]) for axis, side in needed):
            raise tally.refuse(f"the cross of the {cut.words} is not at its centre")
    tally.note(float(arms[np.isfinite(arms)].max(initial=0.0)))


def _arms_found(at: Floats, lines: Floats) -> Floats:
    """How far the arms of crosses are beside their centres; infinite where there is none.

    Args:
        at: the centres, shape (n, 2) [mm].
        lines: straight lines by their ends, shape (m, 2, 2) [mm].

    Returns:
        Shape (n, 2, 2) [mm]: along x and along y, in its positive direction and against it.
    """
    found = np.full((len(at), 2, 2), math.inf)
    # An arm ends beside its centre: only the ends that lie near one are looked at, each with its line.
    i, j = Places(lines.reshape(-1, 2)).near(at, math.hypot(_ARM_NEAR, TOLERANCE))
    ends = lines[j // 2] - at[i, None]
    for axis in (0, 1):
        across = np.abs(ends[:, :, 1 - axis]).max(axis=1, initial=0.0)
        low, high = ends[:, :, axis].min(axis=1, initial=math.inf), ends[:, :, axis].max(axis=1, initial=-math.inf)
        for side, start in ((0, low), (1, -high)):
            arm = (across <= TOLERANCE) & (start > 0.0) & (start < _ARM_NEAR)
            np.minimum.at(found[:, axis, side], i[arm], across[arm])
    return found
