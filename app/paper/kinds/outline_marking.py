"""How an outline is marked out with a rule and a square: words, tables of offsets, and the curves at true size."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.words import unit_of
from app.paper.outline.marking_pages import marking_pages
from app.paper.outline.marking_tables import outline_tables
from app.paper.outline.outline_plan import outline_plan, plotting_of
from app.paper.sheet.sheets import Pages
from app.paper.sheet_kind import Card, Leaf, SheetCode, SheetJob, SheetKind
from app.scene.primitives import Scene
from app.scene.table import Table
from app.shop.outline_marks import OffsetRow, offset_rows, outline_marks


class OutlineSheets:
    """The pages of words and tables, then the sheets at true size.

    Args:
        job: what they are made from.
    """

    def __init__(self, job: SheetJob) -> None:
        marks, self.plan = outline_plan(job.board, job.printing)
        self.words = marking_pages(job.board, job.printing, marks, self.plan.code)
        bare = job.board.populated(())
        self._sheets = Pages(bare, "top", job.printing, unit=unit_of(job.board), plan=self.plan)

    def __len__(self) -> int:
        return len(self.words) + len(self._sheets)

    def __getitem__(self, index: int, /) -> Scene:
        number = range(len(self))[index]
        many = len(self.words)
        return self.words[number] if number < many else self._sheets[number - many]


def _rows(job: SheetJob) -> tuple[OffsetRow, ...]:
    return offset_rows(outline_marks(job.board, plotting_of(job.board, job.printing)))


def _leaves(job: SheetJob) -> tuple[Leaf, ...]:
    sheets = OutlineSheets(job)
    words, lying = sheets.words, sheets.words.layout.orientation == "landscape"
    tiling = sheets.plan.tiling
    return (
        *(Leaf(f"what to measure, page {number}", lying) for number in range(1, len(words) + 1)),
        *(Leaf(f"row {t.row}, column {t.column}", tiling.orientation == "landscape") for t in tiling.tiles),
    )


def _codes(job: SheetJob) -> tuple[SheetCode, ...]:
    code = OutlineSheets(job).plan.code
    return (SheetCode(code, job.board.id, job.board.arrangement_id, "outline to mark out"),)


def _card(_: SheetJob, tables: Sequence[Table]) -> Card:
    many = [len(table.rows) for table in tables]
    if not any(many):
        return Card("Straight and square: nothing to mark out")
    points, lines = many[0], many[1] if len(many) > 1 else 0
    said = [(points, "point", "of curves"), (lines, "end", "of sloped lines")]
    return Card(", ".join(f"{many:,} {what}{'' if many == 1 else 's'} {of}" for many, what, of in said if many))


OUTLINE_MARKING = SheetKind(
    name="outline-marking",
    words="outline to mark out",
    needs=frozenset({"board"}),
    rows=_rows,
    leaves=_leaves,
    pages=OutlineSheets,
    codes=_codes,
    tables=lambda job: outline_tables(outline_marks(job.board, plotting_of(job.board, job.printing))),
    purpose="Rounded corners and sloped edges with a rule and a batten, no angle needed.",
    card=_card,
    asks=frozenset({"reading"}),
    page="/marking",
)
