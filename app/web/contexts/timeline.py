"""The timeline of a design: every step, newest first, each a moment to go back to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from app.store import Head, Moment
from app.web.contexts.here import Here
from app.web.contexts.words import ago, counted

MOST = 100
"""Moments on one page."""

_PLACES = {
    "now": "Now",
    "before": "",
    "after": "Taken back; Redo leads here",
    "aside": "Left aside when another way was taken",
}


@dataclass(frozen=True, slots=True)
class Step:
    """One moment.

    Args:
        id: of the revision.
        number: in order of making.
        words: what was done.
        place: ``now``, ``before`` it, ``after`` it or ``aside``.
        said: the place in words; empty for what came before.
        when: how long ago.
        moment: the time, for machines.
        picture: address of its drawing.
        go: words of the button that goes there; empty for now.
    """

    id: str
    number: int
    words: str
    place: str
    said: str
    when: str
    moment: str
    picture: str
    go: str


@dataclass(frozen=True, slots=True)
class TimelinePage:
    """The timeline page.

    Args:
        here: the view.
        title: of the design.
        steps: newest first.
        total: how many there are, in words.
        earlier, later: addresses of the next pages; empty if there are none.
        unit: for the forms.
        undo, redo: names of the steps; empty if there is none.
        back_url: the board page.
    """

    here: Here
    title: str
    steps: tuple[Step, ...]
    total: str
    earlier: str
    later: str
    unit: str
    undo: str
    redo: str
    back_url: str


def timeline_page(head: Head, moments: Sequence[Moment], here: Here, now: datetime, before: int = 0) -> TimelinePage:
    """The page of the moments numbered below ``before``; the newest if it is 0."""
    places, here = _places(moments, head), here.showing(head.revision.id)
    newest = moments[-1].number + 1
    top = min(before, newest) if before > 0 else newest
    shown = [m for m in reversed(moments) if m.number < top][:MOST]
    steps = tuple(_step(m, places[m.id], head.design.id, now) for m in shown)
    more = bool(shown) and shown[-1].number > moments[0].number
    return TimelinePage(
        here=here,
        title=head.design.title,
        steps=steps,
        total=counted(len(moments), "step"),
        earlier=here.url("/timeline", before=str(shown[-1].number)) if more else "",
        later=here.url("/timeline", before=str(min(top + MOST, newest))) if top < newest else "",
        unit=here.units or "mm",
        undo=head.undo or "",
        redo=head.redo or "",
        back_url=here.url(),
    )


def _places(moments: Sequence[Moment], head: Head) -> dict[str, str]:
    """Where each moment stands to the one that is shown."""
    parents = {m.id: m.parent for m in moments}
    places = dict.fromkeys(parents, "aside")
    here: str | None = head.revision.id
    while here is not None:
        places[here] = "before"
        here = parents[here]
    places[head.revision.id] = "now"
    for moment in moments:  # a child is always younger than its parent
        if moment.parent is not None and places[moment.parent] in ("now", "after"):
            places[moment.id] = "after"
    return places


def _step(moment: Moment, place: str, design: str, now: datetime) -> Step:
    return Step(
        id=moment.id,
        number=moment.number,
        words=moment.summary,
        place=place,
        said=_PLACES[place],
        when=ago(moment.created, now),
        moment=moment.created.isoformat(),
        picture=f"/designs/{design}/moment.svg?revision={moment.id}",
        go={"now": "", "before": "Go back to this"}.get(place, "Go to this"),
    )
