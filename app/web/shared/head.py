"""The head of a page of a design: what it is of, how the board stands, and the switches."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct

from app.service.screens.tally import Tally, tally_of
from app.service.sight import Sight
from app.web.shared.switches import switches_of
from app.web.shared.view_state import BoardStrip, Option, ViewState

NONE: Mapping[str, str] = MappingProxyType({})


class PageHead(Struct, frozen=True):
    """The head.

    Args:
        title: of the design.
        boards: the strip of boards.
        arrangements, units: switches; one with a single way is empty.
        undo, redo: names of the steps; empty if there is none.
        tally: stops and cautions of the board in view; None where the page has nothing to do with them.
    """

    title: str
    boards: BoardStrip
    arrangements: tuple[Option, ...]
    units: tuple[Option, ...]
    undo: str
    redo: str
    tally: Tally | None


def head_of(
    sight: Sight,
    view: ViewState,
    page: str,
    query: Mapping[str, str] = NONE,
    *,
    tally: bool = True,
    every: bool = False,
) -> PageHead:
    """The head of a page.

    Args:
        sight: the design, its board and its arrangement.
        view: the view its switches lead on from.
        page: path of the page below the design's, with its slash.
        query: what its address says besides the view.
        tally: whether it says how the board stands.
        every: whether the page is of all arrangements, so that there is none to choose.
    """
    switches, (undo, redo) = switches_of(sight, view, page, **query), sight.steps
    return PageHead(
        title=sight.title,
        boards=switches["boards"],
        arrangements=() if every else switches["arrangements"],
        units=switches["units"],
        undo=undo,
        redo=redo,
        tally=tally_of(sight.checked) if tally else None,
    )
