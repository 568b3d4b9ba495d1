"""What the routes share: the workshop, the view in an address, the form."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request
from starlette.responses import RedirectResponse

from app.service.workshop import Workshop
from app.web.contexts.here import Here
from app.web.forms import Form, read_form
from app.web.htmx import Htmx, htmx_of


def workshop_of(request: Request) -> Workshop:
    """The workshop the application was made with."""
    found = request.app.state.workshop
    if not isinstance(found, Workshop):
        raise TypeError("the application has no workshop")
    return found


def here_of(request: Request, design_id: str) -> Here:
    """The view named by the address."""
    return Here.of(design_id, dict(request.query_params))


Shop = Annotated[Workshop, Depends(workshop_of)]
View = Annotated[Here, Depends(here_of)]
Asked = Annotated[Htmx, Depends(htmx_of)]
Sent = Annotated[Form, Depends(read_form)]


def see_other(url: str) -> RedirectResponse:
    """Go and look at ``url``: what a form answers with, so that loading anew does nothing twice (RFC 9110, 15.4.4)."""
    return RedirectResponse(url, status_code=303)
