"""Files of sheets read back, each kind by what has to be on it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from app.paper.kinds import ALL_TEMPLATES, COUPON, LEGENDS, OUTLINE_MARKING, TEMPLATE
from app.paper.kinds.all_templates import AllPages
from app.paper.kinds.coupon import coupon_pages
from app.paper.kinds.outline_marking import OutlineSheets
from app.paper.kinds.retrofit import RETROFIT
from app.paper.sheet_kind import SheetJob, SheetKind
from app.proof.coupon import prove_coupon
from app.proof.legends import prove_print
from app.proof.read_pdf import PdfPage
from app.proof.result import Proof
from app.proof.retrofit import prove_retrofit
from app.proof.shared_sheets import prove_all
from app.proof.template import prove_template

Written = bytes | Sequence[PdfPage]
"""A file, or its pages as they were read, where they stand among others."""

Prover = Callable[[Written, SheetJob, int], Proof]
"""Reads a file back that was made by a job, with so many pages of other kinds before its own; raises ProofError."""


def _template(data: Written, job: SheetJob, before: int) -> Proof:
    return prove_template(data, job.board, job.face, job.printing, sheets=job.template.plan, covers=before)


def _outline(data: Written, job: SheetJob, before: int) -> Proof:
    """The rim on its true-size sheets, of a board on which nothing is drilled."""
    sheets = OutlineSheets(job)
    covers = before + len(sheets.words)
    return prove_template(data, job.board.populated(()), "top", job.printing, sheets=sheets.plan, covers=covers)


def _all_boards(data: Written, job: SheetJob, before: int) -> Proof:
    pages = AllPages(job)
    return prove_all(data, pages.sheets, before + pages.lists)


def _coupon(data: Written, job: SheetJob, before: int) -> Proof:
    return prove_coupon(data, coupon_pages(job), job.printing, before)


PROVERS: Final[Mapping[str, Prover]] = {
    TEMPLATE.name: _template,
    ALL_TEMPLATES.name: _all_boards,
    OUTLINE_MARKING.name: _outline,
    RETROFIT.name: prove_retrofit,
    LEGENDS.name: prove_print,
    COUPON.name: _coupon,
}
"""By the name of the kind; a kind without one says why (:attr:`SheetKind.unproved`)."""


def prove_sheets(kind: SheetKind[object], data: Written, job: SheetJob, before: int | None = None) -> Proof | None:
    """Read a kind's file back and compare it with the model; None of a kind that nothing is drilled from.

    Args:
        kind: of the sheets.
        data: the file, or its pages as they were read.
        job: what they were made from.
        before: how many pages come before its own; those of the kinds at its front if None.

    Raises:
        ProofError: it does not show what the model asks for.
    """
    prover = PROVERS.get(kind.name)
    if prover is None:
        return None
    if before is None:
        before = sum(len(part.leaves(job)) for part in kind.bound[:-1])
    return prover(data, job, before)
