"""The paper page: the sheets over the board, and what to download."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from app.catalogue.load import catalogue, paper_by_text
from app.drafting.words import length
from app.errors import PaperError
from app.model.part import Face
from app.paper.ruled import RuledLine
from app.paper.tiling import Tiling
from app.service.sheet_map import SheetMap, sheet_map
from app.service.workshop import Sight
from app.units import Unit
from app.web.contexts.here import Choice, Here, Option
from app.web.contexts.report import Tally, tally_of
from app.web.contexts.switches import switches_of
from app.web.contexts.words import counted, listed


@dataclass(frozen=True, slots=True)
class PaperPage:
    """The paper page.

    Args:
        here: the view.
        title: of the design.
        arrangements, faces, units: switches.
        papers: to choose from.
        drawing: the sheets over the board, inline SVG; empty if the paper cannot carry them.
        problem: why the paper cannot carry them; empty if it can.
        sheets: how many, in words.
        seams: what the seams run into, in words.
        ruled: lines to rule on the board first, in words.
        code: check code on every sheet.
        tally: stops and cautions of the board.
        template_url, other_url: templates of this face and of the other.
        svg_url, dxf_url, json_url: further downloads.
        views: the board from either face, to read, as SVG and PDF.
        cuts: parts a section can be drawn through.
        back_url: the board page.
    """

    here: Here
    title: str
    arrangements: tuple[Option, ...]
    faces: tuple[Option, ...]
    units: tuple[Option, ...]
    papers: tuple[Choice, ...]
    drawing: Markup
    problem: str
    sheets: str
    seams: str
    ruled: tuple[str, ...]
    code: str
    tally: Tally
    template_url: str
    other_url: str
    svg_url: str
    dxf_url: str
    json_url: str
    views: tuple[Option, ...]
    cuts: tuple[Choice, ...]
    back_url: str


def paper_page(sight: Sight, here: Here, paper: str) -> PaperPage:
    """The page for a view of a design on ``paper``; the shop's if empty."""
    here = here.at(section=False)
    board = sight.checked.resolved
    wanted = paper or sight.design.shop.paper
    found: SheetMap | None = None
    problem = ""
    try:
        found = sheet_map(board, here.face, paper_by_text(wanted))
    except PaperError as error:
        problem = str(error)
    switches = switches_of(sight.design, here, board, "/paper", paper=paper)
    return PaperPage(
        here=here,
        title=sight.design.title,
        arrangements=switches["arrangements"],
        faces=switches["faces"],
        units=switches["units"],
        papers=_papers(wanted),
        drawing=Markup(found.drawing if found else ""),  # noqa: S704 - our own writer's SVG
        problem=problem,
        sheets=_sheets(found.plan.tiling) if found else "",
        seams=_seams(found.plan.tiling, bare=not any(p.holes for p in board.drilled)) if found else "",
        ruled=_ruled(found.plan.ruled, Unit(board.units)) if found else (),
        code=found.plan.code if found else "",
        tally=tally_of(sight.checked),
        template_url=here.at(select=()).url("/template.pdf", paper=wanted),
        other_url=here.at(select=(), face=_other(here.face)).url("/template.pdf", paper=wanted),
        svg_url=here.at(select=()).url("/drawing.svg"),
        dxf_url=here.at(select=()).url("/drawing.dxf"),
        json_url=f"/designs/{here.design}/design.json",
        views=tuple(
            Option(f"{words}, {fmt.upper()}", here.at(select=()).url(f"/view.{fmt}", of=of, paper=wanted))
            for of, words in (("board", "Board"), ("underside", "Underside"))
            for fmt in ("svg", "pdf")
        ),
        cuts=tuple(
            Choice(f"section:{p.id}", f"{p.label or '–'} · {p.part.name}", p.id in here.select[:1])
            for p in board.placements
        ),
        back_url=here.url(),
    )


def _other(face: Face) -> Face:
    return "top" if face == "under" else "under"


def _papers(wanted: str) -> tuple[Choice, ...]:
    known = [Choice(p.id, p.name, p.id == wanted) for p in catalogue().papers.values()]
    if any(choice.chosen for choice in known):
        return tuple(known)
    return (*known, Choice(wanted, wanted, chosen=True))


def _sheets(tiling: Tiling) -> str:
    grid = f", {counted(tiling.rows, 'row')} of {tiling.columns}" if len(tiling.tiles) > 1 else ""
    lies = "lying" if tiling.orientation == "landscape" else "upright"
    return f"{counted(len(tiling.tiles), 'sheet')} of {tiling.layout.paper.name}, {lies}{grid}"


def _seams(tiling: Tiling, *, bare: bool) -> str:
    cost = tiling.cost
    if len(tiling.tiles) == 1:
        return "No seam."
    if bare:
        return "No hole to drill yet, so the seams are where the sheets are fewest."
    if cost.through:
        return f"A seam runs through {counted(cost.through, 'hole centre')}: measure those from the datum edges."
    if cost.near:
        return f"No seam through a hole centre; {counted(cost.near, 'centre')} within 10 mm of one."
    if cost.cut:
        return f"No seam near a hole centre; {counted(cost.cut, 'hole')} cut by one, which does no harm."
    return "No seam touches a hole."


def _ruled(lines: Sequence[RuledLine], unit: Unit) -> tuple[str, ...]:
    upright = [length(r.distance, unit) + (" (the centre line)" if r.centre else "") for r in lines if r.axis == "x"]
    along = [length(r.distance, unit) for r in lines if r.axis == "y"]
    return (f"From the left edge: {listed(upright)}", f"From the front edge: {listed(along)}")
