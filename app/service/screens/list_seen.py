"""What the page of a list says: its tables in words, what is said of them, and the files they come as."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from app.drafting.outline_words import reading_words
from app.drafting.table_words import head_words, row_words
from app.errors import NotFoundError, PaperError
from app.model.plotting import READINGS
from app.model.printing import Printing
from app.paper.kinds import LEGENDS, legends, lists
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

LISTS: Final = {kind.name: kind for kind in (lists.MARKING, lists.DRILLING, lists.PARTS, LEGENDS)}
"""Lists for the bench, by name, in the order of the work."""

FOR: Final = {
    lists.MARKING.name: "Without the template: every centre from the two datum edges, and the fewest lines to strike.",
    lists.DRILLING.name: "One order for the whole board: side up, bit, depth stop, with boxes to tick.",
    LEGENDS.name: "A text or a sign for each part, at true size: to print and cut, or for a cutting plotter.",
    lists.PARTS.name: "What to buy, with spares; what has to be measured first stands on top.",
}
"""What each is for."""

MOST_ROWS: Final = 400
"""Rows of a table on the page; the files have them all."""


@dataclass(frozen=True, slots=True)
class TableSeen:
    """A table in words.

    Args:
        title: above it.
        notes: below its title.
        heads: of its columns, and whether they hold numbers.
        rows: in words.
        left_out: how many more rows the files have.
    """

    title: str
    notes: tuple[str, ...]
    heads: tuple[tuple[str, bool], ...]
    rows: tuple[tuple[str, ...], ...]
    left_out: int


@dataclass(frozen=True, slots=True)
class ListSeen:
    """A list.

    Args:
        kind: its name.
        title: what it is.
        purpose: what it is for.
        said: sentences before its tables.
        tables: the list, and what belongs to it.
        readings: what a rule may be divided in; none where nothing is read on one.
        problems: sentence by field that could not be taken.
    """

    kind: str
    title: str
    purpose: str
    said: tuple[str, ...]
    tables: tuple[TableSeen, ...]
    readings: tuple[Choice, ...]
    problems: Mapping[str, str]


def list_seen(workshop: Workshop, sight: Sight, name: str, asked: PrintRequest) -> ListSeen:
    """A list of the board in view, read as asked.

    Raises:
        NotFoundError: there is none of that name.
    """
    if name not in LISTS:
        raise NotFoundError(f"There is no list “{name[:40]}”. Use one of: {', '.join(LISTS)}.")
    kind, (job, problems) = LISTS[name], _job(workshop, sight, asked)
    reading = plotting_of(job.board, job.printing).reading
    rules = READINGS[sight.unit] if kind is lists.MARKING else ()
    return ListSeen(
        kind=name,
        title=capital(kind.words),
        purpose=FOR[name],
        said=tuple(kind.said(job)),
        tables=tuple(_seen(table) for table in _tables(kind, job)),
        readings=tuple(
            Choice(reading_words(each, sight.unit), reading_words(each, sight.unit), each == reading) for each in rules
        ),
        problems=problems,
    )


@dataclass(frozen=True, slots=True)
class BenchCard:
    """A list on the page of the bench: its name, what it is, what for, what it holds, and what has to be done first."""

    kind: str
    title: str
    purpose: str
    holds: str
    first: str


def bench_cards(sight: Sight) -> tuple[BenchCard, ...]:
    """Every list of the board in view, in the order of the work."""
    job = sheet_job(sight.design, sight.checked, "top", _usual(sight))
    found = []
    for kind in LISTS.values():
        tables = _tables(kind, job)
        holds, first = legends.card_words(tables) if kind is LEGENDS else lists.card_words(kind, tables)
        found.append(BenchCard(kind.name, capital(kind.words), FOR[kind.name], holds, first))
    return tuple(found)


def _tables(kind: SheetKind[object], job: SheetJob) -> tuple[Table, ...]:
    return kind.tables(job) if kind.tables is not None else ()


def _usual(sight: Sight) -> Printing:
    return printing_on(sight.checked.resolved, "")


def _job(workshop: Workshop, sight: Sight, asked: PrintRequest) -> tuple[SheetJob, Mapping[str, str]]:
    problems: Mapping[str, str]
    try:
        printing, problems = printing_asked(asked, sight.checked, workshop.printers, sight.unit)
    except PaperError as error:
        printing, problems = _usual(sight), {"paper": str(error)}
    return sheet_job(sight.design, sight.checked, "top", printing), problems


def _seen(table: Table) -> TableSeen:
    shown = [k for k, column in enumerate(table.columns) if column.kind != "tick"]
    rows = row_words(table)
    return TableSeen(
        title=table.title,
        notes=table.notes,
        heads=tuple((head_words(table.columns[k], table.unit), table.columns[k].is_number) for k in shown),
        rows=tuple(tuple(row[k] for k in shown) for row in rows[:MOST_ROWS]),
        left_out=max(0, len(rows) - MOST_ROWS),
    )
