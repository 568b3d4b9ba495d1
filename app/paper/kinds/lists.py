"""Lists for the bench: marking, the drilling run, parts. Each is a table, its pages set from it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import cast

from app.paper.cover.text import Paragraph
from app.paper.lists.block import Block, words_block
from app.paper.lists.buying import parts_table
from app.paper.lists.centres_picture import centres_block
from app.paper.lists.drilling import CAUTIONS as DRILLING_CAUTIONS
from app.paper.lists.drilling import drilling_table
from app.paper.lists.list_pages import ListPages
from app.paper.lists.marking import marking_tables, rounded_words
from app.paper.lists.table_block import table_blocks
from app.paper.outline.outline_plan import plotting_of
from app.paper.sheet.title_strip import CAUTIONS
from app.paper.sheet_kind import Leaf, SheetJob, SheetKind
from app.scene.table import Table

Tables = Callable[[SheetJob], tuple[Table, ...]]
Said = Callable[[SheetJob], Sequence[str]]

_HOW = (
    "Every measure begins at a datum edge: left and front, as the board lies top face up. From below the left edge is "
    "at your right, and stays the edge to measure from. “Off” is what rounding adds, in mm."
)


def _list(
    name: str, title: str, tables: Tables, said: Said, *, foot: Sequence[str] = (), picture: bool = False
) -> SheetKind[object]:
    def pages(job: SheetJob) -> ListPages:
        if name not in job.kept:
            job.kept[name] = set_out(job)
        return cast("ListPages", job.kept[name])

    def set_out(job: SheetJob) -> ListPages:
        def setting(left: float, width: float, room: float) -> list[Block]:
            words = [Paragraph(text) for text in said(job)]
            blocks = [words_block(words, left, width, air=3.0)] if words else []
            if picture:
                blocks.append(centres_block(job.board, plotting_of(job.board, job.printing).reading, left, width))
            for table in tables(job):
                blocks += table_blocks(table, left, width, room)
            return blocks

        return ListPages(job.board, job.printing, title, name, setting, foot=(*CAUTIONS, *foot))

    def leaves(job: SheetJob) -> tuple[Leaf, ...]:
        return tuple(Leaf(f"{title.lower()}, page {number}") for number in range(1, len(pages(job)) + 1))

    return SheetKind(
        name=name,
        words=title.lower(),
        needs=frozenset({"board"}),
        rows=lambda job: tables(job)[0].rows,
        leaves=leaves,
        pages=pages,
        unproved="Nothing on it is at true size.",
        tables=tables,
        said=said,
    )


def _marks(job: SheetJob) -> tuple[Table, ...]:
    return marking_tables(job.board, plotting_of(job.board, job.printing).reading)


def _marks_said(job: SheetJob) -> tuple[str, ...]:
    return (_HOW, rounded_words(job.board, plotting_of(job.board, job.printing).reading))


def card_words(kind: SheetKind[object], tables: Sequence[Table]) -> tuple[str, str]:
    """What a list holds, in a line, and what has to be done first; empty for nothing."""
    if kind is MARKING:
        return f"{_many(len(tables[0].rows), 'centre')} on {_many(len(tables[1].rows), 'line')}", ""
    if kind is DRILLING:
        return f"{_many(len(tables[0].rows), 'step')}. {tables[0].notes[0]}", ""
    first = sum(row[-1] != "" for row in tables[0].rows)
    return _many(len(tables[0].rows), "line"), f"{_many(first, 'line')} to measure or choose first" if first else ""


def _many(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"


MARKING = _list("marking", "Mark out the centres", _marks, _marks_said, picture=True)
DRILLING = _list("drilling", "Drilling run", lambda job: (drilling_table(job.board),), lambda _: DRILLING_CAUTIONS)
PARTS = _list("parts", "Parts list", lambda job: (parts_table(job.board),), lambda _: ())
