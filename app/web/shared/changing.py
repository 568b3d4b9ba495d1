"""The way of every form that changes a design: read it, make the change, go and look at what came of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from starlette.responses import Response

from app.errors import EditError, NotFoundError
from app.service import DesignChange, Edit
from app.web.forms import Form
from app.web.shared.requests import OpenWorkshop, overtaken, see_other, sender_of
from app.web.shared.view_state import ViewState

Reader = Callable[[Form, ViewState], DesignChange]
"""Reads a form as the change it asks for."""

Again = Callable[[Mapping[str, str]], Response]
"""The page of the form shown again, with a sentence by field that could not be taken."""

Onward = Callable[[Edit, Mapping[str, str]], str]
"""The address to look at after a change, from what was done and what has to be told there."""


def reader_of(readers: Mapping[str, Reader], verb: str, of: str = "") -> Reader:
    """What reads the form of that name.

    Args:
        readers: by the last word of the address.
        verb: that word.
        of: what it changes, in words, as `` of a board``.

    Raises:
        NotFoundError: there is no such form.
    """
    found = readers.get(verb)
    if found is None:
        raise NotFoundError(f"There is no edit “{verb[:40]}”{of}. Go back and use the buttons on the page.")
    return found


def answered(
    workshop: OpenWorkshop, form: Form, view: ViewState, read: Reader, again: Again, onward: Onward, *, beside: str = ""
) -> Response:
    """The answer to a form that changes a design; what is wrong with a field is told beside it, and nothing is lost.

    Args:
        workshop: the workshop.
        form: what was sent.
        view: the view it was sent from.
        read: reads the change out of it.
        again: shows the page with what was wrong.
        onward: where to look after the change.
        beside: where the page tells what belongs beside none of the form's fields; empty if it does not.

    Raises:
        EditError: the change is refused for what no field of the form says, and the page does not tell that.
    """
    sender = sender_of(form)
    try:
        change = read(form, view)
        form.done()
        head, done = workshop.edit(view.design, view.where, change, sender)
    except EditError as error:
        if set(error.problems) <= set(form.values):
            return again(error.problems)
        if not beside:
            raise
        return again({beside: str(error)})
    return see_other(onward(done, overtaken(workshop, view.design, sender, head)))
