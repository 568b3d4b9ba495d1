"""All boards of a design read back: each on sheets of its own, or in its place on a sheet that several share."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import Final

from app.paper.boards.all_sheets import AllSheets, OwnSheets, needs_sheet
from app.paper.boards.block import BoardBlock
from app.paper.boards.shared_sheet import LaidBlock, SharedSheet
from app.proof.compare import ProofTally
from app.proof.curves import Bezier, Bow, Curve, Point, Straight, Trace
from app.proof.read_pdf import READER, PdfPage, read_pdf
from app.proof.result import TOLERANCE, Proof
from app.proof.rims import board_rims
from app.proof.sheet import SheetContents, check_sheet
from app.proof.template import Kinds, all_shown, check_cover, check_face, check_tiles
from app.proof.wanted import template_cuts
from app.values import replace

_INSIDE: Final = 0.05
"""How far in a window a line reaches that is more than one along its edge [mm]."""


def prove_all(data: bytes | Sequence[PdfPage], sheets: AllSheets, covers: int) -> Proof:
    """Read the sheets of all boards again with another library, and compare each board with its model.

    Args:
        data: the PDF file, or its pages as they were read.
        sheets: which board lies where.
        covers: pages before the first sheet; of these the size and the check bars are looked at.

    Raises:
        ProofError: a board is not there, all of it and nothing else, within ``TOLERANCE``.
    """
    pages = read_pdf(data) if isinstance(data, bytes) else data
    first, largest = covers, 0.0
    kinds: Counter[str] = Counter()
    tally = ProofTally("The file of all boards")
    if len(pages) != covers + sheets.count:
        raise tally.refuse(f"it has {len(pages)} pages, not {covers + sheets.count}")
    for number, page in enumerate(pages[:covers]):
        tally.where = f"Page {number + 1} of all boards"
        check_cover(page, sheets.jobs[0].printing, tally)
    shown = set()
    for stack in sheets.stacks:
        if isinstance(stack, OwnSheets):
            job, many = stack.job, len(stack)
            own = ProofTally("The template", tally.largest)
            plan = job.template.plan
            found = check_tiles(pages[first : first + many], plan, job.board, job.printing, own, first=first + 1)
            kinds.update(dict(found))
            shown.add(job.board.id)
            largest = max(largest, own.largest)
        else:
            many = 1
            largest = max(largest, _check_shared(pages[first], stack, first + 1, kinds))
            shown |= {one.block.board.id for one in stack.laid}
        first += many
    tally.where = "The file of all boards"
    if shown != {job.board.id for job in sheets.jobs if needs_sheet(job)}:
        raise tally.refuse("a board is on no sheet")
    largest = max(largest, tally.largest)
    return Proof(sum(kinds.values()), largest, len(pages), READER, tuple(kinds.items()))


def _check_shared(page: PdfPage, sheet: SharedSheet, number: int, kinds: Counter[str]) -> float:
    """Each board of a sheet in its place, and nothing reaches into its window from outside; the largest difference."""
    tally = ProofTally(f"Page {number} of all boards")
    true = check_cover(page, sheet.printing, tally)
    blocks = [one.block for one in sheet.laid]
    check_face(page, [words for block in blocks for words in _names(block)], blocks[0].face, tally)
    lines = [trace for trace in (*true.clipped, *true.free) if not trace.filled]
    taken: set[int] = set()
    largest = tally.largest
    for one in sheet.laid:
        block = one.block
        own = ProofTally(f"{tally.where}, {block.board.name},")
        there = [_on_board(trace, one) for trace in lines]
        mine = [k for k, trace in enumerate(there) if _within(trace, block)]
        strays = [k for k, trace in enumerate(there) if k not in mine and _reaches_in(trace, block)]
        if strays:
            raise own.refuse("a line reaches into it from elsewhere on the sheet")
        if taken.intersection(mine):
            raise own.refuse("it lies over another board")
        taken.update(mine)
        kinds.update(dict(_check_block([there[k] for k in mine], block, own)))
        largest = max(largest, own.largest)
    return largest


def _check_block(traces: Sequence[Trace], block: BoardBlock, tally: ProofTally) -> Kinds:
    cuts, rims = template_cuts(block.board, block.face), board_rims(block.board, block.face)
    check_sheet(traces, block.tile, SheetContents(cuts, rims), tally)
    return all_shown(cuts, rims, tally)


def _names(block: BoardBlock) -> tuple[str, ...]:
    return (block.board.title, block.board.name, block.board.arrangement_name)


def _on_board(trace: Trace, one: LaidBlock) -> Trace:
    """A line of a page at its place on a board; a quarter's turn is exact."""
    return replace(trace, curves=tuple(_moved(curve, one) for curve in trace.curves))


def _moved(curve: Curve, one: LaidBlock) -> Curve:
    at = one.on_board
    match curve:
        case Straight():
            return Straight(at(curve.a), at(curve.b))
        case Bezier():
            return Bezier(at(curve.a), at(curve.p), at(curve.q), at(curve.b))
        case Bow():
            turn = math.pi / 2 if one.turned else 0.0
            return replace(curve, centre=at(curve.centre), start=curve.start - turn)


def _within(trace: Trace, block: BoardBlock) -> bool:
    x0, y0, x1, y1 = block.tile.window
    return all(
        x0 - TOLERANCE <= x <= x1 + TOLERANCE and y0 - TOLERANCE <= y <= y1 + TOLERANCE
        for curve in trace.curves
        for x, y in _ends(curve)
    )


def _reaches_in(trace: Trace, block: BoardBlock) -> bool:
    """Whether the rectangle round any piece of a line reaches into the window of a board."""
    x0, y0, x1, y1 = block.tile.window
    for curve in trace.curves:
        xs, ys = zip(*_ends(curve), strict=True)
        if min(xs) < x1 - _INSIDE and max(xs) > x0 + _INSIDE and min(ys) < y1 - _INSIDE and max(ys) > y0 + _INSIDE:
            return True
    return False


def _ends(curve: Curve) -> list[Point]:
    """Points that a piece lies between."""
    match curve:
        case Straight():
            return [curve.a, curve.b]
        case Bezier():
            return [curve.a, curve.p, curve.q, curve.b]
        case Bow():
            return [*curve.points(), curve.b]
