"""Accepting a caution of the report with a reason, and taking that back.

The report is worked out anew on the newest revision, so that nothing is accepted that the builder has not seen.
Arrangements of one board share holes. What is accepted of a hole is accepted in every arrangement in which the same
holes give the same figure: the builder gives a reason for a hole, not for a list it stands in. Where another
arrangement is worse, or more of its holes are concerned, it is another finding and stays open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from app.arrange.change import Edit
from app.arrange.design.accepting import accept, withdraw
from app.catalogue.load import catalogue
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import ArrangementEntry, Design
from app.document.where import Where
from app.fit.finding import Finding
from app.fit.report.acceptance import accepted_as, covers, same_figure
from app.fit.report.report import Report, check
from app.model.accepted import Accepted
from app.service.checks.checking import acceptance_named, finding_named, group_named
from app.service.edits.changes import DesignChange
from app.service.edits.shared_holes import same_hole


def accepted(where: Where, finding: str, reason: str) -> DesignChange:
    """Accept a caution of the report, by its name, as it is on the newest revision."""
    return _accepted(where, lambda report: (finding_named(report, finding),), reason)


def accepted_all(where: Where, group: str, reason: str) -> DesignChange:
    """Accept every caution of a group of the report, by its name, for one reason and in one step."""
    return _accepted(where, lambda report: group_named(report, group).findings, reason)


def _accepted(where: Where, find: Callable[[Report], Iterable[Finding]], reason: str) -> DesignChange:
    def change(design: Design) -> Edit:
        findings, said = tuple(find(_report(design, where))), list[str]()
        for finding in findings:
            what = accepted_as(finding, reason)
            done = accept(design, where.board, where.arrangement, what, finding.severity)
            design, said = done.design, [*said, done.summary]
        also = list[str]()
        for other, same in _elsewhere(design, where, findings):
            for finding in same:
                design = accept(design, where.board, other.id, accepted_as(finding, reason), finding.severity).design
            also.append(other.name or other.id)
        what_all = said[0] if len(said) == 1 else f"Accepted {len(said)} cautions: {reason.strip()}"
        return Edit(design, what_all + _also(also))

    return change


def withdrawn(where: Where, acceptance: str) -> DesignChange:
    """Take an acceptance back, by its name, whether it stands, is awake or is stale.

    It is taken back as well where the same holes were accepted along with it, for the same reason.
    """

    def change(design: Design) -> Edit:
        what = acceptance_named(_report(design, where), acceptance)
        done = withdraw(design, where.board, where.arrangement, what)
        design, also = done.design, list[str]()
        for other in _others(design, where):
            for entry in other.accepted:
                one = Accepted(entry.rule, entry.subjects, entry.measured, entry.reason, entry.cause, entry.required)
                if _along_with(what, one) and _share(design, where, other, one.subjects):
                    design = withdraw(design, where.board, other.id, one).design
                    also.append(other.name or other.id)
        return Edit(design, done.summary + _also(also))

    return change


def _elsewhere(
    design: Design, where: Where, findings: Sequence[Finding]
) -> Iterator[tuple[ArrangementEntry, list[Finding]]]:
    """Other arrangements of the board with the open cautions there that are the same as ``findings``."""
    for other in _others(design, where):
        report = _report(design, Where(where.board, other.id))
        same = [
            found
            for found in report.cautions
            if any(covers(accepted_as(f, ""), found) and same_figure(f, found) for f in findings)
            and _share(design, where, other, found.subjects)
        ]
        if same:
            yield other, same


def _others(design: Design, where: Where) -> list[ArrangementEntry]:
    board = find_board(design, where.board)
    here = find_arrangement(board, where.arrangement)
    return [other for other in board.arrangements if other.id != here.id]


def _share(design: Design, where: Where, other: ArrangementEntry, subjects: Sequence[str]) -> bool:
    """Whether placements of those ids are the same holes in both arrangements."""
    here = find_arrangement(find_board(design, where.board), where.arrangement)
    mine, theirs = ({p.id: p for p in a.placements} for a in (here, other))
    return all(s in mine and s in theirs and same_hole(mine[s], theirs[s]) for s in subjects)


def _along_with(what: Accepted, other: Accepted) -> bool:
    same = (what.rule, what.cause, what.reason) == (other.rule, other.cause, other.reason)
    return same and set(other.subjects) <= set(what.subjects) and bool(other.subjects) == bool(what.subjects)


def _also(names: Sequence[str]) -> str:
    return f"; also in {', '.join(dict.fromkeys(names))}" if names else ""


def _report(design: Design, where: Where) -> Report:
    return check(resolve(design, where.board, where.arrangement, catalogue()), catalogue())
