"""The paper page: the sheets over the board and one by one, how they are printed, and what to download."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from app.catalogue.load import catalogue
from app.drafting.template.template_bits import template_bits
from app.errors import PaperError
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheet.title_strip import special
from app.service.drawings.printers import PrintRequest, printing_asked, profiles_for
from app.service.drawings.sheet_map import SheetMap, sheet_map
from app.service.screens.choices import Choice
from app.service.screens.tally import Tally, tally_of
from app.service.screens.words import bit_words
from app.service.sight import Sight
from app.store import Profiles
from app.units import Unit, format_exact
from app.web.pages.paper.files import Files, files_of
from app.web.pages.paper.words import ruled_words, seam_words, sheets_words
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState


@dataclass(frozen=True, slots=True)
class ShownSheet:
    """One page of the template: its number, what it is, its picture, and where to see it large."""

    words: str
    picture: str
    turned: bool


@dataclass(frozen=True, slots=True)
class PaperPage:
    """The paper page.

    Args:
        here: the view.
        title: of the design.
        arrangements, faces, units: switches.
        papers: to choose from.
        printers: corrections that are kept for the paper.
        bits: bits a template can be drawn for alone.
        asked: how it is to be printed, as typed.
        drawing: the sheets over the board, inline SVG; empty if the paper cannot carry them.
        problem: why the paper cannot carry them; empty if it can.
        problems: sentence by field that could not be taken.
        in_force: what sets these sheets apart from the usual ones, in words.
        sheets: how many, in words.
        seams: what the seams run into, in words.
        ruled: lines to rule on the board first, in words.
        code: check code on every sheet.
        leaves: the pages one by one.
        tally: stops and cautions of the board.
        files: downloads.
        cuts: parts a section can be drawn through.
        printer_url: the check sheet and the doctor.
        plain_url: this page without a correction; empty if none is in force.
        back_url: the board page.
    """

    here: ViewState
    title: str
    arrangements: tuple[Option, ...]
    faces: tuple[Option, ...]
    units: tuple[Option, ...]
    papers: tuple[Choice, ...]
    printers: tuple[Choice, ...]
    bits: tuple[Choice, ...]
    asked: PrintRequest
    drawing: Markup
    problem: str
    in_force: tuple[str, ...]
    sheets: str
    seams: str
    ruled: tuple[str, ...]
    code: str
    leaves: tuple[ShownSheet, ...]
    tally: Tally
    files: Files
    cuts: tuple[Choice, ...]
    printer_url: str
    plain_url: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)


def paper_page(sight: Sight, here: ViewState, asked: PrintRequest, kept: Profiles) -> PaperPage:
    """The page for a view of a design, printed as asked; on the shop's paper if that is empty."""
    here = here.at(section=False)
    board, unit = sight.checked.resolved, Unit(sight.checked.resolved.units)
    found, problem, problems = _laid_out(sight, here, asked, kept)
    wanted = asked.paper or sight.design.shop.paper
    query = query_of(asked, wanted)
    bits = template_bits(board, here.face)
    switches = switches_of(sight, here, "/paper", **query)
    return PaperPage(
        here=here,
        title=sight.design.title,
        arrangements=switches["arrangements"],
        faces=switches["faces"],
        units=switches["units"],
        papers=_papers(wanted),
        printers=_printers(kept, found.plan.printing if found else None, asked.printer),
        bits=(Choice("", "everything", not asked.only), *(
            Choice(_size(b.diameter), bit_words(b), _size(b.diameter) == asked.only) for b in bits
        )),
        asked=asked,
        drawing=Markup(found.drawing if found else ""),  # noqa: S704 - our own writer's SVG
        problem=problem,
        problems=problems,
        in_force=special(found.plan.printing, found.plan.only) if found else (),
        sheets=sheets_words(found.plan.tiling) if found else "",
        seams=seam_words(found.plan.tiling, bare=not any(p.holes for p in board.drilled)) if found else "",
        ruled=ruled_words(found.plan.ruled, unit, turned=here.face == "under") if found else (),
        code=found.plan.code if found else "",
        # What was refused is as usual in the pictures.
        leaves=_leaves(found, here, {k: v for k, v in query.items() if k not in problems}) if found else (),
        tally=tally_of(sight.checked),
        files=files_of(here.at(select=()), query, wanted),
        cuts=_cuts(board, here),
        printer_url=here.at(select=()).url("/printer", paper=wanted, printer=asked.printer),
        plain_url=here.url("/paper", **{**query, "printer": ""}) if _corrected(found) else "",
        back_url=here.url(),
    )  # fmt: skip


def query_of(asked: PrintRequest, paper: str = "") -> dict[str, str]:
    """What is asked, for an address."""
    return {
        "paper": asked.paper or paper,
        "printer": asked.printer,
        "margin": asked.margin,
        "overlap": asked.overlap,
        "only": asked.only,
    }


def _laid_out(
    sight: Sight, here: ViewState, asked: PrintRequest, kept: Profiles
) -> tuple[SheetMap | None, str, dict[str, str]]:
    board = sight.checked.resolved
    try:
        printing, problems = printing_asked(asked, sight.checked, kept, Unit(board.units))
        found, wrong = sheet_map(sight.design, sight.checked, here.face, printing, asked.only)
    except PaperError as error:
        return None, str(error), {}
    return found, "", problems | ({"only": wrong} if wrong else {})


def _corrected(found: SheetMap | None) -> bool:
    return found is not None and not found.plan.printing.correction.none


def _leaves(found: SheetMap, here: ViewState, query: Mapping[str, str]) -> tuple[ShownSheet, ...]:
    view = here.at(select=())
    return tuple(
        ShownSheet(f"Page {number} · {leaf.words}", view.url("/sheet.svg", leaf=str(number), **query), leaf.lying)
        for number, leaf in enumerate(found.leaves, 1)
    )


def _cuts(board: ResolvedBoard, here: ViewState) -> tuple[Choice, ...]:
    return tuple(
        Choice(f"section:{p.id}", f"{p.label or '–'} · {p.part.name}", p.id in here.select[:1])
        for p in board.placements
    )


def _papers(wanted: str) -> tuple[Choice, ...]:
    known = [Choice(p.id, p.name, p.id == wanted) for p in catalogue().papers.values()]
    if any(choice.chosen for choice in known):
        return tuple(known)
    return (*known, Choice(wanted, wanted, chosen=True))


def _printers(kept: Profiles, printing: Printing | None, chosen: str) -> tuple[Choice, ...]:
    own = profiles_for(kept, printing.paper.id) if printing else ()
    plain = Choice("", "no printer correction", not any(p.printer == chosen for p in own))
    return (plain, *(Choice(p.printer, p.printer, p.printer == chosen) for p in own))


def _size(diameter: float) -> str:
    return format_exact(round(diameter, 3))
