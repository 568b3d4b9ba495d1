"""The page of what was checked: how many pairs of what, the tightest of each, and the table that leaves nothing out."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from app.service import CheckResult
from app.service.checks.judged import Kinds, Near, judged_kinds, kind_words, meetings, rests_on, rule_meanings, total_of
from app.service.screens.board.finding_seen import MarginBar, bar_of, rule_words
from app.service.screens.words import capital, counted
from app.service.sight import Sight
from app.web.shared.head import PageHead, head_of
from app.web.shared.report import show_url
from app.web.shared.view_state import ViewState

_TITLES = {
    "Two placements": "Two different parts",
    "One placement": "Within one part",
    "A placement and the board": "A part and the board",
    "The board itself": "The board itself",
}


class NearLine(Struct, frozen=True):
    """One of the tightest of its kind: whose it is, the way to it, its figures in words, and the same drawn."""

    who: str
    show_url: str
    there: str
    needed: str
    left: str
    short: bool
    bar: MarginBar


class KindLine(Struct, frozen=True):
    """Two kinds of things.

    Args:
        what, other: the kinds in words.
        pairs: how many pairs there are, with commas.
        word: ``pair`` or ``pairs``.
        near: the tightest, at most three.
        none: why there is no figure; empty where there is.
    """

    what: str
    other: str
    pairs: str
    word: str
    near: tuple[NearLine, ...]
    none: str


class MeetLine(Struct, frozen=True):
    """A thing and those it meets alike: what, against what, by which rules, or why it does no harm."""

    what: str
    others: str
    rules: str
    because: str


class MeetTable(Struct, frozen=True):
    """Everything of one sort against everything: title and lines."""

    title: str
    lines: tuple[MeetLine, ...]


class JudgedPage(Struct, frozen=True):
    """The page of what was checked.

    Args:
        head: the head.
        rests: what *fits* rests on, in a sentence.
        total: how many pairs there are, in words; empty if there is nothing to judge.
        short: how many of the lines are short of what is needed.
        kinds: every two kinds that were judged, the tightest first.
        deck: whether the board is the deck, which alone is judged for a hand that leans on it.
        everything: the tables of everything against everything.
        summed: how many cells they have, and what of them is judged, in words.
        rules: each rule in words, with what holds when it is kept.
        back_url: the board page.
    """

    head: PageHead
    rests: str
    total: str
    short: int
    kinds: tuple[KindLine, ...]
    deck: bool
    everything: tuple[MeetTable, ...]
    summed: str
    rules: tuple[tuple[str, str], ...]
    back_url: str


def judged_page(sight: Sight, view: ViewState) -> JudgedPage:
    """The page for the board in view; it looks further than the rules have to, so it is made when asked for."""
    seen, view = sight.checked, view.at(select=sight.present(view.select))
    found = judged_kinds(seen, sight.unit)
    kinds = tuple(_kind_line(one, seen, view) for one in found)
    return JudgedPage(
        head=head_of(sight, view, "/judged"),
        rests=rests_on(seen.resolved, sight.unit),
        total=f"{counted(total_of(found), 'pair')} of {counted(len(found), 'kind')}" if found else "",
        short=sum(near.short for kind in kinds for near in kind.near),
        kinds=kinds,
        deck=seen.resolved.role == "deck",
        everything=_everything(),
        summed=_summed(),
        rules=tuple((rule_words(name), meaning) for name, meaning in rule_meanings()),
        back_url=view.url(),
    )


def _kind_line(found: Kinds, seen: CheckResult, view: ViewState) -> KindLine:
    number, _, word = counted(found.tried, "pair").partition(" ")
    return KindLine(
        what=capital(kind_words(found.what, many=True)),
        other=kind_words(found.other, many=True),
        pairs=number,
        word=word,
        near=tuple(_near_line(one, seen, view) for one in found.nearest),
        none=capital(found.none),
    )


def _near_line(nearest: Near, seen: CheckResult, view: ViewState) -> NearLine:
    figures = nearest.figures
    return NearLine(
        who=nearest.who or "The board itself",
        show_url=show_url(seen.present(nearest.subjects), view),
        there=figures.there,
        needed=figures.needed,
        left=figures.left,
        short=figures.short,
        bar=bar_of(nearest.measured, nearest.required),
    )


def _everything() -> tuple[MeetTable, ...]:
    """Every cell of the tables, those of one thing that say the same in one line."""
    tables: dict[str, dict[tuple[str, tuple[str, ...], str], list[str]]] = {}
    for meeting in meetings():
        lines = tables.setdefault(meeting.title, {})
        lines.setdefault((meeting.one, meeting.rules, meeting.because), []).append(kind_words(meeting.other))
    return tuple(
        MeetTable(
            _TITLES[title],
            tuple(
                MeetLine(capital(kind_words(one)), ", ".join(others), _rules(rules), because)
                for (one, rules, because), others in lines.items()
            ),
        )
        for title, lines in tables.items()
    )


def _summed() -> str:
    cells = meetings()
    judged = sum(bool(cell.rules) for cell in cells)
    harmless = len(cells) - judged
    return f"{len(cells)} kinds of pair: {judged} are checked by a rule, {harmless} do no harm for the reason given"


def _rules(names_of_rules: Iterable[str]) -> str:
    return capital(", ".join(rule_words(name) for name in names_of_rules))
