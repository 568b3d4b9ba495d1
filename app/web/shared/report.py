"""The fit report on a page: what the service says of it, with the ways there, the forms, and what stood in them."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from app.service import CheckResult
from app.service.screens.board.finding_seen import FindingSeen, WayOut
from app.service.screens.board.report_seen import AcceptedSeen, GroupSeen, report_seen
from app.service.screens.tally import Tally
from app.web.shared.view_state import ViewState

_NAMED = ("said", "finding", "group", "acceptance")  # hidden fields: what is wrong with them is told above the report


class WayForms(Struct, frozen=True):
    """What is offered for the way out of a finding, or of several at once.

    Args:
        out: the way out.
        find_url: address that works it out; empty if it is worked out.
        accept: whether there is a form to accept it with a reason.
        reason: what was typed for the reason.
        problem: why that could not be taken; empty if nothing was wrong.
        ident: number of the form on the page.
    """

    out: WayOut
    find_url: str
    accept: bool
    reason: str
    problem: str
    ident: int


class FindingCard(Struct, frozen=True):
    """One finding: what it says, the address with its parts selected, the way out, and if it is of a selected part."""

    found: FindingSeen
    show_url: str
    way: WayForms
    in_hand: bool


class GroupCard(Struct, frozen=True):
    """Findings of one cause.

    Args:
        found: what they have in common.
        findings: each by itself.
        show_url: address with every part concerned selected.
        way: the way out of all of them at once.
        open: whether each is shown, because something was asked about one of them.
    """

    found: GroupSeen
    findings: tuple[FindingCard, ...]
    show_url: str
    way: WayForms
    open: bool


class AcceptedLine(Struct, frozen=True):
    """What the builder has accepted, and the way to it."""

    found: AcceptedSeen
    show_url: str


class ReportBlock(Struct, frozen=True):
    """The fit report.

    Args:
        tally: counts of what is open.
        groups: stops, then cautions.
        notes: what is only worth knowing.
        more: how many findings are not listed.
        accepted: cautions accepted as they are.
        stale: acceptances of what is no longer there.
        problem: what could not be done of what the report was asked for; empty if nothing was.
        shared: whether other arrangements have holes of this one, in which a caution is accepted along with it.
        room_url: where room is made by moving parts; empty if moving has nothing to clear.
        judged_url: where it is told what was checked; worked out only there.
    """

    tally: Tally
    groups: tuple[GroupCard, ...]
    notes: tuple[GroupCard, ...]
    more: int
    accepted: tuple[AcceptedLine, ...]
    stale: tuple[AcceptedLine, ...]
    problem: str
    shared: bool
    room_url: str
    judged_url: str


class _Asked(Struct):
    """How the report is asked for: as of :func:`report_block`, with the number of forms there are so far."""

    view: ViewState
    page: bool
    find: str
    problems: Mapping[str, str]
    typed: Mapping[str, str]
    forms: int = 0


def report_block(
    seen: CheckResult,
    view: ViewState,
    *,
    ways: bool = True,
    page: bool = True,
    find: str = "",
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
    shared: bool = False,
) -> ReportBlock:
    """The report of the board in view, or in the hand and on no ``page`` yet; ways out take longest.

    Of a board in the hand nothing can be accepted, nor room made on it.
    """
    found = report_seen(seen, ways=ways, room=page, find=find)
    asked = _Asked(view, page, find, problems or {}, typed or {})
    cards = [_group(asked, group) for group in found.groups]
    return ReportBlock(
        tally=found.tally,
        groups=tuple(card for card in cards if card.found.severity != "note"),
        notes=tuple(card for card in cards if card.found.severity == "note"),
        more=sum(group.more for group in found.groups),
        accepted=tuple(AcceptedLine(line, show_url(line.subjects, view)) for line in found.accepted),
        stale=tuple(AcceptedLine(line, show_url(line.subjects, view)) for line in found.stale),
        problem=next((asked.problems[name] for name in _NAMED if name in asked.problems), ""),
        shared=shared,
        room_url=view.at(select=()).url("/room") if found.room else "",
        judged_url=view.url("/judged"),
    )


def show_url(subjects: tuple[str, ...], view: ViewState) -> str:
    """Address with parts of the board selected; empty if there are none."""
    return view.at(select=subjects).url() if subjects else ""


def _group(asked: _Asked, group: GroupSeen) -> GroupCard:
    way = _way(asked, group.way)
    cards = tuple(_card(asked, finding) for finding in group.findings)
    about = any(card.way.out.none or card.way.problem or card.way.out.name == asked.find for card in cards)
    return GroupCard(group, cards, show_url(group.subjects, asked.view), way, open=about)


def _card(asked: _Asked, finding: FindingSeen) -> FindingCard:
    in_hand = not set(asked.view.select).isdisjoint(finding.subjects)
    return FindingCard(finding, show_url(finding.subjects, asked.view), _way(asked, finding.way), in_hand)


def _way(asked: _Asked, out: WayOut) -> WayForms:
    asked.forms += 1
    mine = asked.typed.get(out.of) == out.name and "reason" in asked.typed
    return WayForms(
        out=out,
        find_url=asked.view.url(find=out.name) if out.findable else "",
        accept=asked.page and out.acceptable,
        reason=asked.typed["reason"] if mine else "",
        problem=asked.problems.get("reason", "") if mine else "",
        ident=asked.forms,
    )
