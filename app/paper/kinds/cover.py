"""The cover of a board's sheets: read first."""

from __future__ import annotations

from app.paper.cover.cover import cover_page
from app.paper.cover.words import Measure, measures
from app.paper.sheet_kind import Leaf, SheetJob, SheetKind
from app.scene.primitives import Scene


def _rows(job: SheetJob) -> tuple[Measure, ...]:
    return tuple(measures(job.board, job.unit))


def _leaves(_: SheetJob) -> tuple[Leaf]:
    return (Leaf("cover: read this first"),)


def _pages(job: SheetJob) -> tuple[Scene]:
    plans = job.laid("top").plan, job.laid("under").plan
    page = cover_page(job.board, job.printing, accepted=job.accepted, files=job.files, first_page=2, plans=plans)
    return (page,)


COVER = SheetKind(
    name="cover",
    words="cover",
    needs=frozenset({"board", "report"}),
    rows=_rows,
    leaves=_leaves,
    pages=_pages,
    unproved="Nothing is drilled from it; its size and check bars are read back with the sheets it stands before.",
)
