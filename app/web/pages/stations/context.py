"""The stations page: what each player's hands use, its parameters, and the arrangements side by side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from markupsafe import Markup
from msgspec import Struct, field

from app.service.screens.board.station_form import Alongside, StationForm, stations_seen
from app.service.sight import Sight
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import Option, ViewState


class StationBeside(Struct, frozen=True):
    """An arrangement beside the others.

    Args:
        name: what it is called.
        url: its stations.
        picture: of it.
        common, alone: the holes it has in common, and those it has not, in words.
        current: whether it is the one on screen.
        state, says: how it stands, as of an :class:`Option`.
    """

    name: str
    url: str
    picture: str
    common: str
    alone: str
    current: bool
    state: str
    says: str


class StationsPage(Struct, frozen=True):
    """The stations page.

    Args:
        view: the view; its selected parts are those of the station in hand.
        head: the head.
        arrangements, units, stations: switches.
        drawing: the board with the station's parts selected.
        form: of the station in hand; None if the arrangement has none.
        adding: what is said of the player to add; empty if there can be no more.
        beside: every arrangement of the board, if there are several.
        having: those other arrangements in which the station in hand follows a change.
        unit: of the fields.
        back_url: the board page.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    view: ViewState
    head: PageHead
    stations: tuple[Option, ...]
    drawing: Markup
    form: StationForm | None
    adding: str
    beside: tuple[StationBeside, ...]
    having: tuple[Option, ...]
    unit: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def stations_page(
    sight: Sight,
    view: ViewState,
    station: str,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> StationsPage:
    """The page with one station in hand; the first if ``station`` is empty or gone."""
    seen = stations_seen(sight, station)
    view = view.at(select=(), face="top", section=False).showing(sight.revision)
    head = head_of(sight, view, "/stations", query={"station": seen.held})
    stand = head.arrangements
    return StationsPage(
        view=view,
        head=head,
        stations=tuple(Option(n, view.url("/stations", station=s), s == seen.held) for s, n in seen.stations),
        drawing=Markup(seen.drawing),  # noqa: S704 - our own writer's SVG
        form=seen.form,
        adding=seen.adding,
        beside=_beside(seen.beside, view, sight.revision, stand),
        having=tuple(option for option, has in zip(stand, seen.having, strict=True) if has and not option.current),
        unit=sight.unit.value,
        back_url=view.url(),
        problems=problems or {},
        typed=typed or {},
    )


def _beside(
    found: Iterable[Alongside], view: ViewState, revision: str, stand: tuple[Option, ...]
) -> tuple[StationBeside, ...]:
    made = []
    for each, option in zip(found, stand, strict=True):
        there = view.at(arrangement=each.arrangement)
        made.append(
            StationBeside(
                name=each.name,
                url=there.url("/stations"),
                picture=there.url("/arrangement.svg", revision=revision),
                common=each.common,
                alone=each.alone,
                current=option.current,
                state=option.state,
                says=option.says,
            )
        )
    return tuple(made)
