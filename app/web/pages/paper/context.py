"""The paper page: the sheets over the board and one by one, how they are printed, and what to download."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup
from msgspec import Struct

from app.service.drawings.printers import PrintRequest
from app.service.drawings.sheet_files import ALL_TEMPLATES
from app.service.screens.paper_seen import PaperSeen, paper_seen
from app.service.screens.tally import Tally, tally_of
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.values import replace
from app.web.pages.paper.files import Files, files_of
from app.web.shared.switches import switches_of
from app.web.shared.view_state import BoardStrip, Option, ViewState


class ShownSheet(Struct, frozen=True):
    """One page of the template: its number, what it is, its picture, and where to see it large."""

    words: str
    picture: str
    turned: bool


class PaperPage(Struct, frozen=True):
    """The paper page.

    Args:
        view: the view.
        title: of the design.
        boards: the strip of boards.
        arrangements, faces, units: switches.
        which: this board, or all boards; empty of a design with one.
        of: the kind of sheets, where they are not the template of this board.
        seen: the sheets on the paper asked for, and what can be asked for.
        asked: how it is to be printed, as typed.
        drawing: the sheets over the board, inline SVG; empty if the paper cannot carry them.
        leaves: the pages one by one.
        tally: stops and cautions of the board.
        files: downloads.
        printer_url: the check sheet and the doctor.
        plain_url: this page without a correction; empty if none is in force.
        back_url: the board page.
    """

    view: ViewState
    title: str
    boards: BoardStrip
    arrangements: tuple[Option, ...]
    faces: tuple[Option, ...]
    units: tuple[Option, ...]
    which: tuple[Option, ...]
    of: str
    seen: PaperSeen
    asked: PrintRequest
    drawing: Markup
    leaves: tuple[ShownSheet, ...]
    tally: Tally
    files: Files
    printer_url: str
    plain_url: str
    back_url: str


def paper_page(workshop: Workshop, sight: Sight, view: ViewState, asked: PrintRequest, of: str = "") -> PaperPage:
    """The page for a view of a design, printed as asked; on the shop's paper if that is empty.

    ``of`` all boards, where the design has several; of anything else it is the template of the board in view.
    """
    view = view.at(section=False)
    many = len(sight.design.boards) > 1
    of = of if of == ALL_TEMPLATES and many else ""
    asked = replace(asked, only="") if of else asked
    seen = paper_seen(workshop, sight, view.face, view.select, asked, all_boards=bool(of))
    sheets, query = seen.all_boards or seen.sheets, query_of(asked, seen.paper)
    switches, bare = switches_of(sight, view, "/paper", **query, of=of), view.at(select=())
    return PaperPage(
        view=view,
        title=sight.title,
        boards=switches["boards"],
        arrangements=switches["arrangements"],
        faces=switches["faces"],
        units=switches["units"],
        which=_which(view, query, of) if many else (),
        of=of,
        seen=seen,
        asked=asked,
        drawing=Markup(seen.sheets.drawing if seen.sheets else ""),  # noqa: S704 - our own writer's SVG
        leaves=_leaves(seen, bare, query, of),
        tally=tally_of(sight.checked),
        files=files_of(bare, query, seen.paper, of),
        printer_url=bare.url("/printer", paper=seen.paper, printer=asked.printer),
        plain_url=view.url("/paper", **{**query, "printer": ""}, of=of) if sheets and sheets.corrected else "",
        back_url=view.url(),
    )


def query_of(asked: PrintRequest, paper: str = "") -> dict[str, str]:
    """What is asked, for an address."""
    return {
        "paper": asked.paper or paper,
        "printer": asked.printer,
        "margin": asked.margin,
        "overlap": asked.overlap,
        "only": asked.only,
    }


def _which(view: ViewState, query: Mapping[str, str], of: str) -> tuple[Option, ...]:
    """Whether this board is printed, or all of them."""
    return (
        Option("This board", view.url("/paper", **query), not of),
        Option("All boards", view.url("/paper", **{**query, "only": ""}, of=ALL_TEMPLATES), bool(of)),
    )


def _leaves(seen: PaperSeen, view: ViewState, query: Mapping[str, str], of: str) -> tuple[ShownSheet, ...]:
    """The pages as pictures, in which what was refused is as usual."""
    plain = {name: value for name, value in query.items() if name not in seen.problems}
    sheets = seen.all_boards or seen.sheets
    return tuple(
        ShownSheet(
            f"Page {number} · {leaf.words}", view.url("/sheet.svg", leaf=str(number), **plain, of=of), leaf.lying
        )
        for number, leaf in enumerate(sheets.leaves if sheets else (), 1)
    )
