"""The paper page: how a template is printed, its pages one by one, and the proof of each file."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from fastapi import Depends, Request
from starlette.responses import HTMLResponse, Response

from app.errors import EditError, ProofError
from app.numbers import whole
from app.service.drawings.board_files import drawing_of
from app.service.drawings.made_file import MadeFile, ProvedFile
from app.service.drawings.printers import PrintRequest
from app.service.drawings.sheet_files import ALL_TEMPLATES, SHEET_FILES, TEMPLATE, proved
from app.service.drawings.sheets_asked import list_asked, page_asked, sheets_asked
from app.service.workshop import Workshop
from app.web.answers import handed_out, picture
from app.web.budgets import list_paths, sheet_path
from app.web.pages.paper.context import paper_page, query_of
from app.web.pages.paper.proof import PROVABLE, proved_page, refused
from app.web.problems import withheld
from app.web.render import page, render
from app.web.router import Router
from app.web.shared.requests import HtmxRequest, OpenWorkshop, View
from app.web.shared.view_state import ViewState

router = Router()

_LONGEST = 60


async def way_of(request: Request) -> PrintRequest:
    """How to print, as it stands in the address."""
    asked = {k: request.query_params.get(k, "").strip()[:_LONGEST] for k in PrintRequest.__struct_fields__}
    return PrintRequest(**{**asked, "paper": asked["paper"].lower()})


Printed = Annotated[PrintRequest, Depends(way_of)]


@router.get("/designs/{design_id}/paper")
def paper_sheets(
    workshop: OpenWorkshop, view: View, print_request: Printed, htmx: HtmxRequest, of: str = ""
) -> HTMLResponse:
    """The sheets of a template over the board and one by one, or those of all boards, and what to download."""
    sight = workshop.see(view.design, view.where, view.units)
    shown = paper_page(workshop, sight, view, print_request, of)
    return page("paper/page.html", shown, htmx, block="sheets")


@router.get("/designs/{design_id}/sheet.svg")
def leaf(workshop: OpenWorkshop, view: View, print_request: Printed, leaf: str = "1", of: str = TEMPLATE) -> Response:
    """One page of the template, or of other sheets, as it will print."""
    sight = workshop.look(view.design, view.where, view.units)
    number = whole(leaf, 1, 99_999) or 0
    return picture(page_asked(workshop, sight, view.face, of, number, print_request))


def _sheets_route(kind: str) -> Callable[..., Response]:
    """Hands out the sheets of a kind as a file."""

    def sheets(workshop: OpenWorkshop, view: View, print_request: Printed) -> Response:
        made = _sheets(workshop, view, print_request, kind)
        return handed_out(made, {"X-Proof": made.proof.words} if isinstance(made, ProvedFile) else {})

    return sheets


for _kind in SHEET_FILES.values():
    router.get(sheet_path(_kind.name), name=_kind.name)(_sheets_route(_kind.name))


def _list_route(kind: str, fmt: str) -> Callable[..., Response]:
    """Hands out a list for other programs."""

    def rows(workshop: OpenWorkshop, view: View, print_request: Printed) -> Response:
        sight = workshop.look(view.design, view.where, view.units)
        return handed_out(list_asked(workshop, sight, kind, fmt, print_request))

    return rows


for _path, _list, _fmt in list_paths():
    router.get(_path, name=f"{_list} as {_fmt}")(_list_route(_list, _fmt))


@router.get("/designs/{design_id}/proof")
def proof(
    request: Request, workshop: OpenWorkshop, view: View, print_request: Printed, htmx: HtmxRequest, of: str = TEMPLATE
) -> HTMLResponse:
    """What reading a file back has found: ``of`` is a kind of sheets, or a format of drawings."""
    back = view.url("/paper", **query_of(print_request), of=of if of == ALL_TEMPLATES else "")
    try:
        found = proved_page(_made(workshop, view, print_request, of), of, back)
    except ProofError as error:
        found = refused(f"{error} Log entry {withheld(request, error)}.", of, back, htmx.target)
    if htmx.wants_block:
        return HTMLResponse(render("paper/proof.html", found, "proof"))
    return HTMLResponse(render("paper/proof.html", found))


def _made(workshop: Workshop, view: ViewState, print_request: PrintRequest, of: str) -> ProvedFile:
    if of not in PROVABLE:
        raise EditError(f"There is no proof of “{of[:20]}”. Choose one of: {', '.join(PROVABLE)}.", "of")
    if of in SHEET_FILES:
        return proved(_sheets(workshop, view, print_request, of))
    return drawing_of(workshop.look(view.design, view.where, view.units), view.face, of)


def _sheets(workshop: Workshop, view: ViewState, print_request: PrintRequest, kind: str) -> MadeFile:
    sight = workshop.look(view.design, view.where, view.units)
    return sheets_asked(workshop, sight, view.face, kind, print_request)
