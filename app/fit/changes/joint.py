"""One change for all that one cause ails: tried on the whole board, and for those left out whom it does not mend.

What is done to parts together (a counterbore, another part) is tried for all of them at once; parts for which it does
harm are left out, and the rest is tried again. Moves are tried by :mod:`app.fit.changes.joint_moves`. The number of
judgements
of the board is bounded, however many parts there are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from msgspec import Struct

from app.fit.changes.advice import Single
from app.fit.changes.candidates import candidates
from app.fit.changes.changed_board import with_fix
from app.fit.changes.joint_moves import moves_for
from app.fit.changes.moved_board import key_of
from app.fit.changes.trial import Trial, still
from app.fit.finding import Finding
from app.fit.report.findings import findings_of
from app.model.fix import BuyBit, Fix, MoveBy, Remake, SeveralFixes, SwapPart
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.values import replace

Said = Callable[[Finding], Iterable[Fix]]
"""Changes that a finding's remedy says, which are tried first."""

_TRIES = 24  # judgements of the whole board for what is not a move
_ROUNDS = 4  # times that parts are left out of a change, because it does them harm


class Joint(Struct, frozen=True):
    """One change for several parts.

    Args:
        fix: what is done, as one step.
        stays: placements with which something is left of what it is for, each once, in the findings' order.
    """

    fix: Fix
    stays: tuple[str, ...] = ()


class _Made(Struct):
    """What is made so far, the board as it leaves it, and how many judgements are left."""

    board: ResolvedBoard
    now: tuple[Finding, ...]
    steps: list[Single]
    tries: int = _TRIES


def joint(trial: Trial, findings: Sequence[Finding], said: Said = lambda _: ()) -> Joint | None:
    """One change that clears as many of ``findings`` as can be, and adds no stop and no caution; None if there is none.

    Each is mended on the board as the changes before it leave it, so that what mends two is made once.

    Args:
        trial: the board they were found on.
        findings: of one cause.
        said: changes that remedies say.
    """
    steps: list[Single] = list(moves_for(trial, findings))
    board = with_fix(trial.board, SeveralFixes(tuple(steps)), trial.catalogue)
    made = _Made(board, findings_of(board, trial.catalogue) if steps else trial.before, steps)
    tried = set[tuple[object, ...]]()
    waiting = _left_of(findings, made.now)
    while waiting:
        (finding, left), *waiting = waiting
        tried.add(key_of(finding))
        if _mend(trial, made, _merged(made.board, left, made.now), said(finding)):
            waiting = [pair for pair in _left_of(findings, made.now) if key_of(pair[0]) not in tried]
    if not made.steps:
        return None
    parts = _joined(made.steps)
    stays = dict.fromkeys(s for _, f in _left_of(findings, made.now) for s in f.subjects)
    return Joint(parts[0] if len(parts) == 1 else SeveralFixes(parts), tuple(stays))


def _left_of(findings: Sequence[Finding], now: Sequence[Finding]) -> list[tuple[Finding, Finding]]:
    """Each finding that is not cleared, and what is left of it, with the parts it is left with."""
    known = {key_of(f): f for f in now if f.severity != "note"}
    found: list[tuple[Finding, Finding]] = []
    for finding in findings:
        if len(finding.subjects) > 1 and finding.detail.cause:  # of all placements of one part
            found += [(finding, left) for left in still(finding, now)]
        elif key_of(finding) in known:
            found.append((finding, known[key_of(finding)]))
    return found


def _merged(board: ResolvedBoard, finding: Finding, now: Sequence[Finding]) -> Finding:
    """What ails several placements of one part, each by itself, as one finding: the worst, about all of them."""
    if len(finding.subjects) != 1:
        return finding

    def seat(one: str) -> tuple[object, ...]:
        placed = board.placed(one)
        return (placed.part.id, placed.counterbore, placed.recess) if placed else (one,)

    mine, cause = seat(finding.subjects[0]), key_of(finding)[0]
    alike = [
        f
        for f in now
        if f.severity != "note" and len(f.subjects) == 1 and key_of(f)[0] == cause and seat(f.subjects[0]) == mine
    ]
    worst = max(alike, key=lambda f: f.lack)
    return replace(worst, subjects=tuple(dict.fromkeys(f.subjects[0] for f in alike)))


def _mend(trial: Trial, made: _Made, finding: Finding, said: Iterable[Fix]) -> bool:
    """Make the first change that mends a finding for all its parts; else the one that fails for the fewest of them."""
    best: tuple[Fix, set[str]] | None = None
    for change in _changes(trial, finding, said):
        if made.tries <= 0:
            break
        bad = _tried(trial, made, finding, change)
        if bad is not None and not bad:
            return True
        if bad and (best is None or len(bad) < len(best[1])):
            best = change, bad
    return best is not None and not isinstance(best[0], BuyBit) and _narrowed(trial, made, finding, *best)


def _narrowed(trial: Trial, made: _Made, finding: Finding, change: Fix, bad: set[str]) -> bool:
    """Make a change without the parts that it does harm to, or does not mend."""
    for _ in range(_ROUNDS):
        ids = tuple(s for s in finding.subjects if s not in bad)
        if not ids or made.tries <= 0:
            return False
        more = _tried(trial, made, replace(finding, subjects=ids), _about(change, ids))
        if not more:
            return more is not None
        bad = bad | more
    return False


def _tried(trial: Trial, made: _Made, finding: Finding, change: Fix) -> set[str] | None:
    """The subjects for which a change fails; with none, it is made. None where it harms what is none of them."""
    made.tries -= 1
    after = with_fix(made.board, change, trial.catalogue)
    now = findings_of(after, trial.catalogue)
    bad = {s for f in still(finding, now) for s in f.subjects}
    for harm in trial.fresh(now):
        mine = [s for s in harm.subjects if s in finding.subjects]
        if not mine:
            return None
        if bad.isdisjoint(mine):
            bad.add(mine[-1])
    if not bad:
        made.board, made.now = after, now
        if isinstance(change, SeveralFixes):
            made.steps += change.fixes
        elif not isinstance(change, Remake):
            made.steps.append(change)
    return bad


def _changes(trial: Trial, finding: Finding, said: Iterable[Fix]) -> Iterator[Fix]:
    """Changes of several parts at once that may clear a finding: first what its remedy says."""
    for fix in said:
        if not isinstance(fix, MoveBy | Remake):  # what one maker makes is made anew by itself
            yield _about(fix, finding.subjects)
    still_standing = replace(finding, detail=replace(finding.detail, toward=None))
    yield from candidates(trial, still_standing, Unit(trial.board.units))


def _about(fix: Fix, ids: tuple[str, ...]) -> Fix:
    """The same change at other placements."""
    if isinstance(fix, SeveralFixes):
        return SeveralFixes(
            tuple(step if isinstance(step, BuyBit | MoveBy) else replace(step, placements=ids) for step in fix.fixes)
        )
    return fix if isinstance(fix, BuyBit | MoveBy | Remake) else replace(fix, placements=ids)


def _joined(steps: Sequence[Single]) -> tuple[Single, ...]:
    """Counterbores and recesses of one size, and exchanges for one part, as one change each."""
    if len({type(step) is SwapPart for step in steps}) > 1:
        return tuple(steps)  # an exchange takes a counterbore away, so the order counts
    found: dict[object, Single] = {}
    for step in steps:
        if isinstance(step, MoveBy | BuyBit):
            found[step, len(found)] = step
            continue
        size = replace(step, placements=())
        other = found.get(size)
        before = () if other is None or isinstance(other, MoveBy | BuyBit) else other.placements
        found[size] = replace(step, placements=tuple(dict.fromkeys((*before, *step.placements))))
    return tuple(found.values())
