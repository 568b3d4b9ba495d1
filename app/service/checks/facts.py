"""What a board asks of the bench, in numbers and in words: parts, holes, bits, sheets of paper."""

from __future__ import annotations

from msgspec import Struct

from app.errors import PaperError
from app.fit.features.layout import natural
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Paper
from app.paper.sheet.sheets import template_tiling
from app.service.background.memory import Memory
from app.service.checks.checking import CheckResult
from app.service.screens.words import counted, exact, length, material_words
from app.shop.board_facts import board_facts
from app.units import Unit


class Facts(Struct, frozen=True):
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


class Truth(Struct, frozen=True):
    """What a board asks of the bench, in words."""

    size: str
    material: str
    holes: str
    off: str
    bits: str
    sheets: str


def truth_of(seen: CheckResult, face: Face) -> Truth:
    """What a board asks of the bench, with the sheets for one face."""
    board = seen.resolved
    unit, facts = Unit(board.units), facts_of(board)
    sides = [exact(v, unit) for v in (board.width, board.depth_front_to_back, board.thickness)]
    if unit is Unit.MM:
        sides[:2] = [side.removesuffix(" mm") for side in sides[:2]]
    return Truth(
        size=" × ".join(sides),
        material=material_words(board.layers),
        holes=counted(facts.holes, "hole"),
        off=f"{facts.off} not drilled" if facts.off else "",
        bits=_joined(facts.bits),
        sheets=sheet_words_of(seen, face),
    )


def _joined(sizes: tuple[str, ...]) -> str:
    """``30 · 28 · 24 mm``: the unit once if all are in millimetres."""
    metric = all(size.endswith(" mm") for size in sizes)
    return (
        " · ".join(size.removesuffix(" mm") for size in sizes) + (" mm" if sizes else "")
        if metric
        else " · ".join(sizes)
    )


class PartLine(Struct, frozen=True):
    """One line of the list of parts, for finding a part without a pointer: its letter and middle, what it is."""

    id: str
    words: str
    part: str


def part_lines(board: ResolvedBoard) -> tuple[PartLine, ...]:
    """By letter, as somebody at the bench looks for one; figures without their unit, which the list gives once."""
    unit = Unit(board.units)
    return tuple(
        PartLine(
            p.id,
            f"{p.label or '–'}: {_figure(p.x, unit)} from left, {_figure(p.y, unit)} from front",
            p.part.name + ("" if p.drill else ", not drilled"),
        )
        for p in sorted(board.placements, key=lambda p: (not p.label, natural(p.label), natural(p.id)))
    )


def _figure(mm: float, unit: Unit) -> str:
    return length(mm, unit).removesuffix(" mm")


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
    printing = Printing(board.tooling.paper, stops=len(seen.report.stops))
    if document is None:
        return sheet_words(board, face, printing)
    return _WORDS.once(
        (document, seen.board, seen.arrangement, face),
        lambda: sheet_words(board, face, printing),
        lambda _: len(document.text),
    )
