"""Errors as pages: what is wrong and what to do, in the look of the product, never a traceback."""

from __future__ import annotations

from collections.abc import Mapping
from http import HTTPStatus
from typing import Final, cast

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from msgspec import Struct
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response

from app.errors import (
    BudgetError,
    CatalogueError,
    DamagedError,
    DocumentError,
    EditError,
    GeometryError,
    HolewiseError,
    LengthError,
    LimitError,
    ModelError,
    NotFoundError,
    PaperError,
    PhotoError,
    ProofError,
    SizeError,
    StoreError,
    WriterError,
)
from app.values import replace
from app.web.error_origin import places_of
from app.web.htmx import Htmx, into
from app.web.render import render

NOTED: Final = "holewise.told"
"""Key in the scope of a request: what is told of it, which :class:`app.web.log.Logged` writes down."""

_FAULT = (
    "Holewise made a mistake and stopped this step. Your design is safe: every change before it is saved. Go back and "
    "try again; what happened is written in the window Holewise was started from."
)

_STATUS: tuple[tuple[type[HolewiseError], int, str], ...] = (
    (NotFoundError, HTTPStatus.NOT_FOUND, "Not found"),
    (SizeError, HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "That file is too large"),
    (LimitError, HTTPStatus.UNPROCESSABLE_ENTITY, "That is more than a design can hold"),
    (DocumentError, HTTPStatus.UNPROCESSABLE_ENTITY, "That file cannot be read"),
    (DamagedError, HTTPStatus.UNPROCESSABLE_ENTITY, "That cannot be shown"),
    (BudgetError, HTTPStatus.SERVICE_UNAVAILABLE, "That took too long"),
    (StoreError, HTTPStatus.SERVICE_UNAVAILABLE, "The shelf cannot be reached"),
    (EditError, HTTPStatus.UNPROCESSABLE_ENTITY, "That cannot be done"),
    (LengthError, HTTPStatus.UNPROCESSABLE_ENTITY, "That is not a length"),
    (PaperError, HTTPStatus.UNPROCESSABLE_ENTITY, "That paper cannot carry it"),
    (PhotoError, HTTPStatus.UNPROCESSABLE_ENTITY, "Nothing can be measured by that photograph"),
    (ProofError, HTTPStatus.INTERNAL_SERVER_ERROR, "That file is withheld"),
    (WriterError, HTTPStatus.UNPROCESSABLE_ENTITY, "That cannot be drawn"),
    (GeometryError, HTTPStatus.UNPROCESSABLE_ENTITY, "That shape cannot exist"),
    (ModelError, HTTPStatus.UNPROCESSABLE_ENTITY, "That cannot be built"),
    (CatalogueError, HTTPStatus.UNPROCESSABLE_ENTITY, "That hardware cannot be used"),
    (HolewiseError, HTTPStatus.BAD_REQUEST, "That did not work"),
)


class ProblemPage(Struct, frozen=True):
    """What the error page shows.

    Args:
        title: a few words, the heading.
        explanation: what is wrong and what to do.
        status: HTTP status code.
        reference: number of the request in the log; empty where the log has no more to say.
        design: id of the design of which something that is stored cannot be shown; empty if it is not that.
    """

    title: str
    explanation: str
    status: int
    reference: str = ""
    design: str = ""


def problem_of(error: HolewiseError) -> ProblemPage:
    """The page for an error raised on purpose."""
    for kind, status, title in _STATUS:
        if isinstance(error, kind):
            return ProblemPage(title, str(error), int(status))
    raise AssertionError("the last row takes every HolewiseError")


def refusal(status: int, title: str, explanation: str) -> HTMLResponse:
    """The whole page for a request refused before it reached a route."""
    problem = ProblemPage(title, explanation, int(status))
    return HTMLResponse(render("shared/problem.html", problem), problem.status)


def withheld(request: Request, error: ProofError) -> str:
    """Have it written down that a file was withheld, which is a fault of ours; the number it has in the log."""
    noted = request.scope.get(NOTED, {})
    noted["withheld"] = places_of(error)
    return str(noted.get("number", ""))


def answer(problem: ProblemPage, htmx: Htmx) -> HTMLResponse:
    """The whole page, or for htmx a notice that leaves the page on screen as it is."""
    if htmx.is_htmx:
        return HTMLResponse(render("shared/problem.html", problem, "notice"), problem.status, into("#notice"))
    return HTMLResponse(render("shared/problem.html", problem), problem.status)


def fault(reference: str, htmx: Htmx) -> HTMLResponse:
    """The answer after an unforeseen error, with the number it has in the log."""
    return answer(replace(_http_problem(500), reference=reference), htmx)


def install(app: FastAPI) -> None:
    """Make every foreseen error of ``app`` a page; the unforeseen are :class:`app.web.log.Logged`'s."""

    def on_purpose(request: Request, error: Exception) -> Response:
        problem = problem_of(cast("HolewiseError", error))
        if isinstance(error, DamagedError):
            problem = replace(problem, design=request.path_params.get("design_id", ""))
        if isinstance(error, ProofError):
            problem = replace(problem, reference=withheld(request, error))
        return answer(problem, Htmx.of(request.headers))

    def http(request: Request, error: Exception) -> Response:
        return answer(_http_problem(cast("HTTPException", error).status_code), Htmx.of(request.headers))

    def query(request: Request, error: Exception) -> Response:
        first = cast("RequestValidationError", error).errors()[0]
        name = str(first["loc"][-1])
        said = f"“{name}” in the address cannot be used: {first['msg']}. Go back and choose it on the page."
        return answer(ProblemPage("That address is not complete", said, 422), Htmx.of(request.headers))

    app.add_exception_handler(HolewiseError, on_purpose)
    app.add_exception_handler(HTTPException, http)
    app.add_exception_handler(RequestValidationError, query)


_KNOWN: Mapping[int, tuple[str, str]] = {
    400: ("That could not be read", "Holewise does not recognise the form that was sent. Go back and try again."),
    404: ("Not found", "There is nothing at this address. The shelf lists your designs."),
    405: ("Not possible this way", "This address cannot be used that way. Go back and use the buttons on the page."),
    415: (
        "That could not be read",
        "A form is sent as UTF-8 text, and this one says it is not. Open the page in a browser and send it from there.",
    ),
    500: ("A fault in Holewise", _FAULT),
}


def _http_problem(status: int) -> ProblemPage:
    title, said = _KNOWN.get(status, ("That did not work", f"{HTTPStatus(status).phrase}. Go back and try again."))
    return ProblemPage(title, said, status)
