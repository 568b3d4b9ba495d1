"""The pages of makers: the cards to choose from, and a maker with its measures."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlencode

from markupsafe import Markup
from msgspec import Struct

from app.service.screens.make_fields import FIELDS, MEASURE
from app.service.screens.make_seen import MakeSeen, make_seen, maker_cards, maker_seen
from app.service.sight import Sight
from app.values import replace
from app.web.assets import code
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState


class MakersPage(Struct, frozen=True):
    """The cards of makers.

    Args:
        title: of the design.
        cards: name, sentence, address and picture of each.
        back_url: the board page.
        boards_url: the page of all boards.
    """

    title: str
    cards: tuple[tuple[Option, str], ...]
    back_url: str
    boards_url: str


class MakePage(Struct, frozen=True):
    """A maker with its measures.

    Args:
        view: the view.
        title: of the design.
        heading: what is made or changed.
        units: the switch.
        seen: what the page says.
        drawing: what comes of the measures, inline SVG.
        path: of the page, to which its forms are sent.
        made: whether it is there already, and is changed.
        unit: unit of fields.
        problems: sentence by field that could not be taken.
        back_url: the board page.
        others_url: the cards of all makers.
    """

    view: ViewState
    title: str
    heading: str
    units: tuple[Option, ...]
    seen: MakeSeen
    drawing: Markup
    path: str
    made: bool
    unit: str
    problems: Mapping[str, str]
    back_url: str
    others_url: str


def makers_page(sight: Sight, view: ViewState) -> MakersPage:
    """The cards for a design."""
    view = view.at(select=(), section=False, face="top")
    return MakersPage(
        title=sight.title,
        cards=tuple(
            (
                Option(
                    card.title,
                    view.url(f"/make/{card.name}"),
                    picture=f"/designs/{view.design}/make/{card.name}.svg?state={code()}",
                ),
                card.sentence,
            )
            for card in maker_cards()
        ),
        back_url=view.url(),
        boards_url=view.url("/boards"),
    )


def make_page(
    sight: Sight, view: ViewState, maker: str, typed: Mapping[str, str], problems: Mapping[str, str] | None = None
) -> MakePage:
    """The page of a maker that is chosen; ``typed`` is the text of its fields, and ``on`` the board it is put on."""
    seen = make_seen(sight, maker, typed, view.where)
    return _page(sight, view, seen, f"/make/{maker}", typed, problems, heading=seen.title)


def made_page(
    sight: Sight, view: ViewState, maker_id: str, typed: Mapping[str, str], problems: Mapping[str, str] | None = None
) -> MakePage:
    """The page of a maker that is there."""
    seen = maker_seen(sight, view.where, maker_id, typed)
    own = not seen.place and seen.on.startswith(seen.title)
    heading = seen.on if own else f"{seen.title} on “{seen.on}”"
    return _page(sight, view, seen, f"/made/{maker_id}", typed, problems, heading=heading, made=True)


def _page(
    sight: Sight,
    view: ViewState,
    seen: MakeSeen,
    path: str,
    typed: Mapping[str, str],
    problems: Mapping[str, str] | None,
    *,
    heading: str,
    made: bool = False,
) -> MakePage:
    view = view.at(select=(), section=False, face="top").showing(sight.revision)
    return MakePage(
        view=view,
        title=sight.title,
        heading=heading,
        units=tuple(_carrying(way, typed, sight.unit.value) for way in switches_of(sight, view, path)["units"]),
        seen=seen,
        drawing=Markup(seen.drawing),  # noqa: S704 - our own writer's SVG
        path=f"/designs/{view.design}{path}",
        made=made,
        unit=sight.unit.value,
        problems={**(problems or {}), **seen.problems},  # as they are said in the unit shown
        back_url=view.url(),
        others_url=view.url("/make"),
    )


def _carrying(way: Option, typed: Mapping[str, str], unit: str) -> Option:
    """The same way of the switch, with what was typed and the unit it was typed in: nothing is lost by it."""
    own = {name: text for name, text in typed.items() if name.startswith(MEASURE) or name in FIELDS}
    if not own:
        return way
    return replace(way, url=f"{way.url}{'&' if '?' in way.url else '?'}{urlencode({**own, 'unit': unit})}")
