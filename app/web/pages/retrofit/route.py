"""What a drilled board needs: the page, and its files. Nothing of it is stored: all of it is in the address."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from fastapi import Depends, Query
from starlette.responses import HTMLResponse, Response

from app.errors import DocumentError, EditError, HolewiseError
from app.service import RetrofitAsked, Workshop
from app.service.drawings.retrofit_files import RETROFIT_ENDINGS, retrofit_file
from app.service.screens.plans.compare_choice import NOW, comparable_design, usual_before
from app.service.screens.plans.retrofit_seen import retrofit_seen
from app.web.answers import handed_out
from app.web.pages.retrofit.asked import RetrofitWays, ways_of
from app.web.pages.retrofit.context import retrofit_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, View
from app.web.shared.view_state import ViewState
from app.web.shared.words import utc_now

router = Router()


async def asked_ways(
    older: Annotated[str, Query(alias="from")] = "",
    was: str = "",
    do: str = "",
    hole: str = "",
    way: str = "",
) -> RetrofitWays:
    """What the address says of the older state, and of what was chosen for single holes."""
    return ways_of(older, was, do, hole, way)


Ways = Annotated[RetrofitWays, Depends(asked_ways)]


@router.get("/designs/{design_id}/retrofit")
def retrofit(workshop: OpenWorkshop, view: View, ways: Ways) -> HTMLResponse:
    """From an older state, another arrangement, or what was marked as drilled, to the board on screen."""
    sight = workshop.look(view.design, view.where, view.units)
    ways = ways.begun(usual_before(workshop, view.design) if not sight.checked.resolved.as_built else NOW)
    seen, problem = None, ""
    try:
        seen = retrofit_seen(_asked(workshop, view, ways), sight.unit.value)
    except (HolewiseError, DocumentError) as error:
        problem = str(error)
    shown = retrofit_page(workshop, sight, view, ways, seen, utc_now(), problem)
    return HTMLResponse(render("retrofit/page.html", shown), 422 if problem else 200)


def _asked(workshop: Workshop, view: ViewState, ways: RetrofitWays) -> RetrofitAsked:
    """The two designs and what was chosen.

    Raises:
        HolewiseError: there is none of it, or the address is none of this page.
    """
    newer = workshop.design(view.design)[1]
    older = newer if ways.older == NOW else comparable_design(workshop, view.design, ways.older)
    return RetrofitAsked(older, newer, view.board or None, ways.was or None, view.arrangement or None, ways.chosen)


def _file_route(ending: str) -> Callable[..., Response]:
    """Hands out what has to be done as a file."""

    def made(workshop: OpenWorkshop, view: View, ways: Ways, paper: str = "") -> Response:
        if not ways.older:
            raise EditError("Choose what the board was drilled to first.", "from")
        sight = workshop.look(view.design, view.where, view.units)
        found = retrofit_file(
            _asked(workshop, view, ways), ending, sight.unit.value, paper, sight.checked.resolved.revision
        )
        return handed_out(found)

    return made


for _ending in RETROFIT_ENDINGS:
    router.get(f"/designs/{{design_id}}/retrofit{_ending}", name=f"retrofit as {_ending}")(_file_route(_ending))
