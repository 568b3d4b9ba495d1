"""The fit report as shown: what is open by cause, most severe first; notes folded; what was accepted, struck off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from app.document.resolve import find_board
from app.fit.changes.joint import Joint
from app.fit.finding import Finding
from app.fit.report.acceptance import AcceptedFinding, acceptance_name
from app.fit.report.groups import FindingGroup
from app.fit.words.lengths import names
from app.fit.words.messages import figure_words, message
from app.model.accepted import Accepted
from app.service.checks.checking import CheckResult, named_findings
from app.service.screens.findings import told_of
from app.service.screens.words import minus
from app.service.sight import Sight
from app.units import Unit
from app.web.shared.finding import SEVERITY_WORDS, FindingCard, WayOut, finding_card, rule_words, show_url
from app.web.shared.tally import Tally
from app.web.shared.view_state import ViewState

MOST_SHOWN = 60
"""More findings than this are counted, not listed: nobody reads them, and the page would be slow."""

MOST_FIXES = 3
"""Ways out worked out before they are asked for, each of a finding or of a whole group: they are tried on the board.

On a small board, where that is quick, as many more as ``_QUICK`` allows. What a remedy says was tried for its words.
"""

_QUICK = 150
"""Parts times ways out that are tried without being asked for."""

_NAMED = ("said", "finding", "group", "acceptance")  # hidden fields: what is wrong with them is told above the report


@dataclass(frozen=True, slots=True)
class GroupCard:
    """Findings of one cause.

    Args:
        name: stays the same while the cause does.
        severity: ``stop``, ``caution`` or ``note``.
        severity_words: the same for people.
        rule: the rule in words.
        title: what ails whom, in one line.
        findings: each by itself; of a single one the group says nothing more.
        more: how many of them are not listed.
        show_url: address with every part concerned selected.
        way: the way out of all of them at once.
        open: whether each is shown, because something was asked about one of them.
    """

    name: str
    severity: str
    severity_words: str
    rule: str
    title: str
    findings: tuple[FindingCard, ...]
    more: int
    show_url: str
    way: WayOut
    open: bool


@dataclass(frozen=True, slots=True)
class AcceptedLine:
    """What the builder has accepted: name of the acceptance, the rule, what is accepted, why, and the way to it."""

    name: str
    rule: str
    sentence: str
    reason: str
    show_url: str


@dataclass(frozen=True, slots=True)
class ReportBlock:
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
    room_url: str = ""
    judged_url: str = ""


@dataclass(slots=True)
class _Source:
    """What the report is made from, and how much of it.

    Args:
        seen: the judged board.
        here: the view.
        ways: whether ways out are offered.
        page: whether it is that of a page, and not of a board in the hand, of which nothing can be accepted.
        find: name of the finding or group whose fix is asked for.
        problems, typed: what was wrong in a form, and what stood in it.
        fixes: how many fixes may still be worked out.
        room: how many findings may still be listed.
        forms: how many forms there are so far.
    """

    seen: CheckResult
    here: ViewState
    ways: bool
    page: bool
    find: str
    problems: Mapping[str, str]
    typed: Mapping[str, str]
    fixes: int
    room: int = MOST_SHOWN
    forms: int = 0
    names: dict[int, str] = field(default_factory=dict)


def shares_holes(sight: Sight) -> bool:
    """Whether the board in view has other arrangements, which share its holes."""
    return len(find_board(sight.design, sight.checked.board).arrangements) > 1


def tally_of(seen: CheckResult) -> Tally:
    """Counts of a report: only what is open."""
    report = seen.report
    return Tally(len(report.stops), len(report.cautions), len(report.notes))


def _room_is_wanted(seen: CheckResult) -> bool:
    if not seen.report.open:
        return False
    from app.service.room.room_wanted import room_is_offered

    return room_is_offered(seen.report)


def report_block(
    seen: CheckResult,
    here: ViewState,
    *,
    ways: bool = True,
    page: bool = True,
    find: str = "",
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
    shared: bool = False,
) -> ReportBlock:
    """The report of the board in view, or in the hand and on no ``page`` yet; ways out take longest."""
    asked = _Source(seen, here, ways, page, find, problems or {}, typed or {}, fixes=_most_fixes(seen))
    asked.names = {id(finding): name for name, finding in named_findings(seen.report)}
    cards = [_group(asked, group) for group in seen.groups(tried=ways)]
    return ReportBlock(
        tally=tally_of(seen),
        groups=tuple(card for card in cards if card.severity != "note"),
        notes=tuple(card for card in cards if card.severity == "note"),
        more=sum(card.more for card in cards),
        accepted=tuple(_accepted(asked, standing) for standing in seen.report.accepted),
        stale=tuple(_stale(asked, accepted) for accepted in seen.report.stale),
        problem=next((asked.problems[name] for name in _NAMED if name in asked.problems), ""),
        shared=shared,
        room_url=here.at(select=()).url("/room") if page and _room_is_wanted(seen) else "",
        judged_url=here.url("/judged"),
    )


def _most_fixes(seen: CheckResult) -> int:
    return max(MOST_FIXES, _QUICK // max(1, len(seen.resolved.drilled)))


def _group(asked: _Source, group: FindingGroup) -> GroupCard:
    shown = group.findings[: max(asked.room, 0)]
    asked.room -= len(shown)
    alone = len(group.findings) == 1
    way = _way_of_group(asked, group, alone=alone)
    cards = tuple(_card(asked, finding, alone=group if alone else None) for finding in shown)
    return GroupCard(
        name=group.name,
        severity=group.severity,
        severity_words=SEVERITY_WORDS[group.severity],
        rule=rule_words(group.rule),
        title=group.title,
        findings=cards,
        more=len(group.findings) - len(shown),
        show_url=show_url(group.subjects, asked.seen, asked.here),
        way=way,
        open=any(card.way.none or card.way.problem or card.way.name == asked.find for card in cards),
    )


def _card(asked: _Source, finding: Finding, *, alone: FindingGroup | None) -> FindingCard:
    name, seen = asked.names[id(finding)], asked.seen
    tried = asked.ways and bool(seen.report.said_for(finding))
    known = tried or name in seen.fixes or name == asked.find or (alone is not None and asked.fixes > 0)
    worked = asked.ways and known and finding.severity != "note"
    fix = seen.fix_for(name, finding) if worked else None
    asked.fixes -= alone is not None and not tried
    way = _way(asked, "finding", name, finding.severity, Joint(fix) if fix is not None else None, known=known)
    if worked and fix is None and alone is not None and len(finding.subjects) > 1:
        joint = seen.fix_for_all(alone)
        way = _way(asked, "group", alone.name, finding.severity, joint, known=True) if joint is not None else way
    standing = seen.report.standing(finding)
    woken = _woken(standing, Unit(seen.resolved.units)) if standing and standing.awake else ""
    return finding_card(told_of(finding, seen, tried=asked.ways), seen, asked.here, woken, way)


def _way_of_group(asked: _Source, group: FindingGroup, *, alone: bool) -> WayOut:
    seen = asked.seen
    known = alone or group.name in seen.joints or group.name == asked.find or asked.fixes > 0
    worked = asked.ways and known and not alone and group.severity != "note"
    joint = seen.fix_for_all(group) if worked else None
    asked.fixes -= worked
    return _way(asked, "group", group.name, group.severity, joint, known=known)


def _way(asked: _Source, field_name: str, name: str, severity: str, joint: Joint | None, *, known: bool) -> WayOut:
    asked.forms += 1
    offered = asked.ways and severity != "note"
    mine = asked.typed.get(field_name) == name and "reason" in asked.typed
    return WayOut(
        name=name,
        field=field_name,
        words=asked.seen.words_of(joint.fix) if joint is not None else "",
        stays=names(asked.seen.resolved, joint.stays) if joint is not None and joint.stays else "",
        find_url="" if known or not offered else asked.here.url(find=name),
        none=offered and name == asked.find and joint is None,
        accept=asked.page and severity == "caution",
        reason=asked.typed["reason"] if mine else "",
        problem=asked.problems.get("reason", "") if mine else "",
        ident=asked.forms,
    )


def _woken(standing: AcceptedFinding, unit: Unit) -> str:
    was = minus(figure_words(standing.accepted, unit))
    figure = f" at {was}" if was else ""
    return f"Accepted{figure}, and worse now: {standing.accepted.reason}"


def _accepted(asked: _Source, standing: AcceptedFinding) -> AcceptedLine:
    board = asked.seen.resolved
    return AcceptedLine(
        name=acceptance_name(standing.accepted),
        rule=rule_words(standing.accepted.rule),
        sentence=message(standing.finding, board, Unit(board.units)),
        reason=standing.accepted.reason,
        show_url=show_url(standing.finding.subjects, asked.seen, asked.here),
    )


def _stale(asked: _Source, accepted: Accepted) -> AcceptedLine:
    board = asked.seen.resolved
    was = minus(figure_words(accepted, Unit(board.units)))
    figure = f" at {was}" if was else ""
    who = names(board, accepted.subjects) if accepted.subjects else "the board"
    return AcceptedLine(
        name=acceptance_name(accepted),
        rule=rule_words(accepted.rule),
        sentence=f"{rule_words(accepted.rule).capitalize()} of {who}{figure}",
        reason=accepted.reason,
        show_url=show_url(accepted.subjects, asked.seen, asked.here),
    )
