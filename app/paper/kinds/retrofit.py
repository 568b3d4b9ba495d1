"""The retrofit template: only what has to be done to a drilled board, laid on old holes that stay, and the list.

It is not among the kinds that every board has: only who asks for an older state has what it is made from.
"""

from __future__ import annotations

from app.errors import PaperError
from app.paper.cover.text import Paragraph
from app.paper.lists.block import Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.lists.table_block import table_blocks
from app.paper.retrofit.blocks import guide_blocks, piece_blocks
from app.paper.retrofit.pieces import Guide, LaidPiece, guides_of, pieces_of
from app.paper.sheet.title_strip import CAUTIONS
from app.paper.sheet_kind import Leaf, SheetJob, SheetKind
from app.retrofit.retrofit import Retrofit
from app.retrofit.table import retrofit_table
from app.retrofit.words import CAUTIONS as WORK_CAUTIONS
from app.retrofit.words import stay_words, verdict_words
from app.scene.table import Table

_NAME = "retrofit"
_SAID = 22.0  # height of the words above a piece [mm]


class RetrofitPages(ListPages):
    """Its pages, with what is drawn on them.

    Args:
        job: what they are made from, with what the board needs.
    """

    def __init__(self, job: SheetJob) -> None:
        self.pieces: tuple[LaidPiece, ...] = ()
        self.guides: tuple[Guide, ...] = ()
        found = _found(job)

        def setting(left: float, width: float, room: float) -> list[Block]:
            self.pieces = pieces_of(found, width, room - _SAID)
            self.guides = guides_of(found)
            said = [verdict_words(found), *found.reasons, *WORK_CAUTIONS, stay_words(found)]
            blocks = [words_block([Paragraph(text) for text in said if text], left, width, air=3.0)]
            blocks += table_blocks(retrofit_table(found, job.unit, stays=False), left, width, room)
            blocks += guide_blocks(self.guides, left, width, job.unit)
            for number, piece in enumerate(self.pieces, 1):
                blocks += piece_blocks(piece, number, left, width, job.unit)
            return blocks

        super().__init__(job.board, job.printing, "Retrofit template", _NAME, setting, foot=CAUTIONS)


def retrofit_pages(job: SheetJob) -> RetrofitPages:
    """The pages of a job, set once."""
    return job.once(_NAME, lambda: RetrofitPages(job))


def _found(job: SheetJob) -> Retrofit:
    if job.retrofit is None:
        raise PaperError("A retrofit template needs an older state of the board. Choose what it was drilled to.")
    return job.retrofit


def _tables(job: SheetJob) -> tuple[Table, ...]:
    return (retrofit_table(_found(job), job.unit),)


def _leaves(job: SheetJob) -> tuple[Leaf, ...]:
    return tuple(Leaf(f"retrofit template, page {number}") for number in range(1, len(retrofit_pages(job)) + 1))


RETROFIT: SheetKind[object] = SheetKind(
    name=_NAME,
    words="retrofit template",
    needs=frozenset({"board", "retrofit"}),
    rows=lambda job: _tables(job)[0].rows,
    leaves=_leaves,
    pages=retrofit_pages,
    tables=_tables,
    said=lambda job: (verdict_words(_found(job)), *WORK_CAUTIONS),
)
