"""A drill template read back: page sizes, check bars, and on every sheet each hole, its cross and the rim in place."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from app.catalogue.load import catalogue
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheets import SheetSet, plan_sheets
from app.paper.tiling import Tile
from app.proof.compare import Tally, match_rims, match_rings
from app.proof.curves import Bezier, Bow, Curve, Point, Straight, Trace, ring
from app.proof.read_pdf import READER, PdfPage, read_pdf
from app.proof.result import TOLERANCE, Proof
from app.proof.rims import Rim, board_rims, cut_rim
from app.proof.wanted import Wanted, wanted_cuts

_BAR_THICK = 1.0
_BAR_NEAR = 3.0
_LARGEST_MARK = 6.0
_ARM_NEAR = 1.5
"""An arm of a cross begins no further from its centre than this [mm]."""


def prove_template(
    data: bytes,
    board: ResolvedBoard,
    face: Face,
    printing: Printing,
    *,
    sheets: SheetSet | None = None,
    covers: int = 0,
) -> Proof:
    """Read a drill template again with another library, and compare every sheet with the model.

    A correction of the printer's scale is taken off first: what is compared is what comes out on the paper.

    Args:
        data: the PDF file.
        board: the model.
        face: the face it is stuck on.
        printing: paper and correction it was made for.
        sheets: where each sheet lies on the board, if that is known already.
        covers: pages before the first sheet; of these the size and the check bars are looked at.

    Raises:
        ProofError: it does not show what the model asks for, all of it and nothing else, within ``TOLERANCE``.
    """
    plan = sheets or plan_sheets(board, face, printing.paper)
    tally = Tally("The template")
    pages = read_pdf(data)
    tiles = plan.tiling.tiles
    if len(pages) != covers + len(tiles):
        raise tally.refuse(f"it has {len(pages)} pages, not {covers + len(tiles)}")
    cuts, rims = wanted_cuts(board, face, shown_through=True), board_rims(board, face)
    for number, page in enumerate(pages):
        tally.where = f"Page {number + 1} of the template"
        sheet = number >= covers
        true = _undone(page, printing)
        _check_page(page, printing, tally)
        _check_bars(true.free, tally)
        if sheet:
            tile = tiles[number - covers]
            _check_face(page, board, face, tally)
            _check_sheet(_board_lines(true, tile), tile, cuts, rims, tally)
    tally.where = "The template"
    lost = [cut for cut in cuts if cut not in tally.cuts]
    if lost:
        raise tally.refuse(f"the {lost[0].words} is on no sheet")
    kinds = [(kind, sum(c.operation == kind for c in cuts)) for kind in ("through", "counterbore", "recess", "pilot")]
    openings = sum(rim.operation == "opening" for rim in rims)
    return Proof(len(cuts) + openings, tally.largest, len(pages), READER, (*kinds, ("opening", openings)))


def _check_page(page: PdfPage, printing: Printing, tally: Tally) -> None:
    """The page is a sheet of the paper, whole, upright as it is read, and begins at its corner."""
    x0, y0, x1, y1 = page.box
    paper = sorted((printing.paper.width, printing.paper.height))
    off = max(abs(a - b) for a, b in zip(sorted((x1 - x0, y1 - y0)), paper, strict=True))
    if max(off, abs(x0), abs(y0), *(abs(a - b) for a, b in zip(page.box, page.crop, strict=True))) > TOLERANCE:
        raise tally.refuse(f"it is {x1 - x0:.2f} × {y1 - y0:.2f} mm, not {printing.paper.name}")
    if page.turned:
        raise tally.refuse("it would be shown turned")
    tally.note(off)


def _undone(page: PdfPage, printing: Printing) -> PdfPage:
    """The page as it comes out of the printer it is corrected for."""
    x0, y0, x1, y1 = page.box
    sx, sy = printing.correction.on(lying=x1 - x0 > y1 - y0)
    if (sx, sy) == (1.0, 1.0):
        return page

    def true(trace: Trace) -> Trace:
        return replace(trace, curves=tuple(_mapped(c, (1 / sx, 1 / sy), (0.0, 0.0)) for c in trace.curves))

    return replace(page, clipped=tuple(map(true, page.clipped)), free=tuple(map(true, page.free)))


def _board_lines(page: PdfPage, tile: Tile) -> list[Trace]:
    """The lines of a page that are the board's, at their place on it.

    They are drawn inside the window; the reader forgets the window where a line lies wholly in it, and then tells it
    apart only by its place. A small straight mark there is a seam's.
    """
    by = (-tile.offset[0], -tile.offset[1])
    found = []
    for trace in (*page.clipped, *page.free):
        there = replace(trace, curves=tuple(_mapped(c, (1.0, 1.0), by) for c in trace.curves))
        xs, ys = zip(*there.points(), strict=True)
        mark = len(there.curves) > 1 and not any(isinstance(c, Bezier) for c in there.curves)
        small = mark and max(max(xs) - min(xs), max(ys) - min(ys)) <= _LARGEST_MARK
        if trace in page.clipped or (
            not trace.filled and not small and all(map(_within(tile), zip(xs, ys, strict=True)))
        ):
            found.append(there)
    return found


def _within(tile: Tile) -> Callable[[Point], bool]:
    x0, y0, x1, y1 = tile.window
    return lambda at: x0 - TOLERANCE <= at[0] <= x1 + TOLERANCE and y0 - TOLERANCE <= at[1] <= y1 + TOLERANCE


def _mapped(curve: Curve, scale: Point, by: Point) -> Curve:
    def there(p: Point) -> Point:
        return (p[0] * scale[0] + by[0], p[1] * scale[1] + by[1])

    match curve:
        case Straight():
            return Straight(there(curve.a), there(curve.b))
        case Bezier():
            return Bezier(there(curve.a), there(curve.p), there(curve.q), there(curve.b))
        case Bow():
            raise TypeError("PDF has no circular arcs (ISO 32000-1, 8.5.2.1)")


def _check_bars(free: Sequence[Trace], tally: Tally) -> None:
    """Along both axes there is a bar of each length, and none that is nearly as long."""
    rule = catalogue().rule
    lengths = (rule("check-bar-mm"), rule("check-bar-inch"))
    for axis in (0, 1):
        off = dict.fromkeys(lengths, math.inf)
        for trace in free:
            long, thick = _bar(trace, axis)
            near = min(lengths, key=lambda length: abs(length - long))
            if trace.filled and thick < _BAR_THICK and abs(long - near) < _BAR_NEAR:
                off[near] = max(abs(long - near), 0.0 if math.isinf(off[near]) else off[near])
        for length, away in off.items():
            if away > TOLERANCE:
                what = "is missing" if math.isinf(away) else f"is {away:.2f} mm off"
                raise tally.refuse(f"the check bar of {length:g} mm along {'xy'[axis]} {what}")
            tally.note(away)


def _bar(trace: Trace, axis: int) -> tuple[float, float]:
    """How long a line reaches along an axis and across it; nothing if it is no rectangle [mm]."""
    corners = [curve.a for curve in trace.curves]
    if len(corners) != 4 or trace.round:
        return (0.0, 0.0)
    spans = [max(p[k] for p in corners) - min(p[k] for p in corners) for k in (0, 1)]
    return spans[axis], spans[1 - axis]


def _check_face(page: PdfPage, board: ResolvedBoard, face: Face, tally: Tally) -> None:
    """The sheet is headed with its face, in capitals, and with no other."""
    heads = ("TOP FACE", "UNDERSIDE") if face == "top" else ("UNDERSIDE", "TOP FACE")
    named = f"{board.title} {board.name} {board.arrangement_name}"
    if heads[0] not in page.words or (heads[1] in page.words and heads[1] not in named):
        raise tally.refuse(f"it is not headed “{heads[0]}”")


def _check_sheet(
    traces: Sequence[Trace], tile: Tile, cuts: Sequence[Wanted], rims: Sequence[Rim], tally: Tally
) -> None:
    """What lies in the sheet's window is there; nothing is there that lies nowhere on the board."""
    rings, lines, loops = [], [], []
    for trace in traces:
        if len(trace.curves) == 1 and isinstance(trace.curves[0], Straight):
            lines.append(trace.curves[0])
        elif (found := ring(trace, TOLERANCE / 2)) is not None and not _is_rim(trace, rims):
            rings.append(found)
        else:
            loops.append(trace)
    here = [cut for cut in cuts if _inside(cut.at, tile)]
    elsewhere = [cut for cut in cuts if cut not in here]
    match_rings(rings, [c for c in here if c.is_circle], tally, optional=[c for c in elsewhere if c.is_circle])
    shown = [rim for rim in rims if any(_inside((x, y), tile) for x, y in rim.samples)]
    others = [rim for rim in rims if rim not in shown]
    match_rims(
        loops,
        [*shown, *(cut_rim(c) for c in here if not c.is_circle)],
        tally,
        optional=[*others, *(cut_rim(c) for c in elsewhere if not c.is_circle)],
    )
    centres = {(round(c.at[0], 6), round(c.at[1], 6)): c for c in here if c.operation != "recess"}
    for cut in centres.values():
        alone = all(math.dist(cut.at, o.at) < 1e-6 or math.dist(cut.at, o.at) > 2 * _ARM_NEAR for o in here)
        _check_cross(cut, lines, tally, strict=alone)


def _is_rim(trace: Trace, rims: Sequence[Rim]) -> bool:
    """Whether a round line is a round opening or board."""
    return any(not len(rim.chords) and rim.difference(trace) <= TOLERANCE for rim in rims)


def _inside(at: Point, tile: Tile) -> bool:
    x0, y0, x1, y1 = tile.window
    return x0 + 1e-6 < at[0] < x1 - 1e-6 and y0 + 1e-6 < at[1] < y1 - 1e-6


def _check_cross(cut: Wanted, lines: Iterable[Straight], tally: Tally, *, strict: bool) -> None:
    """Four arms point at the centre, from all sides, each beginning just beside it: what is punched is their middle.

    Beside another centre an arm may be broken off; then only what is left of the cross is compared.
    """
    at = cut.at
    arms = {(axis, side): math.inf for axis in (0, 1) for side in (-1, 1)}
    for line in lines:
        for axis in (0, 1):
            across = max(abs(line.a[1 - axis] - at[1 - axis]), abs(line.b[1 - axis] - at[1 - axis]))
            low, high = sorted((line.a[axis] - at[axis], line.b[axis] - at[axis]))
            if across <= TOLERANCE and 0.0 < low < _ARM_NEAR:
                arms[axis, 1] = min(arms[axis, 1], across)
            if across <= TOLERANCE and 0.0 < -high < _ARM_NEAR:
                arms[axis, -1] = min(arms[axis, -1], across)
    missing = [key for key, away in arms.items() if math.isinf(away)]
    if missing and strict:
        raise tally.refuse(f"the cross of the {cut.words} is not at its centre")
    tally.note(max((away for away in arms.values() if not math.isinf(away)), default=0.0))
