"""One sheet of a template against the model: each hole in its window, its cross, every rim, and nothing else."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from app.paper.tiling import Tile
from app.proof.compare import Tally, match_rims, match_rings
from app.proof.curves import Point, Ring, Straight, Trace, mapped, ring
from app.proof.read_pdf import PdfPage
from app.proof.result import TOLERANCE
from app.proof.rims import Rim, cut_rim
from app.proof.wanted import Wanted

_LARGEST_MARK = 6.0
_ARM_NEAR = 1.5
"""An arm of a cross begins no further from its centre than this [mm]."""


def board_lines(page: PdfPage, tile: Tile) -> list[Trace]:
    """The lines of a page that are the board's, at their place on it; small straight marks may be among them.

    They are drawn inside the window; the reader forgets the window where a line lies wholly in it, and then tells it
    apart only by its place.
    """
    by = (-tile.offset[0], -tile.offset[1])
    found = []
    for inside, traces in ((True, page.clipped), (False, page.free)):
        for trace in traces:
            there = replace(trace, curves=tuple(mapped(c, (1.0, 1.0), by) for c in trace.curves))
            if inside or (not trace.filled and all(map(_within(tile), there.points()))):
                found.append(there)
    return found


def _within(tile: Tile) -> Callable[[Point], bool]:
    x0, y0, x1, y1 = tile.window
    return lambda at: x0 - TOLERANCE <= at[0] <= x1 + TOLERANCE and y0 - TOLERANCE <= at[1] <= y1 + TOLERANCE


def check_sheet(traces: Sequence[Trace], tile: Tile, cuts: Sequence[Wanted], rims: Sequence[Rim], tally: Tally) -> None:
    """What lies in the sheet's window is there; nothing is there that lies nowhere on the board."""
    here = [cut for cut in cuts if _inside(cut.at, tile)]
    elsewhere = [cut for cut in cuts if not _inside(cut.at, tile)]
    shown = [rim for rim in rims if any(_inside((x, y), tile) for x, y in rim.samples)]
    shown += [cut_rim(cut) for cut in here if not cut.is_circle]
    others = [rim for rim in rims if rim not in shown]
    others += [cut_rim(cut) for cut in elsewhere if not cut.is_circle]
    sorted_out = _sort(traces, [*shown, *others])
    match_rings(
        sorted_out.rings,
        [c for c in here if c.is_circle],
        tally,
        optional=[c for c in elsewhere if c.is_circle],
        broken=sorted_out.arcs,
        once=False,
    )
    match_rims(sorted_out.loops, shown, tally, optional=others, once=False)
    lines = np.array([(*line.a, *line.b) for line in sorted_out.lines]).reshape(-1, 4)
    places = np.array([cut.at for cut in here]).reshape(-1, 2)
    centres = {(round(c.at[0], 6), round(c.at[1], 6)): c for c in here if c.operation != "recess"}
    for cut in centres.values():
        apart = np.hypot(*(places - np.array(cut.at)).T)
        alone = bool(((apart < 1e-6) | (apart > 2 * _ARM_NEAR)).all())
        _check_cross(cut, lines, tally, _arms(cut, tile) if alone else set())


@dataclass(frozen=True, slots=True)
class _Sorted:
    """The lines of the board on a sheet: circles, parts of broken ones, closed lines and straight ones."""

    rings: list[Ring]
    arcs: list[Trace]
    loops: list[Trace]
    lines: list[Straight]


def _sort(traces: Sequence[Trace], rims: Sequence[Rim]) -> _Sorted:
    found = _Sorted([], [], [], [])
    for trace in traces:
        if len(trace.curves) == 1 and isinstance(trace.curves[0], Straight):
            found.lines.append(trace.curves[0])
        elif trace.round and not trace.closed:
            found.arcs.append(trace)
        elif _is_rim(trace, rims):
            found.loops.append(trace)
        elif (one := ring(trace, TOLERANCE / 2)) is not None:
            found.rings.append(one)
        elif not _is_mark(trace):
            found.loops.append(trace)
    return found


def _is_rim(trace: Trace, rims: Sequence[Rim]) -> bool:
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
    xs, ys = zip(*trace.points(), strict=True)
    straight = all(isinstance(c, Straight) for c in trace.curves)
    return straight and max(max(xs) - min(xs), max(ys) - min(ys)) <= _LARGEST_MARK


def on_board(cut: Wanted, rims: Sequence[Rim]) -> bool:
    """Whether a cut's centre lies on the board: then it has to be on a sheet."""
    return all(rim.encloses(cut.at) == (rim.operation == "outline") for rim in rims)


def _inside(at: Point, tile: Tile) -> bool:
    x0, y0, x1, y1 = tile.window
    return x0 + 1e-6 < at[0] < x1 - 1e-6 and y0 + 1e-6 < at[1] < y1 - 1e-6


_Arm = tuple[int, int]
"""Axis and direction of an arm of a cross."""


def _arms(cut: Wanted, tile: Tile) -> set[_Arm]:
    """The arms of a cut's cross that begin inside the window."""
    x, y = cut.at
    near = {
        (0, -1): (x - _ARM_NEAR, y),
        (0, 1): (x + _ARM_NEAR, y),
        (1, -1): (x, y - _ARM_NEAR),
        (1, 1): (x, y + _ARM_NEAR),
    }
    return {arm for arm, start in near.items() if _inside(start, tile)}


def _check_cross(cut: Wanted, lines: npt.NDArray[np.float64], tally: Tally, needed: set[_Arm]) -> None:
    """Four arms point at the centre, from all sides, each beginning just beside it: what is punched is their middle.

    Beside another centre or the edge of the sheet an arm may be broken off; what is left of the cross is compared.
    ``lines`` are all straight lines of the sheet, as rows x0, y0, x1, y1 [mm].
    """
    ends = lines.reshape(-1, 2, 2) - np.array(cut.at)
    arms: dict[_Arm, float] = {}
    for axis in (0, 1):
        across = np.abs(ends[:, :, 1 - axis]).max(axis=1, initial=0.0)
        low, high = ends[:, :, axis].min(axis=1, initial=math.inf), ends[:, :, axis].max(axis=1, initial=-math.inf)
        for side, start in ((1, low), (-1, -high)):
            found = across[(across <= TOLERANCE) & (start > 0.0) & (start < _ARM_NEAR)]
            arms[axis, side] = float(found.min(initial=math.inf))
    if any(math.isinf(arms[arm]) for arm in needed):
        raise tally.refuse(f"the cross of the {cut.words} is not at its centre")
    tally.note(max((away for away in arms.values() if not math.isinf(away)), default=0.0))
