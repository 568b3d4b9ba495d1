"""The bench: what has to be marked, drilled and bought for a board, to read on a phone and to print."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from starlette.responses import HTMLResponse, Response

from app.errors import EditError
from app.service import DesignChange, Edit
from app.service.drawings.printers import PrintRequest
from app.service.edits.bench_lists import (
    RATE_FIELDS,
    cells_set,
    column_added,
    column_removed,
    column_renamed,
    rates_set,
    seconds_typed,
    spares_set,
)
from app.web.forms import Form
from app.web.pages.bench.context import bench_page, list_page
from app.web.pages.paper.route import Printed
from app.web.render import render
from app.web.router import Router
from app.web.shared.changing import Reader, answered, reader_of
from app.web.shared.requests import OpenWorkshop, Sent, View
from app.web.shared.view_state import ViewState

router = Router()

_CELL = "cell-"
"""Before the key of a line in the name of its field."""


@router.get("/designs/{design_id}/bench")
def bench(workshop: OpenWorkshop, view: View, code: str = "") -> HTMLResponse:
    """A card for each list, with what it holds."""
    sight = workshop.see(view.design, view.where, view.units)
    return HTMLResponse(render("bench/page.html", bench_page(sight, view, code)))


@router.get("/designs/{design_id}/bench/{kind}")
def bench_list(kind: str, workshop: OpenWorkshop, view: View, print_request: Printed) -> HTMLResponse:
    """One list as tables."""
    sight = workshop.see(view.design, view.where, view.units)
    return HTMLResponse(render("bench/list.html", list_page(workshop, sight, view, kind, print_request)))


@router.post("/designs/{design_id}/bench/drilling/{verb}")
def change_drilling(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Set how long work takes."""
    return _changed(workshop, design_id, "drilling", reader_of(_DRILLING, verb, " of the drilling run"), form)


@router.post("/designs/{design_id}/bench/parts/{verb}")
def change_parts(design_id: str, verb: str, workshop: OpenWorkshop, form: Sent) -> Response:
    """Set the spares, or change a column of the builder's own."""
    return _changed(workshop, design_id, "parts", reader_of(_PARTS, verb, " of the parts list"), form)


def _changed(workshop: OpenWorkshop, design_id: str, kind: str, read: Reader, form: Form) -> Response:
    view = ViewState.of(design_id, dict(form.values))
    counted = form.text("counted")[:20]

    def again(problems: Mapping[str, str]) -> Response:
        sight = workshop.see(view.design, view.where, view.units)
        asked = PrintRequest(counted=counted)
        shown = list_page(workshop, sight, view, kind, asked, problems=problems, typed=form.values)
        return HTMLResponse(render("bench/list.html", shown), status_code=422)

    def onward(_: Edit, told: Mapping[str, str]) -> str:
        return view.url(f"/bench/{kind}", counted=counted, **told)

    return answered(workshop, form, view, read, again, onward)


def _rates(form: Form, _: ViewState) -> DesignChange:
    problems, rates = dict[str, str](), dict[str, float | None]()
    for name in RATE_FIELDS:
        try:
            rates[name] = seconds_typed(form.text(name), name)
        except EditError as error:
            problems[name] = str(error)
            form.values.setdefault(name, "")
    form.problems.update(problems)
    form.done()
    return rates_set(rates)


def _spares(form: Form, _: ViewState) -> DesignChange:
    form.values["spares"] = form.text("spares").rstrip("%").strip()
    return spares_set(form.number("spares", "The share of spares in %") if form.text("spares") else None)


def _cells(form: Form, _: ViewState) -> DesignChange:
    """Only what was typed over: another window may have filled in the rest."""
    names = [name for name in form.values if name.startswith(_CELL) and not name.endswith(".was")]
    texts = {name.removeprefix(_CELL): form.text(name) for name in names if form.changed(name)}
    return cells_set(form.text("column"), texts)


_DRILLING: Mapping[str, Reader] = MappingProxyType({"rates": _rates})
_PARTS: Mapping[str, Reader] = MappingProxyType(
    {
        "spares": _spares,
        "cells": _cells,
        "column-add": lambda form, _: column_added(form.text("name")),
        "column-rename": lambda form, _: column_renamed(form.text("column"), form.text("name")),
        "column-remove": lambda form, _: column_removed(form.text("column")),
    }
)
_READERS: Mapping[str, Reader] = MappingProxyType({**_DRILLING, **_PARTS})
