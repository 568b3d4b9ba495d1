"""The page *Coupon*: the sheet to print, and a row for each trial cut."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct

from app.service.drawings.formats import LISTS, sheet_format
from app.service.screens.bench.coupon_seen import CouponSeen, TrialRow, coupon_seen
from app.service.sight import Sight
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import Option, ViewState

NONE: Mapping[str, str] = MappingProxyType({})


class TrialField(Struct, frozen=True):
    """A row of the form.

    Args:
        seen: the trial cut.
        fit: what is chosen.
        measured: what stands in its field.
        wrong: what is wrong with that; empty if nothing is.
    """

    seen: TrialRow
    fit: str
    measured: str
    wrong: str


class CouponPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        head: the head.
        unit: of what is typed.
        seen: what it says.
        rows: the rows of the form.
        files: the sheet, and the list of it.
        pages: every page of the list; none where there is one.
        problem: what is wrong; empty if nothing is.
        action: where the form goes.
        undo_action: where that goes.
        back_url: the page of the bench.
    """

    view: ViewState
    head: PageHead
    unit: str
    seen: CouponSeen
    rows: tuple[TrialField, ...]
    files: tuple[Option, ...]
    pages: tuple[Option, ...]
    problem: str
    action: str
    undo_action: str
    back_url: str


def coupon_page(
    sight: Sight, view: ViewState, leaf: int, *, problems: Mapping[str, str] = NONE, typed: Mapping[str, str] = NONE
) -> CouponPage:
    """The page for the board in view, with what was typed where something could not be taken."""
    view = view.at(select=(), section=False, face="top", layers=(), to="").showing(sight.revision)
    seen, plain = coupon_seen(sight, leaf), view.at(seen="")
    rows = tuple(_row(row, problems, typed) for row in seen.rows)
    beside = {f"m.{row.seen.code}" for row in rows if row.wrong}
    other = " ".join(dict.fromkeys(said for name, said in problems.items() if name not in beside))
    forms = (sheet_format()[0], *LISTS)
    return CouponPage(
        view=view,
        head=head_of(sight, view, "/coupon"),
        unit=sight.unit.value,
        seen=seen,
        rows=rows,
        files=tuple(Option(form.words, plain.url(f"/coupon{form.ending}")) for form in forms),
        pages=tuple(
            Option(str(n), plain.url("/coupon", leaf=str(n) if n > 1 else ""), n == seen.page)
            for n in (range(1, seen.pages + 1) if seen.pages > 1 else ())
        ),
        problem=other or ("Nothing was kept: look at the fields below." if beside else ""),
        action=f"/designs/{view.design}/coupon",
        undo_action=f"/designs/{view.design}/undo",
        back_url=plain.url("/bench"),
    )


def _row(row: TrialRow, problems: Mapping[str, str], typed: Mapping[str, str]) -> TrialField:
    fit, measured = typed.get(f"fit.{row.code}", row.fit), typed.get(f"m.{row.code}", row.measured)
    return TrialField(row, fit, measured, problems.get(f"m.{row.code}", ""))
