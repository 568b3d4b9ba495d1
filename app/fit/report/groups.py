"""Findings grouped by cause: one line for what ails many parts in the same way, the most severe first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from app.fit.finding import SEVERITIES, Finding, Severity
from app.fit.registry import rule_named
from app.fit.report.acceptance import cause_of
from app.fit.words.lengths import names, verb
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.values import replace


class FindingGroup(Struct, frozen=True):
    """Findings with one cause.

    Args:
        name: stays the same while the cause does; a fix for all is asked for by it.
        severity: of all of them.
        rule: of all of them.
        title: what ails whom, and what to do where that is known to work, in one line, in display units.
        findings: in the report's order; never empty.
        subjects: ids of every placement concerned, each once.
        folded: whether it is only worth knowing, and stays folded until asked for.
    """

    name: str
    severity: Severity
    rule: str
    title: str
    findings: tuple[Finding, ...]
    subjects: tuple[str, ...]
    folded: bool


def grouped(
    findings: Iterable[Finding], board: ResolvedBoard, unit: Unit, mends: Callable[[Finding], bool] | None = None
) -> tuple[FindingGroup, ...]:
    """The findings by cause: stops, then cautions, then notes, each in the order of the rules.

    Args:
        findings: what is to be grouped.
        board: the board they are about.
        unit: to say them in.
        mends: whether a way out of a finding was tried and works; titles say what to do only where that is so.
    """
    found: dict[tuple[Severity, str, str], list[Finding]] = {}
    for finding in findings:
        found.setdefault((finding.severity, finding.rule, _kin(finding)), []).append(finding)
    order = sorted(found, key=lambda key: SEVERITIES.index(key[0]))
    groups = (_group(board, unit, *key, tuple(found[key])) for key in order)
    if mends is None:
        return tuple(groups)
    return tuple(replace(g, title=f"{g.title}{_what_to_do(g)}") if all(map(mends, g.findings)) else g for g in groups)


def phrase(findings: Sequence[Finding], board: ResolvedBoard, unit: Unit) -> str:
    """What ails findings of one rule on a board, in a few words for one line: “3 mm too near the left edge”."""
    return rule_named(findings[0].rule).phrase(findings, board, unit)


def _what_to_do(group: FindingGroup) -> str:
    """“, move all”, or a sentence; empty where a line is no place to say it."""
    return rule_named(group.rule).hint(group.findings[0], group.subjects)


def _group(
    board: ResolvedBoard, unit: Unit, severity: Severity, rule: str, kin: str, findings: tuple[Finding, ...]
) -> FindingGroup:
    subjects = tuple(dict.fromkeys(s for finding in findings for s in finding.subjects))
    title = _title(findings, subjects, board, unit)
    name = f"{severity}:{rule}:{kin.replace(' ', '-')}"
    return FindingGroup(name, severity, rule, title, findings, subjects, severity == "note")


def _kin(finding: Finding) -> str:
    """The cause, and for what is near an edge the edge: what one builder's reason would explain."""
    return cause_of(finding) or finding.detail.edge or ("own" if finding.detail.own else "")


def _title(findings: tuple[Finding, ...], subjects: tuple[str, ...], board: ResolvedBoard, unit: Unit) -> str:
    what, done = phrase(findings, board, unit), rule_named(findings[0].rule).verb
    if done:
        return f"{_who(board, subjects)} {verb(subjects, done)} {what}"
    return f"{_who(board, subjects)}: {what}" if subjects else f"The board: {what}"


_KINDS = {
    "rotary": ("rotary control", "rotary controls"),
    "bracket": ("bracket", "brackets"),
}


def _who(board: ResolvedBoard, subjects: Sequence[str]) -> str:
    """“A”, “A and B”, “6 buttons”, “4 buttons and 2 sticks”, “7 parts”."""
    if len(subjects) <= 2:
        return names(board, subjects)
    placed = [board.placed(s) for s in subjects]
    kinds = Counter(p.part.kind for p in placed if p is not None)
    if not 1 <= len(kinds) <= 2:
        return f"{len(subjects)} parts"
    return " and ".join(_counted(count, kind) for kind, count in kinds.most_common())


def _counted(count: int, kind: str) -> str:
    one, many = _KINDS.get(kind, (kind, f"{kind}s"))
    return f"{count} {one if count == 1 else many}"
