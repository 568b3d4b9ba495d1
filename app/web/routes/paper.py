"""The paper page: how a template is printed, its pages one by one, and the proof of each file."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.responses import HTMLResponse, Response

from app.errors import EditError, HolewiseError, PaperError, ProofError
from app.model.printing import Printing
from app.numbers import whole
from app.service import export_file, template_file
from app.service.budget import apart, aside
from app.service.printers import Asked as Way
from app.service.printers import printing_asked
from app.service.proving import ProvedFile
from app.service.revision_sheets import Shown, page_of, template_of
from app.service.sheet_map import bit_asked
from app.service.sight import Sight
from app.service.weighty import has_many_parts, takes_many_sheets
from app.service.workshop import Workshop
from app.units import Unit
from app.web.contexts.here import Here
from app.web.contexts.paper import paper_page, query_of
from app.web.contexts.proof import proved, refused
from app.web.problems import withheld
from app.web.render import page, render
from app.web.routes.common import Asked, Shop, View

router = APIRouter()

_LONGEST = 60


def way_of(request: Request) -> Way:
    """How to print, as it stands in the address."""
    asked = {k: request.query_params.get(k, "").strip()[:_LONGEST] for k in Way.__slots__}
    return Way(**{**asked, "paper": asked["paper"].lower()})


Printed = Annotated[Way, Depends(way_of)]


@router.get("/designs/{design_id}/paper")
def paper_sheets(shop: Shop, here: View, way: Printed, htmx: Asked) -> HTMLResponse:
    """The sheets of a template over the board and one by one, and what to download."""
    sight = shop.see(here.design, here.where, here.units)
    shown = paper_page(sight, here, way, shop.printers)
    return page("pages/paper.html", shown, htmx, block="sheets")


@router.get("/designs/{design_id}/sheet.svg")
def leaf(shop: Shop, here: View, way: Printed, leaf: str = "1") -> Response:
    """One page of the template, as it will print."""
    sight = shop.look(here.design, here.where, here.units)
    number = whole(leaf, 1, 99_999) or 0
    shown, printing = Shown.of(sight.checked), printing_of(shop, sight, way)
    drawing = aside(page_of, shown, here.face, printing, way.only, number)
    return Response(drawing, media_type="image/svg+xml", headers={"Cache-Control": "no-cache"})


@router.get("/designs/{design_id}/template.pdf")
def template(shop: Shop, here: View, way: Printed) -> Response:
    """The true-size drill template of one face, read back before it is handed out."""
    made = _template(shop, here, way)
    headers = {"Content-Disposition": f'attachment; filename="{made.name}"', "X-Proof": made.proof.words}
    return Response(made.data, media_type="application/pdf", headers=headers)


@router.get("/designs/{design_id}/proof")
def proof(request: Request, shop: Shop, here: View, way: Printed, htmx: Asked, of: str = "template") -> HTMLResponse:
    """What reading a file back has found: ``of`` is template, svg or dxf."""
    back = here.url("/paper", **query_of(way))
    try:
        found = proved(_made(shop, here, way, of), of, back)
    except ProofError as error:
        found = refused(f"{error} Log entry {withheld(request, error)}.", of, back, htmx.target)
    if htmx.wants_block:
        return HTMLResponse(render("pages/proof.html", found, "proof"))
    return HTMLResponse(render("pages/proof.html", found))


def _made(shop: Workshop, here: Here, way: Way, of: str) -> ProvedFile:
    if of == "template":
        return _template(shop, here, way)
    if of not in ("svg", "dxf"):
        raise EditError(f"There is no proof of “{of[:20]}”. Choose template, svg or dxf.", "of")
    _, design = shop.design(here.design)
    where = (here.board or None, here.arrangement or None, here.face)
    return apart(has_many_parts(design), export_file, design, *where, of)


def _template(shop: Workshop, here: Here, way: Way) -> ProvedFile:
    sight = shop.look(here.design, here.where, here.units)
    printing = printing_of(shop, sight, way)
    bit, wrong = bit_asked(sight.checked.resolved, here.face, way.only)
    if wrong:
        raise HolewiseError(wrong)
    design = sight.design.model_copy(update={"units": here.units}) if here.units else sight.design
    if not has_many_parts(design) and not takes_many_sheets(sight.checked.resolved, printing):
        return aside(template_of, Shown.of(sight.checked), here.face, printing, bit)
    where = (here.board or None, here.arrangement or None, here.face)
    return apart(True, template_file, design, *where, printing, only=bit.diameter if bit else None)


def printing_of(shop: Workshop, sight: Sight, way: Way) -> Printing:
    """How to print, where nothing may be left as usual that was asked for otherwise.

    Raises:
        PaperError: something of it cannot be.
    """
    seen = sight.checked
    printing, problems = printing_asked(way, seen, shop.printers, Unit(seen.resolved.units))
    if problems:
        raise PaperError(" ".join(problems.values()))
    return printing
