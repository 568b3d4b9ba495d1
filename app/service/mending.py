"""Mending a whole group of findings in one step, and accepting a caution or taking that back."""

from __future__ import annotations

from app.arrange.accepting import accept, withdraw
from app.arrange.change import Edit
from app.arrange.fixes import apply_fix
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.fit.accept import accepted_as
from app.service.changes import Change, Where
from app.service.checking import acceptance_named, finding_named, fix_of_group, judged


def mended_all(where: Where, group: str) -> Change:
    """Make the one fix that clears every finding of a group of the report, in one step."""

    def change(design: Design) -> Edit:
        board = resolve(design, where.board, where.arrangement, catalogue())
        fix = fix_of_group(judged(board).report, group)
        return apply_fix(design, where.board, where.arrangement, fix, catalogue())

    return change


def accepted(where: Where, finding: str, reason: str) -> Change:
    """Accept a caution of the report, by its name, as it is on the newest revision."""

    def change(design: Design) -> Edit:
        board = resolve(design, where.board, where.arrangement, catalogue())
        found = finding_named(judged(board).report, finding)
        what = accepted_as(found, reason)
        return accept(design, where.board, where.arrangement, what, found.severity)

    return change


def withdrawn(where: Where, acceptance: str) -> Change:
    """Take an acceptance back, by its name, whether it stands, is awake or is stale."""

    def change(design: Design) -> Edit:
        board = resolve(design, where.board, where.arrangement, catalogue())
        what = acceptance_named(judged(board).report, acceptance)
        return withdraw(design, where.board, where.arrangement, what)

    return change
