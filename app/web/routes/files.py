"""Files: pictures for the pages, and what is downloaded."""

from __future__ import annotations

import re
import unicodedata

from fastapi import APIRouter
from starlette.background import BackgroundTask
from starlette.responses import Response

from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.resolve import design_parts
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.errors import NotFoundError
from app.service import export_file
from app.service.budget import apart
from app.service.drawings import part_svg, thumbnail_svg, view_file
from app.service.shelf import deck_of
from app.service.weighty import has_many_parts
from app.units import parse_length
from app.web.assets import FOREVER, code
from app.web.contexts.here import Here
from app.web.routes.common import Shop, View

router = APIRouter()

_FOREVER = {"Cache-Control": "private, max-age=31536000, immutable"}
_ASK_AGAIN = {"Cache-Control": "no-cache"}


@router.get("/designs/{design_id}/thumbnail.svg")
def thumbnail(design_id: str, shop: Shop, revision: str = "", state: str = "") -> Response:
    """A small true drawing of a design's deck, as it is or as it was at some moment.

    It is there to stay if the address names a moment, whose content never changes, and this state of the program.
    """
    drawn, made = shop.shelf.picture(design_id, revision or shop.shelf.past(design_id).design.head)
    keep = _FOREVER if revision and state == code() else _ASK_AGAIN
    task = BackgroundTask(shop.shelf.keep, made)
    return Response(drawn, media_type="image/svg+xml", headers=keep, background=task)


@router.get("/designs/{design_id}/stored.json")
def stored(design_id: str, shop: Shop) -> Response:
    """A design's document to the byte as it is stored, readable or not: for whoever can mend it."""
    row, data = shop.shelf.stored(design_id)
    return _download(data, "application/json", f"{file_name(row.title, 'as stored')}.json")


@router.get("/scenarios/{name}.svg")
def scenario_picture(name: str, state: str = "") -> Response:
    """A small true drawing of a scenario's deck; to keep if the address names this state of the program."""
    keep = FOREVER if state == code() else _ASK_AGAIN
    return Response(thumbnail_svg(deck_of(load_scenario(name))), media_type="image/svg+xml", headers=keep)


@router.get("/parts/{part_id}.svg")
def part_picture(part_id: str, state: str = "") -> Response:
    """An item of hardware of the catalogue, seen from above; to keep if the address names this state of the program."""
    part = catalogue().parts.get(part_id)
    if part is None:
        raise NotFoundError(f"There is no part “{part_id[:40]}” in the catalogue.")
    keep = FOREVER if state == code() else _ASK_AGAIN
    return Response(part_svg(part), media_type="image/svg+xml", headers=keep)


@router.get("/designs/{design_id}/parts/{part_id}.svg")
def own_part_picture(design_id: str, part_id: str, shop: Shop) -> Response:
    """An item of hardware a design carries itself, seen from above."""
    _, design = shop.design(design_id)
    part = design_parts(design, catalogue()).get(part_id)
    if part is None:
        raise NotFoundError(f"There is no part “{part_id[:40]}” in this design.")
    return Response(part_svg(part), media_type="image/svg+xml", headers=_ASK_AGAIN)


@router.get("/designs/{design_id}/drawing.{fmt}")
def drawing(shop: Shop, here: View, fmt: str, kerf: str = "") -> Response:
    """One true-size drawing for other programs, SVG or DXF, in mm, read back before it is handed out."""
    _, design = shop.design(here.design)
    wide = parse_length(kerf, here.unit(design.units), what="The kerf") if kerf.strip() else 0.0
    where = (here.board or None, here.arrangement or None, here.face)
    made = apart(has_many_parts(design), export_file, design, *where, fmt, wide)
    kind = "image/svg+xml" if fmt == "svg" else "image/vnd.dxf"
    return _download(made.data, kind, made.name)


@router.get("/designs/{design_id}/view.{fmt}")
def view(shop: Shop, here: View, fmt: str, of: str = "board", paper: str = "") -> Response:
    """A drawing to read: the board, its underside or a section through a part, as SVG or a page of PDF."""
    _, design = shop.design(here.design)
    shown = shown_with(design, here)
    where = (here.board or None, here.arrangement or None)
    data = apart(has_many_parts(design), view_file, shown, *where, of, fmt, paper)
    kind = "image/svg+xml" if fmt == "svg" else "application/pdf"
    return _download(data, kind, f"{file_name(design.title, here.arrangement, *of.split(':', 1))}.{fmt}")


@router.get("/designs/{design_id}/design.json")
def design_file(design_id: str, shop: Shop) -> Response:
    """The design itself, as a file to keep or pass on."""
    design = shop.written(design_id)
    return _download(dumps(design).encode("utf-8"), "application/json", f"{file_name(design.title)}.json")


def shown_with(design: Design, here: Here) -> Design:
    """The design shown in the unit of the screen."""
    return design.model_copy(update={"units": here.units}) if here.units else design


def file_name(*words: str) -> str:
    """A file name every system takes, from words."""
    text = unicodedata.normalize("NFKD", "-".join(word for word in words if word))
    plain = re.sub(r"[^a-z0-9]+", "-", text.encode("ascii", "ignore").decode().lower()).strip("-")
    return plain[:80].strip("-") or "design"


def _download(data: bytes, kind: str, name: str) -> Response:
    return Response(data, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'})
