"""What a finding says, in sentences a builder would say, in display units."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice
from app.fit.finding import Finding
from app.fit.registry import rule_named
from app.fit.report.acceptance import is_factor
from app.fit.report.report import Report
from app.fit.words.changes import bore_size, legend_words, recess_size, rewired_words, sentence
from app.fit.words.lengths import names, off, say, side_words, sold
from app.fit.words.remakes import remade
from app.fit.words.strength import factor_words
from app.model.accepted import Accepted
from app.model.fix import BuyBit, CounterboreAt, Fix, LegendTo, MoveBy, RecessAt, Remake, Rewire, SeveralFixes
from app.model.resolved import ResolvedBoard
from app.model.tooling import kind_words
from app.units import Unit

_STEPS_SAID = 3  # changes of one fix that are named before “2 more”


def message(finding: Finding, board: ResolvedBoard, unit: Unit) -> str:
    """What is wrong, with what there is and what is needed."""
    return rule_named(finding.rule).message(finding, board, unit)


def remedy(finding: Finding, report: Report, unit: Unit, *, tried: bool = True) -> str:
    """What the builder can do about it.

    Args:
        finding: one of the report's.
        report: on whose board ways out are tried, so that what is said also works.
        unit: to say it in.
        tried: whether there is time for that; if not, the words promise nothing.
    """
    advice = report.advice_for(finding) if tried else Advice(report.board, report.catalogue)
    return rule_named(finding.rule).remedy(finding, advice, unit)


def figure_words(accepted: Accepted, unit: Unit) -> str:
    """The figure that was accepted, as “4.5 mm” or “2.9 times the load”; empty where there is none."""
    if accepted.measured is None:
        return ""
    if is_factor(accepted.rule):
        return f"{factor_words(accepted.measured)} {rule_named(accepted.rule).times}"
    return say(accepted.measured, unit)


def fix_label(fix: Fix, board: ResolvedBoard, unit: Unit, catalogue: Catalogue | None = None) -> str:
    """What a fix does, for the button that does it; with the catalogue, another part is called by its name."""
    if isinstance(fix, SeveralFixes):
        moves = [step for step in fix.fixes if isinstance(step, MoveBy)]
        others = [fix_label(step, board, unit, catalogue) for step in fix.fixes if not isinstance(step, MoveBy)]
        said = _moves_label(moves, board, unit) + others[:_STEPS_SAID]
        more = len(others) - _STEPS_SAID
        return "; ".join([*said, f"{more} more"] if more > 0 else said)
    if isinstance(fix, MoveBy):
        return f"Move {names(board, [fix.placement])} {side_words(fix.dx, fix.dy, unit)}"
    if isinstance(fix, CounterboreAt):
        return f"Counterbore {names(board, fix.placements)}: {bore_size(fix, board, unit)}"
    if isinstance(fix, RecessAt):
        return f"Recess {names(board, fix.placements)}: {recess_size(fix, board, unit)}"
    if isinstance(fix, BuyBit):
        return f"Add a {sold(fix.diameter, unit)} {kind_words(fix.kind)} bit"
    if isinstance(fix, Remake):
        return sentence([remade(fix, board, unit)]).removesuffix(".")
    if isinstance(fix, LegendTo):
        what = legend_words(fix, names(board, fix.placements), unit)
        return f"{what[:1].upper()}{what[1:]}"
    if isinstance(fix, Rewire):
        words = rewired_words(fix, board, catalogue)
        return f"{words[:1].upper()}{words[1:]}"
    part = catalogue.parts.get(fix.part) if catalogue else None
    return f"Use “{part.name if part else fix.part}” for {names(board, fix.placements)}"


def _moves_label(moves: Sequence[MoveBy], board: ResolvedBoard, unit: Unit) -> list[str]:
    """Moves in words: those that go alike as one; of too many different ones, how far they go at most."""
    alike: dict[str, list[str]] = {}
    for move in moves:
        alike.setdefault(side_words(move.dx, move.dy, unit), []).append(move.placement)
    if len(alike) <= _STEPS_SAID:
        return [f"Move {names(board, ids)} {way}" for way, ids in alike.items()]
    furthest = max(math.hypot(move.dx, move.dy) for move in moves)
    return [f"Move {names(board, [m.placement for m in moves])}, up to {off(furthest, unit)} each"]
