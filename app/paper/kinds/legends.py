"""Legends: a table of them, then all at true size to print and cut; mirrored on the face seen from behind."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.paper.cover.text import Paragraph
from app.paper.legends.legend_table import legend_tables
from app.paper.legends.pieces import cut_pieces
from app.paper.legends.plotter import plotter_scene
from app.paper.legends.print_blocks import INSET, print_blocks
from app.paper.lists.block import Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.lists.table_block import table_blocks
from app.paper.sheet_kind import Card, Leaf, SheetJob, SheetKind
from app.scene.primitives import Scene
from app.scene.table import Table
from app.shop.legends import LegendRow, legend_rows

_NAME: Final = "legends"

_HOW: Final = (
    "Ticks at a frame mark the middle of its legend: rule the two measures of the table on the board, lay the ticks on "
    "them, and stick it down."
)
_SAID: Final = ("Print at actual size and check both bars. Cut each legend out along its grey frame.", _HOW)
_CAUTIONS: Final = (
    "Cut on a mat, away from your fingers, and put the knife away when you are done.",
    "The measures of a legend are no place to drill.",
)
_MIRRORED: Final = (
    "MIRRORED: to be stuck behind a clear cover, and read through it. The left edge is then at your right."
)


def said(job: SheetJob) -> tuple[str, ...]:
    """Sentences before the tables."""
    return (*_SAID, _MIRRORED) if job.face == "under" else _SAID


def _pages(job: SheetJob) -> ListPages:
    return job.once(_NAME, lambda: _set_out(job))


def _set_out(job: SheetJob) -> ListPages:
    mirrored, board = job.face == "under", job.board

    def setting(left: float, width: float, room: float) -> list[Block]:
        blocks = [words_block([Paragraph(text) for text in said(job)], left, width, air=3.0)]
        for table in legend_tables(board):
            blocks += table_blocks(table, left, width, room)
        pieces = cut_pieces(legend_rows(board), width - 2 * INSET, mirrored=mirrored)
        return blocks + print_blocks(pieces, board.lettering.colour, left, width, room, job.printing)

    title = "Legends, mirrored" if mirrored else "Legends"
    return ListPages(board, job.printing, title, _NAME, setting, foot=_CAUTIONS)


def _leaves(job: SheetJob) -> tuple[Leaf, ...]:
    pages = _pages(job)
    lying = pages.layout.orientation == "landscape"
    return tuple(Leaf(f"legends, page {number}", lying) for number in range(1, len(pages) + 1))


def _rows(job: SheetJob) -> tuple[LegendRow, ...]:
    return legend_rows(job.board)


def _cut(job: SheetJob) -> Scene:
    wide = min(job.printing.paper.width, job.printing.paper.height)
    return plotter_scene(job.board, wide, mirrored=job.face == "under", stops=job.printing.stops)


def _card(_: SheetJob, tables: Sequence[Table]) -> Card:
    """What the list holds, and how many legends have no place."""
    rows = tables[0].rows
    many, first = len(rows), sum(row[-1] != "" for row in rows)
    holds = f"{many:,} legend{'' if many == 1 else 's'}" if many else "0 legends: no part has one yet"
    return Card(holds, f"{first:,} without a clear place" if first else "")


LEGENDS = SheetKind(
    name=_NAME,
    words="legends",
    needs=frozenset({"board", "face"}),
    rows=_rows,
    leaves=_leaves,
    pages=_pages,
    tables=lambda job: legend_tables(job.board),
    said=said,
    cut=_cut,
    purpose="A text or a sign for each part, at true size: to print and cut, or for a cutting plotter.",
    card=_card,
    page="/legends",
)
