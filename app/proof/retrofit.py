"""A retrofit template read back: every piece and every guide block at true size, and nothing round besides."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.geometry.shapes import Shape
from app.paper.kinds.retrofit import retrofit_pages
from app.paper.sheet_kind import SheetJob
from app.proof.compare import ProofTally
from app.proof.curves import Trace
from app.proof.read_pdf import READER, PdfPage, read_pdf
from app.proof.result import TOLERANCE, Proof
from app.proof.rings import Ring, rings
from app.proof.template import check_cover

_Box = tuple[float, float, float, float]


def prove_retrofit(data: bytes | Sequence[PdfPage], job: SheetJob, before: int) -> Proof:
    """Read the file again with another library, and compare its pieces and guide blocks with what has to be done.

    Where on a page a piece lies is for the page to say; that everything in it lies as it does on the board is not.

    Args:
        data: the PDF file, or its pages as they were read.
        job: what it was made from.
        before: pages of other kinds before its own.

    Raises:
        ProofError: it does not show what has to be done, or something round that it should not.
    """
    wanted = retrofit_pages(job)
    tally = ProofTally("The retrofit template")
    pages = read_pdf(data) if isinstance(data, bytes) else data
    if len(pages) != before + len(wanted):
        raise tally.refuse(f"it has {len(pages)} pages, not {before + len(wanted)}")
    seen = [_Page(check_cover(page, job.printing, tally)) for page in pages]
    laid = [piece for piece in wanted.pieces if piece.on]
    groups = [(f"piece {number}", (*p.on, *p.marks)) for number, p in enumerate(wanted.pieces, 1) if p.on]
    groups += [(f"the guide block of {g.name}", (g.old, g.new)) for g in wanted.guides]
    # The larger first: what is found of a smaller one might be a part of it.
    for what, shapes in sorted(groups, key=lambda group: -len(group[1])):
        _take(seen, shapes, what, tally)
    if left := sum(len(page.rings) for page in seen):
        raise tally.refuse(f"{left} circles on it are none of what has to be done")
    holes = sum(len(p.marks) for p in laid) + len(wanted.guides)
    return Proof(holes, tally.largest, len(pages), READER, (("through", holes),))


class _Page:
    """The circles and the other closed lines of a page, of which each is found once."""

    def __init__(self, page: PdfPage) -> None:
        lines = [trace for trace in (*page.clipped, *page.free) if not trace.filled]
        found = rings(lines, TOLERANCE)
        self.rings: list[Ring] = [ring for ring in found if ring is not None]
        self.boxes = [_box(line) for line, ring in zip(lines, found, strict=True) if ring is None and line.closed]

    def takes(self, shapes: Sequence[Shape], by: tuple[float, float]) -> tuple[list[Ring], float] | None:
        """The circles of a group that is moved by so much, and how far off it is at most; None if one is missing."""
        used: list[Ring] = []
        largest = 0.0
        for shape in shapes:
            there = shape.shifted(*by)
            if not shape.is_circle:
                off = min((_apart(box, there.bounds) for box in self.boxes), default=math.inf)
            else:
                rest = [ring for ring in self.rings if all(ring is not one for one in used)]
                ring = min(rest, key=lambda one: _off(one, there), default=None)
                off = math.inf if ring is None else _off(ring, there)
                used += [ring] if ring is not None else []
            if off > TOLERANCE:
                return None
            largest = max(largest, off)
        return used, largest


def _take(pages: Sequence[_Page], shapes: Sequence[Shape], what: str, tally: ProofTally) -> None:
    """Find a group on some page, and take its circles off that page."""
    anchor = next((s for s in shapes if s.is_circle), shapes[0])
    (x, y), wide = anchor.centre, 2 * anchor.radius
    for page in pages:
        if anchor.is_circle:
            starts = [(r.x, r.y) for r in page.rings if abs(r.diameter - wide) <= TOLERANCE]
        else:
            starts = [((b[0] + b[2]) / 2, (b[1] + b[3]) / 2) for b in page.boxes]
            x, y = (anchor.bounds[0] + anchor.bounds[2]) / 2, (anchor.bounds[1] + anchor.bounds[3]) / 2
        for at in starts:
            found = page.takes(shapes, (at[0] - x, at[1] - y))
            if found is not None:
                page.rings = [ring for ring in page.rings if all(ring is not one for one in found[0])]
                tally.note(found[1])
                return
    raise tally.refuse(f"{what} is on no page as it should be")


def _off(ring: Ring, shape: Shape) -> float:
    return max(math.dist((ring.x, ring.y), shape.centre), abs(ring.diameter - 2 * shape.radius))


def _box(trace: Trace) -> _Box:
    xs, ys = zip(*trace.points(), strict=True)
    return (min(xs), min(ys), max(xs), max(ys))


def _apart(a: _Box, b: _Box) -> float:
    return max(abs(p - q) for p, q in zip(a, b, strict=True))
