"""A board with some of its parts moved, to see what is left of findings and what the moves newly make wrong."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct, field

from app.fit.changes.trial import Trial, cause_key
from app.fit.finding import Finding
from app.fit.report.findings import findings_of
from app.geometry.shapes import Point

Key = tuple[object, ...]
"""What tells a finding from all others of a board."""


def key_of(finding: Finding) -> Key:
    """The rule and cause of a finding, and whom it is about."""
    return (cause_key(finding), finding.subjects)


class Shifted(Struct):
    """Parts moved so far, and what the last judgement found.

    Args:
        trial: the board as it is.
        keys: of the findings that are to be cleared.
        offsets: how far each part is moved, by id [mm].
        fresh: stops and cautions that were new or worse when it was last judged.
    """

    trial: Trial
    keys: frozenset[Key]
    offsets: dict[str, Point] = field(default_factory=dict)
    fresh: tuple[Finding, ...] = ()

    def judged(self) -> tuple[dict[Key, Finding], list[Finding]]:
        """What is left of the findings, and what is new or worse besides; one judgement of the whole board."""
        board = self.trial.board
        places = tuple(p.moved(*self.offsets[p.id]) if p.id in self.offsets else p for p in board.placements)
        now = [f for f in findings_of(board.populated(places), self.trial.catalogue) if f.severity != "note"]
        self.fresh = self.trial.fresh(now)
        left = {key: f for f in now if (key := key_of(f)) in self.keys}
        return left, [f for f in self.fresh if key_of(f) not in left]


def cover(findings: Iterable[Finding], among: Iterable[str]) -> set[str]:
    """Placements of ``among``, so few that each finding is about one of them, if about any; of two the later."""
    free, found = set(among), set[str]()
    for finding in findings:
        mine = [s for s in finding.subjects if s in free]
        if mine and found.isdisjoint(mine):
            found.add(mine[-1])
    return found
