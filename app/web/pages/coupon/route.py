"""Coupon: what to try in scrap, and what came of it typed back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Annotated, Final

from fastapi import Query
from starlette.responses import HTMLResponse, Response

from app.numbers import whole
from app.service import DesignChange, Edit
from app.service.edits.coupon import TypedTrial, trials_kept
from app.web.forms import Form
from app.web.pages.coupon.context import coupon_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.changing import answered
from app.web.shared.requests import OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()

_LONGEST: Final = 200  # characters of the name of a trial cut
_MOST_PAGES: Final = 1000
_FITS: Final = ("untried", "tight", "right", "loose")


@router.get("/designs/{design_id}/coupon")
def coupon(workshop: OpenWorkshop, view: View, leaf: Annotated[str, Query()] = "") -> HTMLResponse:
    """Every trial cut of the board in view, and what came of it."""
    sight = workshop.look(view.design, view.where, view.units)
    return HTMLResponse(render("coupon/page.html", coupon_page(sight, view, whole(leaf, 1, _MOST_PAGES) or 1)))


@router.post("/designs/{design_id}/coupon")
def coupon_kept(design_id: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Keep what came of them, as one step."""
    view, leaf = ViewState.of(design_id, dict(form.values)), whole(form.text("leaf"), 1, _MOST_PAGES) or 1

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.look(view.design, view.where, view.units)
        shown = coupon_page(sight, view, leaf, problems=problems, typed=form.values)
        return HTMLResponse(render("coupon/page.html", shown), 422)

    def onward(_: Edit, other_windows: Mapping[str, str]) -> str:
        return view.at(seen="").url("/coupon", leaf=str(leaf) if leaf > 1 else "", **other_windows)

    return answered(workshop, form, view, _read, again, onward, beside="rows")


def _read(form: Form, view: ViewState) -> DesignChange:
    codes = dict.fromkeys(
        code
        for name in form.values
        for kind, _, code in [name.removesuffix(".was").partition(".")]
        if kind in ("fit", "m") and code and len(code) <= _LONGEST
    )
    when = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    rows = [row for code in codes if (row := _typed(form, code)) is not None]
    return trials_kept(view.where, rows, when, unit=form.unit)


def _typed(form: Form, code: str) -> TypedTrial | None:
    """What is said of a trial cut; None where both fields stand as they were shown."""
    fit, wide = f"fit.{code}", f"m.{code}"
    chose, measured = form.changed(fit), form.changed(wide)
    if not chose and not measured:
        return None
    said = form.one_of(fit, "How it went in", _FITS) if chose else None
    size = form.length(wide, "The width measured") if measured and form.text(wide) else None
    return TypedTrial(code, said, size, keeps=not measured)
