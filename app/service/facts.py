"""What a board asks of the bench, in numbers: holes, bits, sheets of paper."""

from __future__ import annotations

from dataclasses import dataclass

from app.drafting.words import exact
from app.errors import PaperError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.shop import Paper
from app.paper.sheets import template_tiling
from app.service.checking import CheckResult
from app.service.memory import Memory
from app.shop.board_facts import board_facts


@dataclass(frozen=True, slots=True)
class Facts:
    """What a board asks of the bench.

    Args:
        holes: cut-outs made through the board, screw pilots not counted.
        bits: sizes of the bits for them and for the counterbores, as sold, largest first.
        off: positions kept on the plan and not drilled.
    """

    holes: int
    bits: tuple[str, ...]
    off: int


def facts_of(board: ResolvedBoard) -> Facts:
    """What ``board`` asks of the bench."""
    found = board_facts(board)
    return Facts(found.holes, tuple(exact(width, unit) for width, unit in found.bits), found.off)


def sheet_words(board: ResolvedBoard, face: Face, asked: Paper | Printing) -> str:
    """How many sheets a template of ``face`` prints on, and whether a seam runs through a hole's centre."""
    printing = Printing.of(asked)
    paper = printing.paper
    try:
        tiling = template_tiling(board, face, printing)
    except PaperError:
        return f"{paper.name} is too small"
    count = len(tiling.tiles)
    sheets = f"{count} {'sheet' if count == 1 else 'sheets'} of {paper.name}"
    if count == 1 or not any(placed.holes for placed in board.drilled):
        return sheets
    if tiling.cost.through:
        return f"{sheets}, a seam through {tiling.cost.through} {'centre' if tiling.cost.through == 1 else 'centres'}"
    cut = tiling.cost.cut
    return f"{sheets}, {cut} {'hole' if cut == 1 else 'holes'} on a seam" if cut else f"{sheets}, no hole on a seam"


_WORDS: Memory[str] = Memory(2_000_000)
"""By document; that is what takes the room."""


def sheet_words_of(seen: CheckResult, face: Face) -> str:
    """The same for a board of the store on the paper of its shop; worked out once, for it takes laying the sheets."""
    board, document = seen.resolved, seen.document
    printing = Printing(board.shop.paper, stops=len(seen.report.stops))
    if document is None:
        return sheet_words(board, face, printing)
    return _WORDS.once(
        (document, seen.board, seen.arrangement, face),
        lambda: sheet_words(board, face, printing),
        lambda _: len(document.text),
    )
