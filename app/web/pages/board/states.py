"""The arrangements of a board with how each stands, asked for once the page is there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from app.service.checks.states import States
from app.service.sight import Sight
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState

PAGES: Final = ("", "/stations")
"""Pages that ask for it."""


@dataclass(frozen=True, slots=True)
class StatesBlock:
    """The switch that takes the place of the one on the page.

    Args:
        arrangements: its ways, each with how it stands.
    """

    arrangements: tuple[Option, ...]


def states_block(sight: Sight, view: ViewState, page: str, station: str, states: States) -> StatesBlock:
    """The switch of a page; the board page if there is none of that name."""
    page = page if page in PAGES else ""
    more = {"station": station} if station and page else {}
    ways = switches_of(replace(sight, states=states), view, page, **more)
    return StatesBlock(ways["arrangements"])
