"""The drill template of one face: the board at true size, on as many sheets as that takes."""

from __future__ import annotations

from app.drafting.template.pattern_marks import CentreMark
from app.drafting.words import face_words
from app.paper.kinds.cover import COVER
from app.paper.sheet_kind import Laid, Leaf, SheetCode, SheetJob, SheetKind


def _rows(job: SheetJob) -> tuple[CentreMark, ...]:
    return job.template.plan.template.marks


def _leaves(job: SheetJob) -> tuple[Leaf, ...]:
    tiling = job.template.plan.tiling
    lying = tiling.layout.orientation == "landscape"
    return tuple(Leaf(f"row {tile.row}, column {tile.column}", lying) for tile in tiling.tiles)


def _pages(job: SheetJob) -> Laid:
    return job.template


def _codes(job: SheetJob) -> tuple[SheetCode, ...]:
    words = f"template, {face_words(job.face)}"
    if job.only is not None:
        words += ", one bit"
    return (SheetCode(job.template.plan.code, job.board.id, job.board.arrangement_id, words),)


TEMPLATE = SheetKind(
    name="template",
    words="template",
    needs=frozenset({"board", "face", "bit"}),
    rows=_rows,
    leaves=_leaves,
    pages=_pages,
    front=COVER,
    codes=_codes,
)
