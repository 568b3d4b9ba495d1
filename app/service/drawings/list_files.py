"""Lists for other programs: the tables of a kind of sheets, for a spreadsheet or a script."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.catalogue.load import catalogue
from app.document.published import revision_name
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import NotFoundError
from app.model.printing import Printing
from app.paper.sheet_kind import SheetJob, SheetKind
from app.scene.table import Table
from app.service.checks.checking import judged
from app.service.drawings.file_names import sheets_name
from app.service.drawings.formats import list_format
from app.service.drawings.made_file import MadeFile
from app.service.drawings.sheet_files import SHEET_FILES, kind_named, printing_on, stops_of
from app.service.drawings.sheet_jobs import sheet_job

LIST_KINDS: Final = tuple(name for name, kind in SHEET_FILES.items() if kind.tables is not None)
"""Names of the kinds of sheets that are lists."""


def list_file(
    kind: str,
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    paper: str | Printing = "",
    *,
    fmt: str,
    revision: str = "",
    table: str = "",
) -> MadeFile:
    """The list of a kind of sheets, as ``csv`` or ``json``.

    Args:
        kind: name of the kind, as ``outline-marking``.
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        paper: as of :func:`app.service.drawings.sheet_files.sheet_file`; what the rule reads goes with it.
        fmt: name of the format.
        revision: what the state of the design is called; empty for a file on its own.
        table: name of the table of it that is wanted; empty for the list itself, or for all where a format takes them.

    Raises:
        NotFoundError: no such kind, board, arrangement or table, or a kind that is no list.
        WriterError: lists are not written so.
        PaperError: no such paper.
    """
    seen = judged(resolve(design, board, arrangement, catalogue(), revision or revision_name(design)))
    printing = printing_on(seen.resolved, paper)
    return list_of(kind_named(kind), design, sheet_job(design, seen, "top", printing), fmt, table)


def list_of(kind: SheetKind[object], design: Design, job: SheetJob, fmt: str, table: str = "") -> MadeFile:
    """The same from what its sheets are made from; raises likewise."""
    form, write = list_format(fmt)
    if kind.tables is None:
        raise NotFoundError(f"The {kind.words} is no list. Lists are: {', '.join(LIST_KINDS)}.")
    tables = kind.tables(job)
    if table:
        tables = (_named(tables, table),)
    # The list itself is called by its kind alone.
    more = table if table and table != kind.tables(job)[0].name else ""
    name = sheets_name(kind, design, job.board, "top", job.printing, form, more)
    data = write(tables)
    return MadeFile(data=data, name=name, format=form, stops=stops_of(kind, job))


def _named(tables: Sequence[Table], name: str) -> Table:
    for table in tables:
        if table.name == name:
            return table
    raise NotFoundError(f"This list has no table “{name[:40]}”. It has: {', '.join(t.name for t in tables)}.")
