"""What the paper page says of the sheets of all boards: how many, which board lies where, page by page."""

from __future__ import annotations

from msgspec import Struct

from app.errors import PaperError
from app.model.part import Face
from app.model.printing import Printing
from app.paper.boards.all_sheets import AllSheets, all_sheets
from app.paper.boards.boards_list import page_words, saved_words
from app.paper.kinds import ALL_TEMPLATES
from app.paper.kinds.all_templates import BoardSheets
from app.paper.sheet.title_strip import special
from app.paper.sheet_kind import Leaf, bound_leaves
from app.service.background.budget import aside
from app.service.checks.shown import Shown
from app.service.drawings.printers import PrintRequest, printing_asked
from app.service.drawings.sheet_jobs import sheet_job
from app.service.screens.words import listed
from app.service.sight import Sight
from app.service.workshop import Workshop


class BoardOnSheets(Struct, frozen=True):
    """Where a board is printed.

    Args:
        name: of the board.
        size: its width and front to back, in words.
        where: its pages, and which boards are beside it, in words.
        code: its check code.
        stops: how many findings say that it cannot be built as drawn.
    """

    name: str
    size: str
    where: str
    code: str
    stops: int


class BoardsOnSheets(Struct, frozen=True):
    """The sheets of all boards on the paper asked for.

    Args:
        in_force: what sets these sheets apart from the usual ones, in words.
        corrected: whether they are corrected for a printer.
        count: how many there are, and how many it would be without sharing, in words.
        least: whether fewer could do, in words.
        rows: where each board is, in the order of the design.
        stops: of all boards.
        leaves: the pages of the file one by one, the list of boards first.
    """

    in_force: tuple[str, ...]
    corrected: bool
    count: str
    least: str
    rows: tuple[BoardOnSheets, ...]
    stops: int
    leaves: tuple[Leaf, ...]


def boards_on_sheets(
    workshop: Workshop, sight: Sight, face: Face, asked: PrintRequest
) -> tuple[BoardsOnSheets | None, str, dict[str, str]]:
    """The sheets of all boards; else why the paper cannot carry them; and a sentence for each field not taken."""
    try:
        printing, problems = printing_asked(asked, sight.checked, workshop.printers, sight.unit)
        found = aside(_laid_out, Shown.of(sight.checked), face, printing)
    except PaperError as error:
        return None, str(error), {}
    return found, "", problems


def _laid_out(shown: Shown, face: Face, printing: Printing) -> BoardsOnSheets:
    """The same of a board as it is shown, in whatever process."""
    job = sheet_job(shown.design(), shown.judged(), face, printing, shown=True)
    sheets, rows = all_sheets(job), ALL_TEMPLATES.rows(job)
    return BoardsOnSheets(
        in_force=special(printing, None),
        corrected=not printing.correction.none,
        count=_first_large(saved_words(sheets)),
        least=_least_words(sheets),
        rows=tuple(BoardOnSheets(row.board, row.size, _where(row), row.code, row.stops) for row in rows),
        stops=sum(row.stops for row in rows),
        leaves=bound_leaves(ALL_TEMPLATES, job),
    )


def _where(row: BoardSheets) -> str:
    """``page 4, beside Lid and Fan``."""
    pages = page_words(row.pages)
    return f"{pages}, beside {listed(list(row.shared))}" if row.shared else pages


def _first_large(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _least_words(sheets: AllSheets) -> str:
    """Whether fewer sheets could do, as far as that is known."""
    if not sheets.count:
        return "The list of boards alone is printed."
    if sheets.fewest:
        return "No fewer sheets will do."
    if sheets.count == sheets.bound + 1:
        return "One sheet fewer might do; we found no way."
    return f"Fewer might do, but not fewer than {sheets.bound}; we found no way."
