"""What a board asks of the bench, in numbers."""

from __future__ import annotations

from msgspec import Struct

from app.model.resolved import ResolvedBoard
from app.units import Unit

_SAME = 1e-6  # mm: widths nearer than this are one width


class BoardFacts(Struct, frozen=True):
    """What a board asks of the bench.

    Args:
        holes: cut-outs made through the board, screw pilots not counted.
        bits: widths of the bits for them and for the counterbores, each with the unit it is sold in, widest first [mm].
        off: positions kept on the plan and not drilled.
    """

    holes: int
    bits: tuple[tuple[float, Unit], ...]
    off: int


def board_facts(board: ResolvedBoard) -> BoardFacts:
    """What ``board`` asks of the bench."""
    unit = Unit(board.units)
    widths: dict[float, Unit] = {}
    for placed in board.drilled:
        for hole in placed.holes:
            if hole.bit is not None:
                widths[hole.bit.diameter] = Unit.INCH if hole.bit.inch else Unit.MM
        if placed.counterbore is not None:
            width = placed.counterbore.diameter
            sold = any(b.inch and abs(b.diameter - width) < _SAME for b in board.tooling.bits)
            widths.setdefault(width, Unit.INCH if sold else unit)
    return BoardFacts(
        holes=sum(len(placed.holes) for placed in board.drilled),
        bits=tuple(sorted(widths.items(), reverse=True)),
        off=len(board.placements) - len(board.drilled),
    )
