"""The page of revisions: what was published, the next one, and the code of a sheet looked up."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from msgspec import Struct

from app.service.screens.plans.revisions_seen import CodeFound, RevisionSeen, RevisionsSeen
from app.service.sight import Sight
from app.web.shared.view_state import ViewState
from app.web.shared.words import ago


class RevisionCard(Struct, frozen=True):
    """A revision, and where it is compared with how the design is now, saved and packed; empty where it is not here.

    ``retrofit_url`` is where a board drilled to it becomes one of the design as it is now.
    """

    seen: RevisionSeen
    compare_url: str
    retrofit_url: str
    file_url: str
    pack_url: str


class CodeLine(Struct, frozen=True):
    """What bears a code: the title of the design, what it is, when it was printed, and where it is looked at."""

    title: str
    what: str
    when: str
    url: str


class RevisionsPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        title: of the design.
        cards: the newest first.
        letter: of the next revision.
        current: letter of the revision that the design is now; empty if it is none.
        since: why what changed cannot be told; empty if it can.
        note, changes: what the form of the next one holds.
        problems: what is wrong with it, by field.
        code: that was looked up; empty if none was.
        found: what bears it.
        unit: of the forms.
        back_url, timeline_url, pack_url, bring_url: the board page, the timeline, the page of a pack, other designs.
    """

    view: ViewState
    title: str
    cards: tuple[RevisionCard, ...]
    letter: str
    current: str
    since: str
    note: str
    changes: str
    problems: Mapping[str, str]
    code: str
    found: tuple[CodeLine, ...]
    unit: str
    back_url: str
    timeline_url: str
    pack_url: str
    bring_url: str


def revisions_page(
    sight: Sight,
    seen: RevisionsSeen,
    view: ViewState,
    *,
    typed: Mapping[str, str] | None = None,
    problems: Mapping[str, str] | None = None,
    code: str = "",
    found: tuple[CodeFound, ...] = (),
    now: datetime,
) -> RevisionsPage:
    """The page of revisions.

    Args:
        sight: the design.
        seen: its revisions.
        view: the view.
        typed: what was typed for the next one; what is proposed if None.
        problems: what is wrong with it, by field.
        code: that was looked up; empty if none was.
        found: what bears it.
        now: the time.
    """
    view = view.at(select=(), face="top", section=False).showing(sight.revision)
    filled = typed if typed is not None else {"note": "", "changes": "\n".join(seen.proposed)}
    return RevisionsPage(
        view=view,
        title=sight.title,
        cards=tuple(_card(each, view) for each in seen.revisions),
        letter=seen.letter,
        current=seen.current,
        since=seen.since,
        note=filled.get("note", ""),
        changes=filled.get("changes", ""),
        problems=problems or {},
        code=code,
        found=tuple(_line(each, now) for each in found),
        unit=sight.unit.value,
        back_url=view.url(),
        timeline_url=view.url("/timeline"),
        pack_url=view.url("/pack"),
        bring_url=view.url("/bring"),
    )


def _card(seen: RevisionSeen, view: ViewState) -> RevisionCard:
    if not seen.moment:
        return RevisionCard(seen, "", "", "", "")
    compare = "" if seen.current else view.url("/compare", before=f"step:{seen.moment}")
    retrofit = "" if seen.current else view.url("/retrofit", **{"from": f"step:{seen.moment}"})
    file = f"/designs/{view.design}/revision.json?letter={seen.letter}"
    return RevisionCard(seen, compare, retrofit, file, view.url("/pack", letter=seen.letter))


def _line(found: CodeFound, now: datetime) -> CodeLine:
    there = ViewState(found.design, found.board, found.arrangement)
    of = f"revision {found.revision}, " if found.revision else ""
    compare = there.url("/compare", before=f"step:{found.moment}")
    return CodeLine(found.title or "A design that is gone", f"{of}{found.sheets}", ago(found.printed, now), compare)
