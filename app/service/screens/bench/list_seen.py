"""What the page of a list says: its tables in words, what is said of them, and the files they come as."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final

from msgspec import Struct

from app.drafting.outline_words import reading_words
from app.drafting.table_words import head_words, row_words
from app.errors import NotFoundError, PaperError
from app.model.plotting import READINGS
from app.model.printing import Printing
from app.paper.kinds import FILES
from app.paper.outline.outline_plan import plotting_of
from app.paper.sheet_kind import SheetJob, SheetKind
from app.scene.table import Table
from app.service.drawings.printers import PrintRequest, printing_asked
from app.service.drawings.sheet_files import printing_on
from app.service.drawings.sheet_jobs import sheet_job
from app.service.screens.choices import Choice
from app.service.screens.words import capital
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.units import Unit
from app.writers import svg

MOST_ROWS: Final = 400
"""Rows of a table on the page; the files have them all."""

_COUNTED: Final = {
    "one": "this arrangement",
    "arrangements": "all arrangements of this board",
    "boards": "every board of the design",
}


@cache
def lists() -> Mapping[str, SheetKind[object]]:
    """Every kind of sheets that is a list, by its name; those with a page of their own last."""
    found = sorted((kind for kind in FILES.values() if kind.tables is not None), key=lambda kind: bool(kind.page))
    return {kind.name: kind for kind in found}


class TableSeen(Struct, frozen=True):
    """A table in words.

    Args:
        name: in addresses.
        title: above it.
        notes: below its title.
        heads: of its columns, and whether they hold numbers.
        rows: in words.
        left_out: how many more rows the files have.
    """

    name: str
    title: str
    notes: tuple[str, ...]
    heads: tuple[tuple[str, bool], ...]
    rows: tuple[tuple[str, ...], ...]
    left_out: int


class ListSeen(Struct, frozen=True):
    """A list.

    Args:
        kind: its name.
        title: what it is.
        purpose: what it is for.
        code: what stands on its pages as long as nothing on them changes.
        said: sentences before its tables.
        drawings: that go with it, inline SVG.
        tables: the list, and what belongs to it.
        readings: what a rule may be divided in; none where nothing is read on one.
        counted: what it may be counted for; none where that is not asked.
        problems: sentence by field that could not be taken.
    """

    kind: str
    title: str
    purpose: str
    code: str
    said: tuple[str, ...]
    drawings: tuple[str, ...]
    tables: tuple[TableSeen, ...]
    readings: tuple[Choice, ...]
    counted: tuple[Choice, ...]
    problems: Mapping[str, str]


def list_seen(workshop: Workshop, sight: Sight, name: str, asked: PrintRequest) -> ListSeen:
    """A list of the board in view, read and counted as asked.

    Raises:
        NotFoundError: there is none of that name.
    """
    if name not in lists():
        raise NotFoundError(f"There is no list “{name[:40]}”. Use one of: {', '.join(lists())}.")
    kind, (job, problems) = lists()[name], job_asked(workshop, sight, asked)
    tables, said = tables_of(kind, job), tuple(kind.said(job))
    return ListSeen(
        kind=name,
        title=capital(kind.words),
        purpose=kind.purpose,
        code=kind.code(job),
        said=said,
        drawings=tuple(
            svg.embed(scene, ident=f"picture-{number}", prefix=f"p{number}-")
            for number, scene in enumerate(kind.pictures(job), 1)
        ),
        tables=tuple(table_seen(table) for table in tables),
        readings=_readings(kind, job, sight.unit),
        counted=_counted(kind, job),
        problems=problems,
    )


def _readings(kind: SheetKind[object], job: SheetJob, unit: Unit) -> tuple[Choice, ...]:
    reading = plotting_of(job.board, job.printing).reading
    rules = READINGS[unit] if "reading" in kind.asks else ()
    return tuple(Choice(reading_words(each, unit), reading_words(each, unit), each == reading) for each in rules)


def _counted(kind: SheetKind[object], job: SheetJob) -> tuple[Choice, ...]:
    """The ways a list may be counted that differ: a board with one arrangement is counted for that."""
    if "counted" not in kind.asks:
        return ()
    ways = ["one"]
    if job.every_arrangement is not None:
        ways.append("arrangements")
    if job.all_boards is not None:
        ways.append("boards")
    if len(ways) == 1:
        return ()
    return tuple(Choice(way, _COUNTED[way], way == job.printing.counted) for way in ways)


def tables_of(kind: SheetKind[object], job: SheetJob) -> tuple[Table, ...]:
    """The tables of a list."""
    return kind.tables(job) if kind.tables is not None else ()


def usual_job(sight: Sight) -> SheetJob:
    """What lists of the board in view are made from where nothing is asked for."""
    return sheet_job(sight.design, sight.checked, "top", usual_printing(sight))


def usual_printing(sight: Sight) -> Printing:
    """How the board in view is printed where nothing is asked for."""
    return printing_on(sight.checked.resolved, "")


def job_asked(workshop: Workshop, sight: Sight, asked: PrintRequest) -> tuple[SheetJob, Mapping[str, str]]:
    """What a list is made from as it is asked for, and a sentence for each field that could not be taken."""
    problems: Mapping[str, str]
    try:
        printing, problems = printing_asked(asked, sight.checked, workshop.printers, sight.unit)
    except PaperError as error:
        printing, problems = usual_printing(sight), {"paper": str(error)}
    return sheet_job(sight.design, sight.checked, "top", printing), problems


def table_seen(table: Table) -> TableSeen:
    """A table in words, without its ticks, which are for paper."""
    shown = [k for k, column in enumerate(table.columns) if column.kind != "tick"]
    rows = row_words(table, MOST_ROWS)
    return TableSeen(
        name=table.name,
        title=table.title,
        notes=table.notes,
        heads=tuple((head_words(table.columns[k], table.unit), table.columns[k].is_number) for k in shown),
        rows=tuple(tuple(row[k] for k in shown) for row in rows),
        left_out=max(0, len(table.rows) - MOST_ROWS),
    )
