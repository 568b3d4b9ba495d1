"""The switches at the head of a page: board, arrangement, face, units."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from app.service.screens.places import Place, places_of
from app.service.sight import Sight
from app.units import Unit
from app.web.shared.view_state import Option, ViewState


class Switches(TypedDict):
    """Boards, arrangements, faces and units; one with a single way is empty."""

    boards: tuple[Option, ...]
    arrangements: tuple[Option, ...]
    faces: tuple[Option, ...]
    units: tuple[Option, ...]


def switches_of(sight: Sight, here: ViewState, page: str = "", **more: str) -> Switches:
    """The switches of a page of a design; ``more`` is what its address says besides."""
    places, plain = places_of(sight), here.at(select=())

    def ways(found: Iterable[Place], of: str) -> tuple[Option, ...]:
        made = []
        for place in found:
            view = plain.at(board=place.id, arrangement="") if of == "board" else here.at(arrangement=place.id)
            made.append(Option(place.name, view.url(page, **more), place.current, place.state, place.says))
        return tuple(made) if len(made) > 1 else ()

    return {
        "boards": ways(places.boards, "board"),
        "arrangements": ways(places.arrangements, "arrangement"),
        "faces": _faces(here, page, **more),
        "units": tuple(Option(u.value, here.at(units=u.value).url(page, **more), u is sight.unit) for u in Unit),
    }


def others_of(sight: Sight, here: ViewState) -> tuple[Option, ...]:
    """The arrangements of the board in view that are not on screen, each with how it stands."""
    return tuple(one for one in switches_of(sight, here)["arrangements"] if not one.current)


def _faces(here: ViewState, page: str, **more: str) -> tuple[Option, ...]:
    """The faces; on the board page also the section, which is a picture and has no template."""
    top, under = here.at(face="top", section=False), here.at(face="under", section=False)
    faces = (
        Option("Top", top.url(page, **more), here.face == "top" and not here.section),
        Option("Underside", under.url(page, **more), here.face == "under" and not here.section),
    )
    return faces if page else (*faces, Option("Section", here.at(face="top", section=True).url(), here.section))
