"""The pages of the bench: cards of all lists, and one list as tables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from app.service.drawings.formats import LISTS, sheet_format
from app.service.drawings.printers import PrintRequest
from app.service.screens.list_seen import BenchCard, ListSeen, bench_cards, list_seen
from app.service.screens.tally import Tally, tally_of
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.web.shared.switches import switches_of
from app.web.shared.view_state import BoardStrip, Option, ViewState

_PAGES: Final = {"legends": "/legends"}
"""Pages of their own for lists that are set there, by the list's name."""


@dataclass(frozen=True, slots=True)
class BenchPage:
    """The cards.

    Args:
        title: of the design.
        boards: the strip of boards.
        arrangements, units: switches; one with a single way is empty.
        tally: stops and cautions as they are.
        cards: every list, and where it is.
        at_board_url: the drilling run one step at a time.
        paper_url: the template and its check sheet.
        outline_url: how the outline is marked out.
        back_url: the board page.
    """

    title: str
    boards: BoardStrip
    arrangements: tuple[Option, ...]
    units: tuple[Option, ...]
    tally: Tally
    cards: tuple[tuple[BenchCard, str], ...]
    at_board_url: str
    paper_url: str
    outline_url: str
    back_url: str


@dataclass(frozen=True, slots=True)
class ListPage:
    """A list.

    Args:
        view: the view.
        title: of the design.
        boards: the strip of boards.
        arrangements, units: switches; one with a single way is empty.
        tally: stops and cautions as they are.
        seen: what it says.
        path: of the page.
        files: the same as files; none where something could not be taken.
        at_board_url: the drilling run one step at a time; empty of other lists.
        back_url: the page of the bench.
    """

    view: ViewState
    title: str
    boards: BoardStrip
    arrangements: tuple[Option, ...]
    units: tuple[Option, ...]
    tally: Tally
    seen: ListSeen
    path: str
    files: tuple[Option, ...]
    at_board_url: str
    back_url: str


def bench_page(sight: Sight, view: ViewState) -> BenchPage:
    """The cards of the board in view."""
    view = view.at(select=(), section=False, face="top")
    ways = switches_of(sight, view, "/bench")
    return BenchPage(
        title=sight.title,
        boards=ways["boards"],
        arrangements=ways["arrangements"],
        units=ways["units"],
        tally=tally_of(sight.checked),
        at_board_url=view.url("/at-board"),
        cards=tuple((card, view.url(_PAGES.get(card.kind, f"/bench/{card.kind}"))) for card in bench_cards(sight)),
        paper_url=view.url("/paper"),
        outline_url=view.url("/marking"),
        back_url=view.url(),
    )


def list_page(workshop: Workshop, sight: Sight, view: ViewState, kind: str, asked: PrintRequest) -> ListPage:
    """A list of the board in view."""
    view = view.at(select=(), section=False, face="top")
    seen = list_seen(workshop, sight, kind, asked)
    ways = switches_of(sight, view, f"/bench/{kind}", reading=asked.reading)
    forms = (sheet_format()[0], *LISTS)
    query = {"reading": asked.reading, "paper": asked.paper}
    return ListPage(
        view=view,
        title=sight.title,
        boards=ways["boards"],
        arrangements=ways["arrangements"],
        units=ways["units"],
        tally=tally_of(sight.checked),
        seen=seen,
        path=f"/designs/{view.design}/bench/{kind}",
        files=() if seen.problems else tuple(Option(f.words, view.url(f"/{kind}{f.ending}", **query)) for f in forms),
        at_board_url=view.url("/at-board") if kind == "drilling" else "",
        back_url=view.url("/bench"),
    )
