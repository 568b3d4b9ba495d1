"""Mending what the report finds, and accepting a caution or taking that back.

The report is worked out anew on the newest revision, so that nothing is done to a board it was not for; a fix that
would by now do something else than its button said is not made.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from app.arrange.accepting import accept, withdraw
from app.arrange.change import Edit
from app.arrange.fixes import apply_fix
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import EditError
from app.fit.accept import accepted_as
from app.fit.finding import Finding
from app.fit.report import Report
from app.model.fix import Fix
from app.service.changes import Change, Where
from app.service.checking import (
    CheckResult,
    acceptance_named,
    finding_named,
    fix_named,
    fix_of_group,
    group_named,
    judged,
)


def mended(where: Where, finding: str, said: str | None = None, units: str = "") -> Change:
    """Make the fix that a finding of the report offers.

    Args:
        where: the board.
        finding: its name.
        said: what the button said it would do; None to make whatever fix there is.
        units: of the screen that said it; empty for the design's own.
    """
    return _mended(where, lambda report: fix_named(report, finding), said, units)


def mended_all(where: Where, group: str, said: str | None = None, units: str = "") -> Change:
    """Make the one fix that clears every finding of a group of the report, in one step; else as :func:`mended`."""
    return _mended(where, lambda report: fix_of_group(report, group), said, units)


def _mended(where: Where, find: Callable[[Report], Fix], said: str | None, units: str) -> Change:
    def change(design: Design) -> Edit:
        seen = _seen(where, design, units)
        fix = find(seen.report)
        if said is not None and said != seen.words_of(fix):
            raise EditError(
                f"The board has changed since, and nothing was done. What would mend it now: {seen.words_of(fix)}.",
                "finding",
            )
        return apply_fix(design, where.board, where.arrangement, fix, catalogue())

    return change


def accepted(where: Where, finding: str, reason: str) -> Change:
    """Accept a caution of the report, by its name, as it is on the newest revision."""
    return _accepted(where, lambda report: (finding_named(report, finding),), reason)


def accepted_all(where: Where, group: str, reason: str) -> Change:
    """Accept every caution of a group of the report, by its name, for one reason and in one step."""
    return _accepted(where, lambda report: group_named(report, group).findings, reason)


def _accepted(where: Where, find: Callable[[Report], Iterable[Finding]], reason: str) -> Change:
    def change(design: Design) -> Edit:
        said: list[str] = []
        for finding in find(_seen(where, design).report):
            what = accepted_as(finding, reason)
            done = accept(design, where.board, where.arrangement, what, finding.severity)
            design, said = done.design, [*said, done.summary]
        return Edit(design, said[0] if len(said) == 1 else f"Accepted {len(said)} cautions: {reason.strip()}")

    return change


def withdrawn(where: Where, acceptance: str) -> Change:
    """Take an acceptance back, by its name, whether it stands, is awake or is stale."""

    def change(design: Design) -> Edit:
        what = acceptance_named(_seen(where, design).report, acceptance)
        return withdraw(design, where.board, where.arrangement, what)

    return change


def _seen(where: Where, design: Design, units: str = "") -> CheckResult:
    board = resolve(design, where.board, where.arrangement, catalogue())
    return judged(replace(board, units=units) if units else board)
