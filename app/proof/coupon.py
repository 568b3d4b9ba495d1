"""A coupon read back: size and check bars of each page, and every trial cut at its place, as wide as it is to be."""

from __future__ import annotations

from collections.abc import Sequence

from app.geometry.shapes import Point
from app.model.printing import Printing
from app.paper.coupon.coupon_pages import CouponPages, LaidSample
from app.paper.sheet.tiling import Tile
from app.proof.compare import ProofTally
from app.proof.read_pdf import READER, PdfPage, read_pdf
from app.proof.result import Proof
from app.proof.sheet import SheetContents, board_lines, check_sheet
from app.proof.template import Kinds, check_cover
from app.proof.wanted import Operation, WantedCut
from app.shop.coupon import Sample

_SAME = 1e-6  # mm

_OPERATIONS: dict[str, Operation] = {
    "hole": "through", "counterbore": "counterbore", "recess": "recess", "screw pilot": "pilot", "rail joint": "recess",
}  # fmt: skip


def prove_coupon(data: bytes | Sequence[PdfPage], pages: CouponPages, printing: Printing, before: int) -> Proof:
    """Read the sheets again with another library, and compare every trial cut with its sample.

    Args:
        data: the PDF file, or its pages as they were read.
        pages: where each trial cut lies; how wide it is comes from the sample, not from what was drawn.
        printing: paper and correction they were made for.
        before: pages before the first; of these the size and the check bars are looked at.

    Raises:
        ProofError: a trial cut is not there, or something that is none, or a page is not of its size.
    """
    tally = ProofTally("The coupon")
    read = read_pdf(data) if isinstance(data, bytes) else data
    if len(read) != before + len(pages):
        raise tally.refuse(f"it has {len(read)} pages, not {before + len(pages)}")
    laid = pages.laid
    if [one.sample for one in laid] != list(pages.samples):
        raise tally.refuse("a trial cut is on no page")
    x0, y0, x1, y1 = pages.layout.window
    tile = Tile(1, 1, (x0, y0, x1, y1), (x0, y0, x1, y1), (0.0, 0.0))
    shown = 0
    for number, page in enumerate(read):
        tally.where = f"Page {number + 1} of the coupon"
        true = check_cover(page, printing, tally)
        if number < before:
            continue
        cuts = [cut for one in laid if one.page == number - before for cut in _wanted(one)]
        check_sheet(board_lines(true, tile), tile, SheetContents(cuts, ()), tally)
        shown += len(cuts)
    return Proof(shown, tally.largest, len(read), READER, _kinds(laid))


def _wanted(one: LaidSample) -> list[WantedCut]:
    """What has to be drawn of a sample: its own width about its centre, whatever was drawn."""
    sample, found = one.sample, []
    for number, shape in enumerate(one.shapes):
        through = number == 1
        size = (sample.hole if through else sample.width,)
        operation = "through" if through else _OPERATIONS[sample.sort]
        core, radius = _grown_back(sample, shape.centre, size[0])
        depth = 0.0 if through or sample.depth is None else sample.depth
        found.append(WantedCut(operation, core, radius, size, depth, str(sample.number)))
    return found


def _grown_back(sample: Sample, at: Point, width: float) -> tuple[tuple[Point, ...], float]:
    """A cut grown back to what it was grown from, and by how much, about its centre [mm]."""
    if sample.sort not in ("recess", "rail joint"):
        return (at,), width / 2
    along = sample.length or width
    rx, ry = along / 2 - sample.corner, width / 2 - sample.corner
    if max(rx, ry) <= _SAME:
        return (at,), sample.corner
    return tuple((at[0] + x * rx, at[1] + y * ry) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))), sample.corner


def _kinds(laid: tuple[LaidSample, ...]) -> Kinds:
    sorts: dict[str, int] = {}
    for one in laid:
        if one.shapes:
            sorts[_named(one.sample)] = sorts.get(_named(one.sample), 0) + 1
    return tuple(sorts.items())


def _named(sample: Sample) -> str:
    return "pilot" if sample.sort == "screw pilot" else "through" if sample.sort == "hole" else sample.sort
