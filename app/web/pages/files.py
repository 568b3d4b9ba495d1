"""Files: pictures for the pages, and what is downloaded."""

from __future__ import annotations

from starlette.background import BackgroundTask
from starlette.responses import Response

from app.service.drawings.board_files import design_file, drawing_of, view_of
from app.service.drawings.file_names import file_name
from app.service.drawings.formats import JSON
from app.service.drawings.pictures import catalogue_parts_svg, own_part_svg, scenario_svg
from app.units import parse_length
from app.web.answers import ASK_AGAIN, TO_KEEP, download, handed_out, picture
from app.web.assets import FOREVER, code
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, View

router = Router()


@router.get("/designs/{design_id}/thumbnail.svg")
def thumbnail(design_id: str, workshop: OpenWorkshop, revision: str = "", state: str = "") -> Response:
    """A small true drawing of a design's deck, as it is or as it was at some moment.

    It is there to stay if the address names a moment, whose content never changes, and this state of the program.
    """
    drawn, made = workshop.shelf.picture(design_id, revision or workshop.shelf.past(design_id).design.head)
    keep = TO_KEEP if revision and state == code() else ASK_AGAIN
    task = BackgroundTask(workshop.shelf.keep, made)
    return picture(drawn, keep, task)


@router.get("/designs/{design_id}/stored.json")
def stored(design_id: str, workshop: OpenWorkshop) -> Response:
    """A design's document to the byte as it is stored, readable or not: for whoever can mend it."""
    row, data = workshop.shelf.stored(design_id)
    return download(data, file_name(JSON, row.title, "as stored"), JSON)


@router.get("/scenarios/{name}.svg")
def scenario_picture(name: str, state: str = "") -> Response:
    """A small true drawing of a scenario's deck; to keep if the address names this state of the program."""
    keep = FOREVER if state == code() else ASK_AGAIN
    return picture(scenario_svg(name), keep)


@router.get("/parts.svg")
def part_pictures(state: str = "") -> Response:
    """All hardware of the catalogue, seen from above; to keep if the address names this state of the program."""
    keep = FOREVER if state == code() else ASK_AGAIN
    return picture(catalogue_parts_svg(), keep)


@router.get("/designs/{design_id}/parts/{part_id}.svg")
def own_part_picture(design_id: str, part_id: str, workshop: OpenWorkshop) -> Response:
    """An item of hardware a design carries itself, seen from above."""
    return picture(own_part_svg(workshop.design(design_id)[1], part_id))


@router.get("/designs/{design_id}/drawing.{fmt}")
def drawing(workshop: OpenWorkshop, view: View, fmt: str, kerf: str = "") -> Response:
    """One true-size drawing for other programs, in mm, read back before it is handed out."""
    sight = workshop.look(view.design, view.where, view.units)
    wide = parse_length(kerf, view.unit(sight.design.units), what="The kerf") if kerf.strip() else 0.0
    return handed_out(drawing_of(sight, view.face, fmt, wide))


@router.get("/designs/{design_id}/view.{fmt}")
def view(workshop: OpenWorkshop, view: View, fmt: str, of: str = "board", paper: str = "") -> Response:
    """A drawing to read: the board, its underside or a section through a part, as it is or on a page of paper."""
    return handed_out(view_of(workshop.look(view.design, view.where, view.units), of, fmt, paper))


@router.get("/designs/{design_id}/design.json")
def design_json(design_id: str, workshop: OpenWorkshop) -> Response:
    """The design itself, as a file to keep or pass on."""
    return handed_out(design_file(workshop.written(design_id)))
