"""The timeline of a design: every moment of it, and how each stands to the one that is shown."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from msgspec import Struct

from app.service.workshop import Workshop
from app.store import Past

Stands = Literal["now", "before", "after", "aside"]
"""How a moment stands to the one that is shown: it, before it, after it, or left aside when another way was taken."""


class PastMoment(Struct, frozen=True):
    """A moment: id of its revision, number in order of making, what was done, when if that is known, how it stands.

    ``letter`` is that of the revision it published; empty if it published none.
    """

    id: str
    number: int
    summary: str
    created: datetime | None
    place: Stands
    letter: str = ""


class Timeline(Struct, frozen=True):
    """Every moment of a design, in order of making, whatever of it is damaged.

    Args:
        title: of the design; may be empty.
        shown: id of the revision that is shown, whether or not it is there.
        whole: whether the moment that is shown is there, and the design's own row.
        moments: in order of making.
        undo, redo: names of the steps; empty if there is none.
    """

    title: str
    shown: str
    whole: bool
    moments: tuple[PastMoment, ...]
    undo: str
    redo: str


def timeline_of(workshop: Workshop, design_id: str) -> Timeline:
    """The timeline of a design.

    Raises:
        NotFoundError: there is nothing of such a design.
    """
    past = workshop.shelf.past(design_id)
    places = _places(past)
    letters = {each.moment: each.letter for each in workshop.revisions.of(design_id)}
    return Timeline(
        title=past.design.title,
        shown=past.design.head,
        whole=past.head is not None and "row" not in past.design.damaged,
        moments=tuple(
            PastMoment(m.id, m.number, m.summary, m.created, places[m.id], letters.get(m.id, "")) for m in past.moments
        ),
        undo=past.undo,
        redo=past.redo,
    )


def _places(past: Past) -> dict[str, Stands]:
    """Where each moment stands to the one that is shown; each is looked at once, even if they run in a ring."""
    parents = {m.id: m.parent for m in past.moments}
    places: dict[str, Stands] = dict.fromkeys(parents, "before" if past.head is None else "aside")
    if past.head is None:
        return places
    here: str | None = past.head.id
    while here in places and places[here] == "aside":
        places[here] = "before"
        here = parents[here]
    places[past.head.id] = "now"
    for moment in past.moments:  # a child is always younger than its parent
        if places.get(moment.parent or "") in ("now", "after") and places[moment.id] == "aside":
            places[moment.id] = "after"
    return places
