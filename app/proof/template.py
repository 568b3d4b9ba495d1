"""A drill template read back: page sizes, check bars, and on every sheet each hole, its cross and the rim in place."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.catalogue.load import catalogue
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheet.sheets import SheetSet, plan_sheets
from app.proof.compare import ProofTally
from app.proof.curves import Trace, mapped
from app.proof.read_pdf import READER, PdfPage, read_pdf
from app.proof.result import TOLERANCE, Proof
from app.proof.rims import RimLine, board_rims
from app.proof.sheet import SheetContents, board_lines, check_sheet, on_board
from app.proof.wanted import WantedCut, template_cuts
from app.values import replace

_BAR_THICK = 1.0
_BAR_NEAR = 3.0


def prove_template(
    data: bytes | Sequence[PdfPage],
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
        data: the PDF file, or its pages as they were read.
        board: the model.
        face: the face it is stuck on.
        printing: paper and correction it was made for.
        sheets: where each sheet lies on the board, if that is known already.
        covers: pages before the first sheet; of these the size and the check bars are looked at.

    Raises:
        ProofError: it does not show what the model asks for, all of it and nothing else, within ``TOLERANCE``.
    """
    plan = sheets or plan_sheets(board, face, printing)
    tally = ProofTally("The template")
    pages = read_pdf(data) if isinstance(data, bytes) else data
    if len(pages) != covers + len(plan.tiling.tiles):
        raise tally.refuse(f"it has {len(pages)} pages, not {covers + len(plan.tiling.tiles)}")
    for number, page in enumerate(pages[:covers]):
        tally.where = f"Page {number + 1} of the template"
        check_cover(page, printing, tally)
    found = check_tiles(pages[covers:], plan, board, printing, tally, first=covers + 1)
    return Proof(sum(n for _, n in found), tally.largest, len(pages), READER, found)


Kinds = tuple[tuple[str, int], ...]
"""How many cuts of each operation were looked for and found."""


def check_tiles(
    pages: Sequence[PdfPage], plan: SheetSet, board: ResolvedBoard, printing: Printing, tally: ProofTally, *, first: int
) -> Kinds:
    """Compare the sheets of a board with it, of which ``first`` is the number of the first page in its file.

    Raises:
        ProofError: they do not show what the model asks for.
    """
    face = plan.template.face
    cuts, rims = template_cuts(board, face, plan.only), board_rims(board, face)
    asked = SheetContents(cuts, rims)
    for number, (page, tile) in enumerate(zip(pages, plan.tiling.tiles, strict=True)):
        tally.where = f"Page {first + number} of the template"
        true = check_cover(page, printing, tally)
        check_face(page, (f"{board.title} {board.name} {board.arrangement_name}",), face, tally)
        check_sheet(board_lines(true, tile), tile, asked, tally)
    tally.where = "The template"
    return all_shown(cuts, rims, tally)


def check_cover(page: PdfPage, printing: Printing, tally: ProofTally) -> PdfPage:
    """The size and the check bars of any page; gives it as it comes out of the printer."""
    true = _undone(page, printing)
    _check_page(page, printing, tally)
    _check_bars(true.free, tally)
    return true


def all_shown(cuts: Sequence[WantedCut], rims: Sequence[RimLine], tally: ProofTally) -> Kinds:
    """That none of a board's cuts is on no sheet; how many there are of each operation.

    Raises:
        ProofError: one is.
    """
    lost = [cut for cut in cuts if not cut.again and cut not in tally.cuts and on_board(cut, rims)]
    if lost:
        raise tally.refuse(f"the {lost[0].words} is on no sheet")
    shown = tally.cuts
    kinds = [(kind, sum(c.operation == kind for c in shown)) for kind in ("through", "counterbore", "recess", "pilot")]
    openings = sum(rim.operation == "opening" and not rim.again for rim in rims)
    return (*kinds, ("opening", openings))


def _check_page(page: PdfPage, printing: Printing, tally: ProofTally) -> None:
    """The page is a sheet of the paper, whole, upright as it is read, and begins at its corner."""
    x0, y0, x1, y1 = page.box
    paper, sides = printing.paper, sorted((x1 - x0, y1 - y0))
    if paper.roll:
        off = min(abs(side - paper.width) for side in sides)
    else:
        off = max(abs(a - b) for a, b in zip(sides, sorted((paper.width, paper.height)), strict=True))
    if max(off, abs(x0), abs(y0), *(abs(a - b) for a, b in zip(page.box, page.crop, strict=True))) > TOLERANCE:
        raise tally.refuse(f"it is {x1 - x0:.2f} × {y1 - y0:.2f} mm, not {printing.paper.name}")
    if page.turned:
        raise tally.refuse("it would be shown turned")
    tally.note(off)


def _undone(page: PdfPage, printing: Printing) -> PdfPage:
    """The page as it comes out of the printer it is corrected for."""
    width, height = page.box[2] - page.box[0], page.box[3] - page.box[1]
    # A roll lies if it runs across the page, however long it is cut off.
    lying = abs(width - printing.paper.width) > TOLERANCE if printing.paper.roll else width > height
    sx, sy = printing.correction.on(lying=lying)
    if (sx, sy) == (1.0, 1.0):
        return page

    def true(trace: Trace) -> Trace:
        return replace(trace, curves=tuple(mapped(c, (1 / sx, 1 / sy), (0.0, 0.0)) for c in trace.curves))

    return replace(page, clipped=tuple(map(true, page.clipped)), free=tuple(map(true, page.free)))


def _check_bars(free: Sequence[Trace], tally: ProofTally) -> None:
    """Along both axes there is a bar of each length, and none that is nearly as long."""
    rule = catalogue().rule
    lengths = (rule("check-bar-mm"), rule("check-bar-inch"))
    filled = [_sides(trace) for trace in free if trace.filled]
    for axis in (0, 1):
        off = dict.fromkeys(lengths, math.inf)
        for sides in filled:
            long, thick = sides[axis], sides[1 - axis]
            near = min(lengths, key=lambda length: abs(length - long))
            if thick < _BAR_THICK and abs(long - near) < _BAR_NEAR:
                off[near] = max(abs(long - near), 0.0 if math.isinf(off[near]) else off[near])
        for length, away in off.items():
            if away > TOLERANCE:
                what = "is missing" if math.isinf(away) else f"is {away:.2f} mm off"
                raise tally.refuse(f"the check bar of {length:g} mm along {'xy'[axis]} {what}")
            tally.note(away)


def _sides(trace: Trace) -> tuple[float, float]:
    """How far an area reaches along x and along y; nothing if it is no rectangle [mm]."""
    if len(trace.curves) != 4 or trace.round:
        return (0.0, 0.0)
    xs, ys = zip(*(curve.a for curve in trace.curves), strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def check_face(page: PdfPage, named: Sequence[str], face: Face, tally: ProofTally) -> None:
    """The sheet is headed with its face, in capitals, and with no other, unless it is ``named`` so."""
    heads = ("TOP FACE", "UNDERSIDE") if face == "top" else ("UNDERSIDE", "TOP FACE")
    if heads[0] not in page.words or (heads[1] in page.words and not any(heads[1] in name for name in named)):
        raise tally.refuse(f"it is not headed “{heads[0]}”")
