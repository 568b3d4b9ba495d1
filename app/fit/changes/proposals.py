"""What may be advised about a finding: changes that were tried as they will be read, with their figures rounded.

A remedy is followed by its words, so a change is tried with the figures as they are said, in millimetres and in
inches; it is advised only if both clear the finding and make nothing else wrong. So the advice is the same in both,
and what a button does is what the words say: nothing here depends on the unit on screen.
"""

from __future__ import annotations

from app.fit.changes.advice import Advice, Maker, Refused, Way
from app.fit.changes.manual_changes import Change, changed_ids
from app.fit.changes.smallest_fix import on_step, smallest_of
from app.fit.changes.trial import Trial
from app.fit.finding import Finding
from app.fit.limits.pair_table import PAIR_RULES
from app.fit.registry import rule_named
from app.fit.words.lengths import are, edge_name, move_steps, names, steps
from app.model.fix import Fix, MoveBy, SwapPart
from app.model.resolved import ResolvedBoard
from app.units import Unit

_TRIES = 6  # changes of one kind that are tried in a unit before it is given up


def advise(trial: Trial, finding: Finding) -> Advice:
    """What may be said about a finding.

    Args:
        trial: the board, to try changes on.
        finding: what is to be cleared.
    """
    ways: list[Way] = []
    refused: Refused | None = None
    rule = rule_named(finding.rule)
    for maker in rule.tries(finding, trial.board, trial.catalogue) if finding.severity != "note" else ():
        way, harm = _tried(trial, finding, maker)
        if way is not None:
            ways.append(way)
        refused = refused or harm
    if finding.detail.toward is not None or (not ways and rule.swapped):
        known = smallest_of(trial, finding, Unit.MM)
        if known is not None and (way := _way_of(trial, finding, known)) is not None:
            ways.append(way)
        elif known is not None and not ways:
            return Advice(trial.board, trial.catalogue)  # there is a way, but not in words that are sure to be enough
    return Advice(trial.board, trial.catalogue, True, tuple(ways), None if ways else refused)


def _tried(trial: Trial, finding: Finding, maker: Maker) -> tuple[Way | None, Refused | None]:
    """The first change in each unit that clears the finding; else what is wrong with the first of all."""
    found: dict[Unit, Change] = {}
    harm: Refused | None = None
    for unit in Unit:
        for change in _variants(maker, unit):
            if harm is not None:
                clears = trial.clears(finding, change)
            else:
                outcome = trial.outcome(finding, change)
                clears = outcome.clears
                harm = _refused(change, outcome.fresh[0], trial.board) if outcome.fresh else None
            if clears:
                found[unit] = change
                break
        if unit not in found:
            return None, harm
    return Way(found[Unit.MM], found[Unit.INCH]), None


def _variants(maker: Maker, unit: Unit) -> list[Change]:
    tried = [change for step in steps(unit) for change in maker(unit, step)]
    return list(dict.fromkeys(tried))[:_TRIES]


def _way_of(trial: Trial, finding: Finding, fix: Fix) -> Way | None:
    """A fix in words: moves with their figures rounded away from zero, another part as it is."""
    if isinstance(fix, SwapPart):
        return Way(fix, fix)
    if not isinstance(fix, MoveBy):
        return None

    def moves(unit: Unit, step: float) -> list[Change]:
        return [on_step(fix, each) for each in move_steps(unit)] if step == steps(unit)[0] else []

    return _tried(trial, finding, moves)[0]


def _refused(change: Change, harm: Finding, board: ResolvedBoard) -> Refused:
    """A change that makes something newly wrong, and what that is."""
    rule = rule_named(harm.rule)
    return Refused(change, rule.harm or _crowded(change, harm, board), not rule.harm)


def _crowded(change: Change, harm: Finding, board: ResolvedBoard) -> str:
    """“B is too near”, “the left edge is too near”."""
    if harm.rule in PAIR_RULES:
        others = [s for s in harm.subjects if s not in (changed_ids(change) or ())]
        if others:
            return f"{names(board, others)} {are(others)} too near"
        return "the parts are too near each other" if len(harm.subjects) > 1 else "its own holes are too near"
    edge = edge_name(board, harm) if harm.detail.edge else ""
    return f"{edge or rule_named(harm.rule).beside} is too near"
