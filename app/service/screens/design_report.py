"""The fit report of a whole design: every arrangement of every board, with what is open in it."""

from __future__ import annotations

from msgspec import Struct

from app.document.schema import ArrangementEntry, BoardEntry
from app.errors import HolewiseError
from app.service.background.budget import apart
from app.service.checks.checking import Revised, checked, parsed
from app.service.checks.long_designs import is_long
from app.service.screens.tally import Tally, tally_of


class OpenLine(Struct, frozen=True):
    """Findings of one cause: how grave, what ails whom in one line, and ids of the parts."""

    severity: str
    title: str
    subjects: tuple[str, ...]


class ArrangementReport(Struct, frozen=True):
    """One arrangement of a board.

    Args:
        board, arrangement: ids.
        name: of the board; of the arrangement too where the board has several.
        tally: counts of what is open; None where it cannot be laid out.
        lines: stops, then cautions, then notes.
        wrong: why it cannot be laid out; empty where it can.
    """

    board: str
    arrangement: str
    name: str
    tally: Tally | None
    lines: tuple[OpenLine, ...] = ()
    wrong: str = ""


def design_report(document: Revised, units: str) -> tuple[ArrangementReport, ...]:
    """The report of a revision, in the order of its boards.

    Args:
        document: the revision.
        units: of the words, ``mm`` or ``inch``.
    """
    return apart(is_long(document.text), _report, document, units)


def _report(document: Revised, units: str) -> tuple[ArrangementReport, ...]:
    design = parsed(document)
    return tuple(_one(document, board, each, units) for board in design.boards for each in board.arrangements)


def _one(document: Revised, board: BoardEntry, within: ArrangementEntry, units: str) -> ArrangementReport:
    name = board.name or board.id
    if len(board.arrangements) > 1:
        name = f"{name}, {within.name or within.id}"
    try:
        seen = checked(document, board.id, within.id, units)
    except HolewiseError as error:
        return ArrangementReport(board.id, within.id, name, None, wrong=str(error))
    lines = tuple(OpenLine(g.severity, g.title, seen.present(g.subjects)) for g in seen.groups(tried=False))
    return ArrangementReport(board.id, within.id, name, tally_of(seen), lines)
