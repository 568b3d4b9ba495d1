"""The switches at the head of a page: board, arrangement, face, units."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from app.service.screens.places import Place, places_of
from app.service.sight import Sight
from app.units import Unit
from app.web.assets import code
from app.web.shared.view_state import BoardStrip, Option, ViewState


class Switches(TypedDict):
    """Boards, arrangements, faces and units; one with a single way is empty."""

    boards: BoardStrip
    arrangements: tuple[Option, ...]
    faces: tuple[Option, ...]
    units: tuple[Option, ...]


def switches_of(sight: Sight, view: ViewState, page: str = "", **more: str) -> Switches:
    """The switches of a page of a design; ``more`` is what its address says besides."""
    places, plain = places_of(sight), view.at(select=())

    def ways(found: Iterable[Place]) -> tuple[Option, ...]:
        made = []
        for place in found:
            there = view.at(arrangement=place.id)
            made.append(Option(place.name, there.url(page, **more), place.current, place.state, place.says))
        return tuple(made) if len(made) > 1 else ()

    return {
        "boards": BoardStrip(
            tuple(board_option(place, plain, page, **more) for place in places.boards),
            plain.url("/boards"),
            plain.url("/states", on=page, strip="1"),
        ),
        "arrangements": ways(places.arrangements),
        "faces": _faces(view, page, **more),
        "units": tuple(Option(u.value, view.at(units=u.value).url(page, **more), u is sight.unit) for u in Unit),
    }


def board_option(place: Place, view: ViewState, page: str = "", **more: str) -> Option:
    """The way to a board, on a page, with its picture."""
    there = view.at(board=place.id, arrangement="")
    picture = f"/designs/{view.design}/boards/{place.id}.svg?mark={place.mark}&state={code()}"
    return Option(place.name, there.url(page, **more), place.current, place.state, place.says, place.size, picture)


def others_of(sight: Sight, view: ViewState) -> tuple[Option, ...]:
    """The arrangements of the board in view that are not on screen, each with how it stands."""
    return tuple(one for one in switches_of(sight, view)["arrangements"] if not one.current)


def _faces(view: ViewState, page: str, **more: str) -> tuple[Option, ...]:
    """The faces; on the board page also the section, which is a picture and has no template."""
    top, under = view.at(face="top", section=False), view.at(face="under", section=False)
    faces = (
        Option("Top", top.url(page, **more), view.face == "top" and not view.section),
        Option("Underside", under.url(page, **more), view.face == "under" and not view.section),
    )
    return faces if page else (*faces, Option("Section", view.at(face="top", section=True).url(), view.section))
