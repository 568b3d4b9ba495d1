"""Sheets as an address asks for them: the file, one page of it, and how they are printed."""

from __future__ import annotations

from app.errors import HolewiseError, PaperError
from app.model.part import Face
from app.model.printing import Printing
from app.service.background.budget import aside
from app.service.checks.shown import Shown
from app.service.drawings.list_files import list_of
from app.service.drawings.made_file import MadeFile
from app.service.drawings.printers import PrintRequest, printing_asked
from app.service.drawings.sheet_files import SHEET_FILES, kind_named, sheets_of
from app.service.drawings.sheet_jobs import sheet_job
from app.service.drawings.sheet_map import bit_asked, page_of
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.store import PrintedSheets
from app.values import replace


def exact_printing(workshop: Workshop, sight: Sight, asked: PrintRequest) -> Printing:
    """How to print, where nothing may be left as usual that was asked for otherwise.

    Raises:
        PaperError: something of it cannot be.
    """
    printing, problems = printing_asked(asked, sight.checked, workshop.printers, sight.unit)
    if problems:
        raise PaperError(" ".join(problems.values()))
    return printing


def sheets_asked(workshop: Workshop, sight: Sight, face: Face, kind: str, asked: PrintRequest) -> MadeFile:
    """The sheets of a kind as a file, of one face of a board.

    Raises:
        HolewiseError: no such bit; else as :func:`exact_printing` and :func:`app.service.sheet_file`.
    """
    needs = SHEET_FILES[kind].needs
    if "board" not in needs:  # margins and overlap are the template's
        asked = replace(asked, margin="", overlap="")
    bit, wrong = bit_asked(sight.checked.resolved, face, asked.only if "bit" in needs else "")
    if wrong:
        raise HolewiseError(wrong)
    made = sheets_of(kind, sight, face, exact_printing(workshop, sight, asked), bit)
    head = sight.head
    workshop.revisions.note_printed(
        [PrintedSheets(c.code, head.design.id, head.revision.id, c.board, c.arrangement, c.words) for c in made.codes]
    )
    return made


def list_asked(workshop: Workshop, sight: Sight, kind: str, fmt: str, asked: PrintRequest) -> MadeFile:
    """The list of a kind of sheets for other programs; raises likewise."""
    printing = exact_printing(workshop, sight, replace(asked, margin="", overlap=""))
    return aside(_list_shown, kind, Shown.of(sight.checked), printing, fmt, asked.table)


def _list_shown(kind: str, shown: Shown, printing: Printing, fmt: str, table: str = "") -> MadeFile:
    design, seen = shown.design(), shown.judged()
    return list_of(kind_named(kind), design, sheet_job(design, seen, "top", printing), fmt, table)


def page_asked(workshop: Workshop, sight: Sight, face: Face, kind: str, number: int, asked: PrintRequest) -> str:
    """One page of such a file as it will print, as SVG, counted from 1; raises likewise, and where there is no such."""
    printing = exact_printing(workshop, sight, asked)
    return aside(page_of, Shown.of(sight.checked), face, printing, asked.only, number, kind)
