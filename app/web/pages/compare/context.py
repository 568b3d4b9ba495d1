"""The page of a comparison: what to compare, pictures of what differs, a table, findings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from markupsafe import Markup
from msgspec import Struct

from app.service import Workshop
from app.service.screens.choices import Choice, papers
from app.service.screens.plans.compare_choice import NOW, Comparable, comparable_words, comparables
from app.service.screens.plans.compare_seen import ChangeRow, CompareSeen, FindingRow
from app.service.sight import Sight
from app.values import replace
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import ViewState
from app.web.shared.words import ago


class BoardCard(Struct, frozen=True):
    """A board that differs: its name, the rows of its table, its picture if there is one."""

    name: str
    rows: tuple[ChangeRow, ...]
    drawing: Markup


class ComparePage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        head: the head.
        befores, afters: what may be chosen on either side.
        names: what the two sides are called.
        problem: why nothing is compared; empty if something is.
        summed: how much is different.
        cards: what is different, by board.
        gained, lost: findings that came and went.
        unit: of the forms.
        back_url: the board page.
        swap_url: the same with the sides exchanged; empty where one is a file.
        sheets: the same to print, each paper with its address; none where nothing is compared, or one is a file.
        sheet_url: the same of a file that is sent.
        retrofit_url: what a board needs that was drilled to the older one; empty where the newer is not the design now.
    """

    view: ViewState
    head: PageHead
    befores: tuple[Choice, ...]
    afters: tuple[Choice, ...]
    names: tuple[str, str]
    problem: str
    summed: str
    cards: tuple[BoardCard, ...]
    gained: tuple[FindingRow, ...]
    lost: tuple[FindingRow, ...]
    unit: str
    back_url: str
    swap_url: str
    sheets: tuple[Choice, ...]
    sheet_url: str
    retrofit_url: str


def compare_page(
    workshop: Workshop,
    sight: Sight,
    view: ViewState,
    asked: Mapping[str, str],
    seen: CompareSeen | None,
    now: datetime,
    problem: str = "",
) -> ComparePage:
    """The page of a comparison.

    Args:
        workshop: the workshop.
        sight: the design.
        view: the view.
        asked: what is compared, ``before`` and ``after``; ``file`` is the name of a file that stands before.
        seen: what came of it; None if there is nothing to show.
        now: the time.
        problem: why there is nothing.
    """
    view = view.at(select=(), face="top", section=False).showing(sight.revision)
    before, after, file = asked["before"], asked["after"], asked.get("file", "")
    found = comparables(workshop, view.design, before, after)
    names = {one.value: _words(one, now) for one in found}
    address = {} if file else {"before": before, "after": after}
    head = head_of(sight, view, "/compare", tally=False, every=True, query=address)
    return ComparePage(
        view=view,
        head=replace(head, units=()) if file else head,
        befores=_choices(found, names, before),
        afters=_choices(found, names, after),
        names=(f"the file “{file}”" if file else _called(workshop, view, before), _called(workshop, view, after))
        if seen is not None
        else ("", ""),
        problem=problem,
        summed=seen.summed if seen else "",
        cards=tuple(BoardCard(b.name, b.rows, Markup(b.drawing)) for b in (seen.boards if seen else ())),  # noqa: S704
        gained=seen.gained if seen else (),
        lost=seen.lost if seen else (),
        unit=sight.unit.value,
        back_url=view.url(),
        retrofit_url="" if file or after != NOW else view.url("/retrofit", **{"from": before}),
        sheets=_sheets(sight, view, address) if address and seen is not None and not seen.same else (),
        sheet_url=f"/designs/{view.design}/compare.pdf",
        swap_url="" if file else view.url("/compare", before=after, after=before),
    )


def _sheets(sight: Sight, view: ViewState, address: Mapping[str, str]) -> tuple[Choice, ...]:
    """The sheet on the shop's paper, and on A4 and Letter."""
    known = papers(sight.design.shop.paper, sight.checked.resolved.tooling.paper.name)
    return tuple(
        Choice(view.url("/compare.pdf", **address, paper=paper.value), f"Sheet to print, {paper.words}", paper.chosen)
        for paper in known
        if paper.chosen or paper.value in ("a4", "letter")
    )


def _called(workshop: Workshop, view: ViewState, value: str) -> str:
    said = comparable_words(workshop, view.design, value)
    return f"how it is now, {said}" if value == NOW else said


def _words(one: Comparable, now: datetime) -> str:
    return f"{one.words} ({ago(one.moment.created, now)})" if one.moment is not None else one.words


def _choices(found: Iterable[Comparable], names: Mapping[str, str], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(one.value, names[one.value], one.value == chosen) for one in found)
