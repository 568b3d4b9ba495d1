"""The first page: the shelf. It is light to import, as it is waited for with the start of the program."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import Depends, Request
from starlette.background import BackgroundTask
from starlette.responses import Response

from app.service.shelf.documents import scenarios
from app.service.shelf.shelves import Shelves
from app.web.htmx import BROWSER, Htmx, htmx_of
from app.web.pages.shelf.context import Renaming, shelf_page
from app.web.pages.shelf.search import wanted_in
from app.web.render import page
from app.web.router import Router
from app.web.shared.words import utc_now

router = Router()


async def shelves_of(request: Request) -> Shelves:
    """The shelf the application was made with."""
    found = request.app.state.shelves
    if not isinstance(found, Shelves):
        raise TypeError("the application has no shelf")
    return found


@router.get("/")
def shelf(
    shelves: Annotated[Shelves, Depends(shelves_of)], request: Request, htmx: Annotated[Htmx, Depends(htmx_of)]
) -> Response:
    """The start page, or its list for htmx."""
    return shelf_answer(shelves, dict(request.query_params), htmx=htmx)


def shelf_answer(
    shelves: Shelves,
    asked: Mapping[str, str] | None = None,
    *,
    htmx: Htmx = BROWSER,
    values: Mapping[str, str] | None = None,
    problems: Mapping[str, str] | None = None,
    file_problem: str = "",
    renaming: Renaming | None = None,
) -> Response:
    """The page of the shelf, or its list, with what was typed into a form that could not be taken."""
    wanted = wanted_in(asked or {})
    found = shelves.look(wanted)
    shown = shelf_page(
        found,
        wanted,
        scenarios(),
        utc_now(),
        values=values,
        problems=problems,
        file_problem=file_problem,
        renaming=renaming,
    )
    wrong = problems or file_problem or renaming
    answer = page("shelf/page.html", shown, htmx, block="found", status=422 if wrong else 200)
    # Nobody waits for what was made to be kept.
    answer.background = BackgroundTask(shelves.keep, found.made)
    return answer
