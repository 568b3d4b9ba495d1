"""The check sheet of a paper: what a printer does to lengths and right angles."""

from __future__ import annotations

from app.paper.check.check_frame import CheckBar, check_frame
from app.paper.check.check_sheet import check_sheet
from app.paper.sheet_kind import Leaf, SheetJob, SheetKind
from app.scene.primitives import Scene


def _rows(job: SheetJob) -> tuple[CheckBar, ...]:
    return check_frame(job.printing, job.unit).bars


def _leaves(_: SheetJob) -> tuple[Leaf]:
    return (Leaf("check sheet"),)


def _pages(job: SheetJob) -> tuple[Scene]:
    return (check_sheet(job.board, job.printing).scene,)


CHECK_SHEET = SheetKind(
    name="check-sheet",
    words="check sheet",
    needs=frozenset(),
    rows=_rows,
    leaves=_leaves,
    pages=_pages,
    unproved="Nothing is drilled from it; the builder measures it with a rule.",
)
