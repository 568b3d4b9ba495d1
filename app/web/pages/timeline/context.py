"""The timeline of a design: every step, newest first, each a moment to go back to."""

from __future__ import annotations

from datetime import datetime

from msgspec import Struct

from app.service.screens.plans.timeline import PastMoment, Timeline
from app.service.screens.words import counted
from app.service.sight import Sight
from app.web.assets import code
from app.web.pages.shelf.cards import title_of
from app.web.shared.switches import switches_of
from app.web.shared.view_state import BoardStrip, ViewState
from app.web.shared.words import ago

MOST = 100
"""Moments on one page."""

_LOST = "The step this design shows is missing. Go to one of those below to see the design as it was then."
_NOTHING = "None of this design’s steps is stored any more."

_PLACES = {
    "now": "Now",
    "before": "",
    "after": "Undone; Redo brings it back",
    "aside": "Left behind when you went another way",
}


class TimelineStep(Struct, frozen=True):
    """One moment.

    Args:
        id: of the revision.
        number: in order of making.
        words: what was done.
        place: ``now``, ``before`` it, ``after`` it or ``aside``.
        said: the place in words; empty for what came before.
        when: how long ago.
        moment: the time, for machines; empty if it is not known.
        picture: address of its drawing.
        go: words of the button that goes there; empty for now.
        letter: of the revision it published; empty if none.
        compare: where it is compared with how the design is now; empty for now.
        pack: where it is packed: a revision, and the design as it is now; empty for other steps.
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
    letter: str
    compare: str
    pack: str


class TimelinePage(Struct, frozen=True):
    """The timeline page.

    Args:
        view: the view.
        title: of the design.
        boards: the strip of boards; None where the design cannot be shown.
        lost: what is wrong, if the moment that is shown is missing; empty if it is there.
        steps: newest first.
        total: how many there are, in words.
        earlier, later: addresses of the next pages; empty if there are none.
        unit: for the forms.
        undo, redo: names of the steps; empty if there is none.
        back_url: the board page.
        revisions_url: the page of revisions.
    """

    view: ViewState
    title: str
    boards: BoardStrip | None
    lost: str
    steps: tuple[TimelineStep, ...]
    total: str
    earlier: str
    later: str
    unit: str
    undo: str
    redo: str
    back_url: str
    revisions_url: str


def timeline_page(
    past: Timeline, view: ViewState, now: datetime, before: int = 0, sight: Sight | None = None
) -> TimelinePage:
    """The page of the moments numbered below ``before``; the newest if it is 0.

    Args:
        past: every moment.
        view: the view.
        now: the time.
        before: number of the first moment that is not on the page.
        sight: the design as it is shown; None where that cannot be.
    """
    moments, view = past.moments, view.showing(past.shown)
    boards = switches_of(sight, view, "/timeline")["boards"] if sight is not None else None
    newest = moments[-1].number + 1 if moments else 1
    top = min(before, newest) if before > 0 else newest
    shown = [m for m in reversed(moments) if m.number < top][:MOST]
    more = bool(shown) and shown[-1].number > moments[0].number
    return TimelinePage(
        view=view,
        title=title_of(past.title),
        boards=boards,
        lost="" if past.whole else _LOST if moments else _NOTHING,
        steps=tuple(_step(m, view, now) for m in shown),
        total=counted(len(moments), "step"),
        earlier=view.url("/timeline", before=str(shown[-1].number)) if more else "",
        later=view.url("/timeline", before=str(min(top + MOST, newest))) if top < newest else "",
        unit=view.units or "mm",
        undo=past.undo,
        redo=past.redo,
        back_url=view.url(),
        revisions_url=view.url("/revisions"),
    )


def _step(moment: PastMoment, view: ViewState, now: datetime) -> TimelineStep:
    return TimelineStep(
        id=moment.id,
        number=moment.number,
        words=moment.summary,
        place=moment.place,
        said=_PLACES[moment.place],
        when=ago(moment.created, now),
        moment=moment.created.isoformat() if moment.created is not None else "",
        picture=f"/designs/{view.design}/thumbnail.svg?revision={moment.id}&state={code()}",
        go={"now": "", "before": "Go back to this step"}.get(moment.place, "Go to this step"),
        letter=moment.letter,
        compare="" if moment.place == "now" else view.url("/compare", before=f"step:{moment.id}"),
        pack=_pack(moment, view),
    )


def _pack(moment: PastMoment, view: ViewState) -> str:
    if moment.letter:
        return view.url("/pack", letter=moment.letter)
    return view.url("/pack") if moment.place == "now" else ""
