"""Mending what the report finds.

The report is worked out anew on the newest revision, so that nothing is done to a board it was not for; a fix that
would by now do something else than its button said is not made.
"""

from __future__ import annotations

from collections.abc import Callable

from app.arrange.change import Edit
from app.arrange.design.apply_fix import apply_fix
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.fit.report.report import Report
from app.model.fix import Fix
from app.service.checks.checking import CheckResult, fix_named, fix_of_group, judged
from app.service.edits.changes import DesignChange
from app.values import replace


def fix_applied(where: Where, finding: str, said: str | None = None, units: str = "") -> DesignChange:
    """Make the fix that a finding of the report offers.

    Args:
        where: the board.
        finding: its name.
        said: what the button said it would do; None to make whatever fix there is.
        units: of the screen that said it; empty for the design's own.
    """
    return _mended(where, lambda report: fix_named(report, finding), said, units)


def fix_applied_to_all(where: Where, group: str, said: str | None = None, units: str = "") -> DesignChange:
    """Make the one fix for all parts of a group of the report, in one step; else as :func:`fix_applied`."""
    return _mended(where, lambda report: fix_of_group(report, group), said, units)


def _mended(where: Where, find: Callable[[Report], Fix], said: str | None, units: str) -> DesignChange:
    def change(design: Design) -> Edit:
        seen = _seen(where, design, units)
        fix = find(seen.report)
        if said is not None and said != seen.words_of(fix):
            raise EditError(
                f"The board has changed since, so nothing was done. What would clear it now: {seen.words_of(fix)}.",
                "finding",
            )
        return apply_fix(design, where.board, where.arrangement, fix, catalogue())

    return change


def _seen(where: Where, design: Design, units: str = "") -> CheckResult:
    board = resolve(design, where.board, where.arrangement, catalogue())
    return judged(replace(board, units=units) if units else board, design)
