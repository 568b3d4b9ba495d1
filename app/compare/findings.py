"""What the rules found in one of two designs only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from app.compare.boards import DesignPair
from app.compare.change import FindingChange
from app.document.resolve import resolve
from app.document.schema import Design
from app.fit.finding import SEVERITIES, Finding
from app.fit.report.acceptance import cause_of
from app.fit.report.report import Report, check
from app.fit.words.messages import message
from app.model.resolved import ResolvedBoard
from app.units import Unit

_Key = tuple[str, str, tuple[str, ...], str]


def finding_changes(pair: DesignPair) -> tuple[FindingChange, ...]:
    """What the rules found in one design only, gained first, the most severe first.

    A finding is the same if its rule, its severity and what it is about are: its figure may be another.

    Raises:
        DocumentError: a board cannot be put together.
    """
    before, after = dict(_boards(pair.before, pair)), dict(_boards(pair.after, pair))
    found: list[FindingChange] = []
    for key in (*after, *(k for k in before if k not in after)):
        old, new = before.get(key), after.get(key)
        if old == new:  # nothing that a rule looks at is another
            continue
        was, now = (None if board is None else check(board, pair.catalogue) for board in (old, new))
        found += _only_in(now, was, pair.unit, gained=True)
        found += _only_in(was, now, pair.unit, gained=False)
    return tuple(sorted(found, key=lambda f: (not f.gained, SEVERITIES.index(f.severity))))


def _boards(design: Design, pair: DesignPair) -> Iterator[tuple[tuple[str, str], ResolvedBoard]]:
    for board in design.boards:
        for arrangement in board.arrangements:
            yield (board.id, arrangement.id), resolve(design, board.id, arrangement.id, pair.catalogue)


def _only_in(here: Report | None, there: Report | None, unit: Unit, *, gained: bool) -> Iterator[FindingChange]:
    """Findings of a report that the other has not, or has fewer of."""
    if here is None:
        return
    left = Counter(map(_key, there.open if there else ()))
    for finding in here.open:
        key = _key(finding)
        if left[key] > 0:
            left[key] -= 1
            continue
        board = here.board
        yield FindingChange(
            gained, board.name, board.arrangement_name, finding.severity, finding.rule,
            message(finding, board, unit), finding.subjects,
        )  # fmt: skip


def _key(finding: Finding) -> _Key:
    return finding.rule, finding.severity, tuple(sorted(finding.subjects)), cause_of(finding)


def subjects_of(changes: Iterable[FindingChange]) -> frozenset[str]:
    """Ids of the placements that some findings are about."""
    return frozenset(i for change in changes for i in change.placements)
