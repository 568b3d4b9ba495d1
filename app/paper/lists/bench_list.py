"""A list as a kind of sheets: words, drawings and tables in one style, its code on every page."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from app.paper.cover.text import Paragraph
from app.paper.lists.block import Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.lists.table_block import table_blocks
from app.paper.sheet.title_strip import CAUTIONS
from app.paper.sheet_kind import Ask, Card, Leaf, SheetJob, SheetKind, counted_card
from app.scene.primitives import Scene
from app.scene.table import Table

Tables = Callable[[SheetJob], tuple[Table, ...]]
Said = Callable[[SheetJob], Sequence[str]]
Blocks = Callable[[SheetJob, float, float], Sequence[Block]]
"""What stands between the words and the tables, for a left end and a width [mm]."""


def bench_list(
    name: str,
    title: str,
    tables: Tables,
    said: Said = lambda _: (),
    *,
    foot: Sequence[str] = (),
    purpose: str = "",
    card: Callable[[SheetJob, Sequence[Table]], Card] = counted_card,
    drawn: Blocks = lambda *_: (),
    pictures: Callable[[SheetJob], Sequence[Scene]] = lambda _: (),
    asks: frozenset[Ask] = frozenset(),
) -> SheetKind[object]:
    """A list; its tables, its sentences and its pages are made once for each job.

    Args:
        name: in addresses, on the command line and in names of files.
        title: at the head of its pages.
        tables: its content.
        said: sentences before them.
        foot: sentences of the foot besides the usual cautions.
        purpose: what it is for, in a sentence.
        card: what it holds, in figures.
        drawn: what stands between the words and the tables on paper.
        pictures: drawings that go with its tables on a screen.
        asks: what may be asked of it besides paper and printer.
    """

    def made(job: SheetJob) -> tuple[Table, ...]:
        return job.once(f"{name} tables", lambda: tables(job))

    def pages(job: SheetJob) -> ListPages:
        return job.once(f"{name} pages", lambda: _set_out(kind, title, job, drawn, foot))

    kind: SheetKind[object] = SheetKind(
        name=name,
        words=title.lower(),
        needs=frozenset({"board"}),
        rows=lambda job: made(job)[0].rows,
        leaves=lambda job: tuple(Leaf(f"{title.lower()}, page {n}") for n in range(1, len(pages(job)) + 1)),
        pages=pages,
        unproved="Nothing on it is at true size.",
        tables=made,
        said=lambda job: job.once(f"{name} said", lambda: tuple(said(job))),
        purpose=purpose,
        card=card,
        pictures=pictures,
        asks=asks,
        coded=True,
    )
    return kind


def _set_out(kind: SheetKind[object], title: str, job: SheetJob, drawn: Blocks, foot: Sequence[str]) -> ListPages:
    """The pages of a list: its sentences, its drawings, then its tables."""

    def setting(left: float, width: float, room: float) -> list[Block]:
        words = [Paragraph(text) for text in kind.said(job)]
        blocks = [words_block(words, left, width, air=3.0)] if words else []
        blocks += drawn(job, left, width)
        for table in kind.tables(job) if kind.tables is not None else ():
            blocks += table_blocks(table, left, width, room)
        return blocks

    code = f"code {kind.code(job)}"
    return ListPages(job.board, job.printing, title, kind.name, setting, belongs=code, foot=(*CAUTIONS, *foot))
