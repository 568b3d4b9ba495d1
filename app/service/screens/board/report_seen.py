"""The fit report as a page shows it: what is open by cause, most severe first; then what was accepted."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from app.document.resolve import find_board
from app.fit.changes.joint import Joint
from app.fit.finding import Finding
from app.fit.report.acceptance import AcceptedFinding, acceptance_name
from app.fit.report.groups import FindingGroup
from app.fit.words.lengths import names
from app.fit.words.messages import figure_words, message
from app.model.accepted import Accepted
from app.service.checks.checking import CheckResult, named_findings
from app.service.screens.board.finding_seen import SEVERITY_WORDS, FindingSeen, WayOut, finding_seen, rule_words
from app.service.screens.board.findings import who, worded_finding
from app.service.screens.tally import Tally, tally_of
from app.service.screens.words import minus
from app.service.sight import Sight
from app.units import Unit

MOST_SHOWN = 60
"""More findings than this are counted, not listed: nobody reads them, and the page would be slow."""

MOST_FIXES = 3
"""Ways out worked out before they are asked for, each of a finding or of a whole group: they are tried on the board.

On a small board, where that is quick, as many more as ``_QUICK`` allows. What a remedy says was tried for its words.
"""

_QUICK = 150
"""Parts times ways out that are tried without being asked for."""


class GroupSeen(Struct, frozen=True):
    """Findings of one cause.

    Args:
        name: stays the same while the cause does.
        severity: ``stop``, ``caution`` or ``note``.
        severity_words: the same for people.
        rule: the rule in words.
        title: what ails whom, in one line.
        findings: each by itself; of a single one the group says nothing more.
        more: how many of them are not listed.
        subjects: ids of the parts concerned that are on the board.
        way: the way out of all of them at once.
    """

    name: str
    severity: str
    severity_words: str
    rule: str
    title: str
    findings: tuple[FindingSeen, ...]
    more: int
    subjects: tuple[str, ...]
    way: WayOut


class AcceptedSeen(Struct, frozen=True):
    """What the builder has accepted: name of the acceptance, what is accepted, why, and the parts that are there."""

    name: str
    sentence: str
    reason: str
    subjects: tuple[str, ...]


class ReportSeen(Struct, frozen=True):
    """The fit report.

    Args:
        tally: counts of what is open.
        groups: what is open, notes last.
        accepted: cautions accepted as they are.
        stale: acceptances of what is no longer there.
        room: whether making room by moving parts may clear something.
    """

    tally: Tally
    groups: tuple[GroupSeen, ...]
    accepted: tuple[AcceptedSeen, ...]
    stale: tuple[AcceptedSeen, ...]
    room: bool


class _Source(Struct):
    """What the report is made from, and how much of it.

    Args:
        seen: the judged board.
        names: of its findings, by their identity.
        ways: whether ways out are offered.
        find: name of the finding or group whose way out is asked for.
        fixes: how many fixes may still be worked out.
        room: how many findings may still be listed.
    """

    seen: CheckResult
    names: dict[int, str]
    ways: bool
    find: str
    fixes: int
    room: int = MOST_SHOWN


def shares_holes(sight: Sight) -> bool:
    """Whether the board in view has other arrangements, which share its holes."""
    return len(find_board(sight.design, sight.checked.board).arrangements) > 1


def report_seen(seen: CheckResult, *, ways: bool = True, room: bool = True, find: str = "") -> ReportSeen:
    """The report of a board.

    Args:
        seen: the judged board.
        ways: whether to try ways out, which takes longest.
        room: whether to find out if making room may clear something.
        find: name of the finding or group whose way out is worked out whatever it takes; empty for none.
    """
    known = {id(finding): name for name, finding in named_findings(seen.report)}
    asked = _Source(seen, known, ways, find, fixes=max(MOST_FIXES, _QUICK // max(1, len(seen.resolved.drilled))))
    return ReportSeen(
        tally=tally_of(seen),
        groups=tuple(_group(asked, group) for group in seen.groups(tried=ways)),
        accepted=tuple(_accepted(seen, standing) for standing in seen.report.accepted),
        stale=tuple(_stale(seen, accepted) for accepted in seen.report.stale),
        room=room and _room_is_wanted(seen),
    )


def _room_is_wanted(seen: CheckResult) -> bool:
    if not seen.report.open:
        return False
    from app.service.room.room_wanted import room_is_offered

    return room_is_offered(seen.report)


def _group(asked: _Source, group: FindingGroup) -> GroupSeen:
    shown = group.findings[: max(asked.room, 0)]
    asked.room -= len(shown)
    alone = len(group.findings) == 1
    way = _way_of_group(asked, group, alone=alone)
    return GroupSeen(
        name=group.name,
        severity=group.severity,
        severity_words=SEVERITY_WORDS[group.severity],
        rule=rule_words(group.rule),
        title=group.title,
        findings=tuple(_finding(asked, finding, alone=group if alone else None) for finding in shown),
        more=len(group.findings) - len(shown),
        subjects=asked.seen.present(group.subjects),
        way=way,
    )


def _finding(asked: _Source, finding: Finding, *, alone: FindingGroup | None) -> FindingSeen:
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
    return finding_seen(worded_finding(finding, seen, tried=asked.ways), seen, woken, way)


def _way_of_group(asked: _Source, group: FindingGroup, *, alone: bool) -> WayOut:
    seen = asked.seen
    known = alone or group.name in seen.joints or group.name == asked.find or asked.fixes > 0
    worked = asked.ways and known and not alone and group.severity != "note"
    joint = seen.fix_for_all(group) if worked else None
    asked.fixes -= worked
    return _way(asked, "group", group.name, group.severity, joint, known=known)


def _way(
    asked: _Source, of: Literal["finding", "group"], name: str, severity: str, joint: Joint | None, *, known: bool
) -> WayOut:
    offered = asked.ways and severity != "note"
    return WayOut(
        name=name,
        of=of,
        words=asked.seen.words_of(joint.fix) if joint is not None else "",
        stays=names(asked.seen.resolved, joint.stays) if joint is not None and joint.stays else "",
        findable=offered and not known,
        none=offered and name == asked.find and joint is None,
        acceptable=severity == "caution",
    )


def _woken(standing: AcceptedFinding, unit: Unit) -> str:
    return f"Accepted{_figure(standing.accepted, unit)}, and worse now: {standing.accepted.reason}"


def _figure(accepted: Accepted, unit: Unit) -> str:
    was = minus(figure_words(accepted, unit))
    return f" at {was}" if was else ""


def _accepted(seen: CheckResult, standing: AcceptedFinding) -> AcceptedSeen:
    board, accepted = seen.resolved, standing.accepted
    sentence = message(standing.finding, board, Unit(board.units))
    return AcceptedSeen(acceptance_name(accepted), sentence, accepted.reason, seen.present(standing.finding.subjects))


def _stale(seen: CheckResult, accepted: Accepted) -> AcceptedSeen:
    board = seen.resolved
    what = f"{rule_words(accepted.rule).capitalize()} of {who(board, accepted.subjects)}"
    sentence = f"{what}{_figure(accepted, Unit(board.units))}"
    return AcceptedSeen(acceptance_name(accepted), sentence, accepted.reason, seen.present(accepted.subjects))
