"""The page of marking out an outline: what to measure, tables of offsets, and the sheets to print."""

from __future__ import annotations

from markupsafe import Markup
from msgspec import Struct

from app.service.drawings.formats import LISTS, sheet_format
from app.service.drawings.printers import PrintRequest
from app.service.drawings.sheet_files import OUTLINE_MARKING
from app.service.screens.bench.marking_seen import MarkingSeen, marking_seen
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import Option, ViewState


class MarkingPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        head: the head.
        units: switches; one with a single way is empty.
        seen: what it says.
        drawing: the outline, inline SVG.
        file: address of the sheets; empty where something could not be taken.
        lists: the same as lists for other programs.
        shape_url: the page where the corners are set.
        back_url: the board page.
    """

    view: ViewState
    head: PageHead
    seen: MarkingSeen
    drawing: Markup
    file: str
    lists: tuple[Option, ...]
    shape_url: str
    back_url: str


def marking_page(workshop: Workshop, sight: Sight, view: ViewState, asked: PrintRequest) -> MarkingPage:
    """The page for the board in view, plotted as asked."""
    view = view.at(select=(), section=False, face="top")
    seen = marking_seen(workshop, sight, asked)
    query = {"paper": asked.paper, "printer": asked.printer, "spacing": asked.spacing, "reading": asked.reading}
    ending = sheet_format()[0].ending
    rows = [Option(form.words, view.url(f"/{OUTLINE_MARKING}{form.ending}", **query)) for form in LISTS]
    return MarkingPage(
        view=view,
        head=head_of(sight, view, "/marking", every=True),
        seen=seen,
        drawing=Markup(seen.drawing),  # noqa: S704 - our own writer's SVG
        file="" if seen.problems else view.url(f"/{OUTLINE_MARKING}{ending}", **query),
        lists=() if seen.problems else tuple(rows),
        shape_url=view.url("/board", group="corners"),
        back_url=view.url(),
    )
