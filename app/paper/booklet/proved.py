"""The last page of a booklet: what reading its sheets back has found."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.drafting.words import unit_of
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.cover.text import Paragraph
from app.paper.lists.block import Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.lists.table_block import table_blocks
from app.paper.sheet.page_foot import DEFERRING
from app.paper.sheet.title_strip import CAUTIONS
from app.scene.table import Column, Table

_SAID = (
    "Every sheet that something is drilled from was read back by another library than the one that wrote it, and "
    "compared with the design: page sizes, check bars, the place and size of every hole and letter, and the rim."
)


class ProvedRow(Struct, frozen=True):
    """What was read back: what it is, how many sheets and holes, and the largest difference [mm]."""

    what: str
    pages: int
    holes: int
    largest: float


def proved_pages(board: ResolvedBoard, printing: Printing, rows: Sequence[ProvedRow], reader: str) -> ListPages:
    """The page of what was proved."""
    table = Table(
        "proved",
        "What was proved",
        (
            Column("what", "Sheets"),
            Column("pages", "Pages", "count"),
            Column("holes", "Found", "count"),
            Column("largest", "Largest difference, mm"),
        ),
        tuple((row.what, row.pages, row.holes, f"{row.largest:.4f}") for row in rows),
        unit_of(board),
        (f"Read back by {reader}. More than 0.01 mm, and nothing would have been handed out.",),
    )

    def setting(left: float, width: float, room: float) -> list[Block]:
        return [words_block([Paragraph(_SAID)], left, width, air=3.0), *table_blocks(table, left, width, room)]

    return ListPages(board, printing, "What was proved", "proved", setting, foot=(*CAUTIONS, DEFERRING))
