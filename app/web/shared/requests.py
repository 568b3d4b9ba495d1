"""What the routes share: the workshop, the view in an address, the form.

What a route depends on is read in the loop, unless it asks the store: a thread for each would be a wait for each.
"""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse

from app.service import Head, Workshop
from app.service.screens.places import is_there
from app.service.windows import Sender, other_windows_words
from app.web.forms import Form, read_form
from app.web.htmx import Htmx, htmx_of
from app.web.shared.view_state import ViewState


async def workshop_of(request: Request) -> Workshop:
    """The workshop the application was made with."""
    found = request.app.state.workshop
    if not isinstance(found, Workshop):
        raise TypeError("the application has no workshop")
    return found


async def view_state_of(request: Request, design_id: str) -> ViewState:
    """The view named by the address, told what other windows did if the address says since when."""
    asked = dict(request.query_params)
    view = ViewState.of(design_id, asked).at(seen="")  # the page looks anew
    since = asked.get("since", "")
    if not since:
        return view
    own = tuple(asked.get("own", "").split(","))
    meanwhile = (await run_in_threadpool((await workshop_of(request)).meanwhile, design_id, since)).without(own)
    return view.at(other_windows=other_windows_words(meanwhile, own=any(own), halted=asked.get("halted", "")))


OpenWorkshop = Annotated[Workshop, Depends(workshop_of)]
View = Annotated[ViewState, Depends(view_state_of)]
HtmxRequest = Annotated[Htmx, Depends(htmx_of)]
Sent = Annotated[Form, Depends(read_form)]


def still_there(workshop: Workshop, view: ViewState) -> ViewState:
    """The view without its board or arrangement, if a step took that away: then the first is looked at."""
    if view.board and not is_there(workshop, view.design, view.board):
        view = view.at(board="", arrangement="", select=())
    if view.arrangement and not is_there(workshop, view.design, view.where.board, view.arrangement):
        view = view.at(arrangement="", select=())
    return view


def sender_of(form: Form) -> Sender:
    """The window a form comes from."""
    seen, window = form.text("seen"), form.text("window")
    return Sender(seen, window) if window else Sender(seen)


def overtaken(workshop: Workshop, design_id: str, sender: Sender, head: Head, step: str = "") -> dict[str, str]:
    """What the address of the page after a change must say, if another window acted before it.

    Args:
        workshop: the workshop.
        design_id: the design.
        sender: the window the change came from.
        head: the design after it.
        step: ``undo`` or ``redo`` if that was asked for.
    """
    now = head.revision
    went = now.redo == sender.seen if step == "undo" else now.parent == sender.seen
    if not sender.seen or now.id == sender.seen or went:
        return {}
    meanwhile = workshop.meanwhile(design_id, sender.seen, now.id)
    own = workshop.own_steps(meanwhile, sender)
    if not meanwhile.without(own):
        return {}
    return {"since": sender.seen, "own": ",".join(own), "halted": step}


def see_other(url: str) -> RedirectResponse:
    """Go and look at ``url``: what a form answers with, so that loading anew does nothing twice (RFC 9110, 15.4.4)."""
    return RedirectResponse(url, status_code=303)
