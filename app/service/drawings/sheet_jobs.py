"""What sheets are made from: a board as it was judged, and the other boards of its design beside it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Final

from app.catalogue.load import catalogue
from app.document.resolve import find_board, resolve
from app.document.schema import Design
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper.kinds import TEMPLATE
from app.paper.sheet_kind import Laid, SheetJob
from app.service.background.memory import Memory
from app.service.checks.checking import CheckResult, checked, judged
from app.service.drawings.file_names import sheets_name
from app.service.drawings.templates import template_of
from app.shop.own_columns import OwnColumn
from app.values import replace

# As for a template laid out: a plan and what its pages have in common, for each board.
_OF_BOARD: Final = 200_000
_OF_TEXT: Final = 10

_JOBS: Memory[tuple[SheetJob, ...]] = Memory(48_000_000)


def sheet_job(
    design: Design, seen: CheckResult, face: Face, printing: Printing, only: Bit | None = None, *, shown: bool = False
) -> SheetJob:
    """What sheets of a board are made from.

    With the stops of the whole board, whichever face or bit they are for: its others end in the same scrap. Of a board
    that is ``shown``, what its pages and pictures have laid out and drawn is used again.
    """
    board, printing = seen.resolved, replace(printing, stops=len(seen.report.stops))
    files: dict[Face, str] = {
        "top": sheets_name(TEMPLATE, design, board, "top", printing),
        "under": sheets_name(TEMPLATE, design, board, "under", printing),
    }

    def laying(face: Face, only: Bit | None) -> Laid:
        return template_of(board, face, printing, only)

    every = _all_boards(design, seen, face, printing, shown=shown) if len(design.boards) > 1 else None
    return SheetJob(
        board,
        printing,
        face,
        only,
        seen.report.accepted,
        files,
        laying if shown else None,
        every,
        every_arrangement=_arrangements(design, board),
        columns=own_columns(design),
    )


def own_columns(design: Design) -> tuple[OwnColumn, ...]:
    """The builder's own columns of the parts list."""
    return tuple(
        OwnColumn(column.id, column.name, {cell.line: cell.text for cell in column.cells})
        for column in design.columns or ()
    )


def _arrangements(design: Design, board: ResolvedBoard) -> Callable[[], tuple[ResolvedBoard, ...]] | None:
    """Gives a board with each of its arrangements, the one in view first; None where it has no other."""
    others = [a.id for a in find_board(design, board.id).arrangements if a.id != board.arrangement_id]
    if not others:
        return None

    def make() -> tuple[ResolvedBoard, ...]:
        made = (resolve(design, board.id, other, catalogue(), board.revision) for other in others)
        return (board, *(replace(each, units=board.units) for each in made))

    return cache(make)


def _all_boards(
    design: Design, seen: CheckResult, face: Face, printing: Printing, *, shown: bool
) -> Callable[[], tuple[SheetJob, ...]]:
    """Gives the jobs of all boards: of the one in view as it is seen, of the others with their first arrangement."""

    def make() -> tuple[SheetJob, ...]:
        found = []
        for board in design.boards:
            if board.id == seen.board:
                result = seen
            elif shown and seen.document is not None:
                result = checked(seen.document, board.id, None, seen.resolved.units)
            else:
                result = judged(resolve(design, board.id, None, catalogue(), seen.resolved.revision))
            job = sheet_job(design, result, face, printing, shown=shown)
            found.append(replace(job, all_boards=None))
        return tuple(found)

    document = seen.document
    if not shown or document is None:
        return cache(make)
    # The pages of one file are asked for one by one, as pictures.
    key = (document, seen.board, seen.arrangement, seen.resolved.units, face, printing)
    room = len(design.boards) * _OF_BOARD + _OF_TEXT * len(document.text)
    return lambda: _JOBS.once(key, make, lambda _: room)
