"""The coupon of a board: one of each cut at true size, to be made in scrap first."""

from __future__ import annotations

from collections.abc import Sequence

from app.paper.coupon.coupon_pages import CouponPages, said_of
from app.paper.coupon.coupon_table import coupon_table
from app.paper.sheet_kind import Card, Leaf, SheetJob, SheetKind
from app.scene.table import Table
from app.shop.coupon import Sample, samples_of

_NAME = "coupon"


def coupon_pages(job: SheetJob) -> CouponPages:
    """The pages, laid out once for a job."""
    return job.once(f"{_NAME} pages", lambda: CouponPages(job, belongs=f"code {COUPON.code(job)}"))


def _rows(job: SheetJob) -> tuple[Sample, ...]:
    return samples_of(job.board)


def _leaves(job: SheetJob) -> tuple[Leaf, ...]:
    return tuple(Leaf(f"coupon, page {number}") for number in range(1, len(coupon_pages(job)) + 1))


def _card(_: SheetJob, tables: Sequence[Table]) -> Card:
    many = len(tables[0].rows)
    return Card(f"{many:,} trial cut{'' if many == 1 else 's'} to make")


COUPON: SheetKind[object] = SheetKind(
    name=_NAME,
    words="coupon",
    needs=frozenset({"board"}),
    rows=_rows,
    leaves=_leaves,
    pages=coupon_pages,
    tables=lambda job: (coupon_table(job.board),),
    said=said_of,
    purpose="First, in scrap: one of each cut at true size, with what to try in it.",
    card=_card,
    page="/coupon",
    coded=True,
)
