"""The arrangements of a board with how each stands, asked for once the page is there."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.service.checks.states import States
from app.service.sight import Sight
from app.values import replace
from app.web.pages.boards.context import BoardRows, board_rows
from app.web.shared.switches import switches_of
from app.web.shared.view_state import BoardStrip, Option, ViewState

PAGES: Final = (
    "", "/bench", "/board", "/judged", "/marking", "/paper", "/report", "/room", "/shop", "/stations", "/timeline",
)  # fmt: skip
"""Pages that ask for it."""


class StatesBlock(Struct, frozen=True):
    """What takes the place of the switch, or of the strip of boards, on the page.

    Args:
        arrangements: ways of the switch, each with how it stands.
        strip: the strip of boards, likewise; None where the switch is asked for.
        rows: the rows of the page of all boards, likewise; None anywhere else.
    """

    arrangements: tuple[Option, ...]
    strip: BoardStrip | None
    rows: BoardRows | None = None


def states_block(
    sight: Sight, view: ViewState, page: str, station: str, states: States, *, strip: bool = False
) -> StatesBlock:
    """The switch or the strip of a page; of the board page if there is none of that name."""
    if page == "/boards":
        return StatesBlock((), None, board_rows(replace(sight, states=states), view))
    page = page if page in PAGES else ""
    more = {"station": station} if station and page else {}
    ways = switches_of(replace(sight, states=states), view, page, **more)
    return StatesBlock(ways["arrangements"], replace(ways["boards"], ask="") if strip else None)
