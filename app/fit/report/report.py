"""The fit report: every rule over one board. What is told besides is imported once it is asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeVar, cast

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice
from app.fit.features.heaps import HEAP
from app.fit.finding import Finding, Severity
from app.fit.report.acceptance import Acceptance, AcceptedFinding, stand
from app.fit.report.findings import findings_of
from app.model.accepted import Accepted
from app.model.fix import Fix
from app.model.resolved import ResolvedBoard
from app.units import Unit

if TYPE_CHECKING:
    from app.fit.changes.joint import Joint
    from app.fit.changes.trial import Remaking, Trial
    from app.fit.report.groups import FindingGroup
    from app.fit.report.tightest import Tightest

T = TypeVar("T")

MOST_TRIED = 12
"""Findings of a report for which ways out are tried before somebody asks: each takes some thousandths of a second."""

_FULL = 750
"""Parts up to which so many are tried; among more each takes longer, so fewer are, but ``_LEAST``."""

_LEAST = 3


@dataclass(frozen=True, slots=True)
class Report:
    """What the rules found on a board.

    A caution that the builder accepted, and that is no worse than it was then, is *accepted*; everything else
    is *open*. Stops, cautions and notes count only what is open.

    Args:
        findings: all, most severe first, then by rule, then by subject: always in the same order.
        board: the board they are about.
        catalogue: where the rules' defaults stood.
        acceptance: what has become of everything accepted.
        known: what was worked out so far, so that it is worked out once.
        remade: the board with what a maker made on it made anew; None where that is not tried.
    """

    findings: tuple[Finding, ...]
    board: ResolvedBoard = field(repr=False)
    catalogue: Catalogue = field(repr=False, compare=False)
    acceptance: Acceptance = field(default=Acceptance())
    known: dict[tuple[str, int], object] = field(default_factory=dict, repr=False, compare=False)
    remade: Remaking | None = field(default=None, repr=False, compare=False)

    @property
    def accepted(self) -> tuple[AcceptedFinding, ...]:
        """Findings accepted as they are, each with its acceptance."""
        return tuple(s for s in self.acceptance.standings if not s.awake)

    @property
    def woken(self) -> tuple[AcceptedFinding, ...]:
        """Findings once accepted that are worse now, and so open again."""
        return tuple(s for s in self.acceptance.standings if s.awake)

    @property
    def stale(self) -> tuple[Accepted, ...]:
        """Acceptances of what is no longer there."""
        return self.acceptance.stale

    @property
    def open(self) -> tuple[Finding, ...]:
        """The findings that are not accepted."""
        asleep = {id(s.finding) for s in self.accepted}
        return tuple(f for f in self.findings if id(f) not in asleep) if asleep else self.findings

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What cannot be built as drawn."""
        return self._of("stop")

    @property
    def cautions(self) -> tuple[Finding, ...]:
        """What builds, but is likely to fail or annoy, and is not accepted."""
        return self._of("caution")

    @property
    def notes(self) -> tuple[Finding, ...]:
        """What is worth knowing."""
        return self._of("note")

    @property
    def has_heap(self) -> bool:
        """Whether so many parts stand on one that they are told as one finding."""
        if ("heap", 0) not in self.known:
            self.known["heap", 0] = any(f.detail.cause == HEAP for f in self.findings)
        return bool(self.known["heap", 0])

    @property
    def worst(self) -> Severity | None:
        """The gravest severity that is open; None if nothing is."""
        found = self.open
        return found[0].severity if found else None

    def standing(self, finding: Finding) -> AcceptedFinding | None:
        """The acceptance a finding falls under, and whether it is awake; None if it was never accepted."""
        return next((s for s in self.acceptance.standings if s.finding is finding), None)

    def of(self, placement_id: str) -> tuple[Finding, ...]:
        """The findings a placement is a subject of."""
        return tuple(f for f in self.findings if placement_id in f.subjects)

    def groups(self, unit: Unit, *, tried: bool = True) -> tuple[FindingGroup, ...]:
        """What is open, grouped by cause, the most severe first; titles advise only if ways out are ``tried``."""
        from app.fit.report.groups import grouped

        mends: Callable[[Finding], bool] = lambda finding: bool(self.advice_for(finding).ways)  # noqa: E731
        return grouped(self.open, self.board, unit, mends if tried else None)

    def fix_for(self, finding: Finding) -> Fix | None:
        """The smallest change that clears a finding and adds none; worked out only when asked for.

        Where a remedy was tried, it is the first of its words that a machine can make, with the figures that are said.
        None while there is a heap: each change would be judged among all that is in it.
        """
        from app.fit.changes.smallest_fix import fix_of

        if self.has_heap:
            return None
        said = self.said_for(finding)
        return said[0] if said else self._once("fix", finding, lambda: fix_of(self._trial(), finding))

    def advice_for(self, finding: Finding) -> Advice:
        """What may be said about a finding: ways that were tried, as they are said; worked out once.

        Ways are tried for the first ``MOST_TRIED`` findings only, the gravest, and for none that is a mere note: each
        takes several reports about a few parts. For others nothing is promised, nor while there is a heap.
        """
        if self.has_heap or finding.severity == "note" or finding not in self.findings[: self._most_tried]:
            return Advice(self.board, self.catalogue)
        from app.fit.changes.proposals import advise

        return self._once("advice", finding, lambda: advise(self._trial(), finding))

    def fix_for_all(self, group: FindingGroup) -> Joint | None:
        """One change for all parts of a group, and for whom it does not do; None where it would clear nothing.

        It was tried on the whole board and adds no stop and no caution. It takes some dozen judgements of the board at
        most, however many parts there are. None while there is a heap.
        """
        from app.fit.changes.joint import Joint, joint

        if self.has_heap:
            return None
        if len(group.findings) == 1 and (fix := self.fix_for(group.findings[0])) is not None:
            return Joint(fix)
        return joint(self._trial(), group.findings, self.said_for)

    def said_for(self, finding: Finding) -> tuple[Fix, ...]:
        """What a remedy says, where a machine can make it and it was tried: no more work once that is worked out."""
        unit = Unit(self.board.units)
        return tuple(fix for way in self.advice_for(finding).ways if (fix := way.made(unit)) is not None)

    @property
    def tried(self) -> bool:
        """Whether it is no more work to try ways out: every one was tried, or there is none to try."""
        first = enumerate(self.findings[: self._most_tried])
        return self.has_heap or all(f.severity == "note" or ("advice", index) in self.known for index, f in first)

    @property
    def _most_tried(self) -> int:
        many = len(self.board.placements)
        return MOST_TRIED if many <= _FULL else max(_LEAST, MOST_TRIED * _FULL // many)

    def _trial(self) -> Trial:
        from app.fit.changes.trial import Trial

        trial = self.known.setdefault(("trial", 0), Trial(self.board, self.catalogue, self.findings, self.remade))
        return cast("Trial", trial)

    def _once(self, what: str, finding: Finding, work: Callable[[], T]) -> T:
        if finding not in self.findings:
            return work()
        key = (what, self.findings.index(finding))
        if key not in self.known:
            self.known[key] = work()
        return cast("T", self.known[key])

    def tightest(self) -> tuple[Tightest, ...]:
        """How many pairs of what were judged, and the tightest of each; worked out only when asked for."""
        from app.fit.report.tightest import tightest

        return tightest(self.board, self.catalogue)

    def _of(self, severity: Severity) -> tuple[Finding, ...]:
        return tuple(f for f in self.open if f.severity == severity)


def check(board: ResolvedBoard, catalogue: Catalogue, remade: Remaking | None = None) -> Report:
    """Every rule over the board's drilled placements.

    Args:
        board: the board.
        catalogue: where the rules' defaults stand.
        remade: the board with what a maker made on it made anew, to try ways out; None to try none of these.

    Placements that are not drilled are in no rule. The same board gives the same report, whatever the
    order its placements stand in.
    """
    findings = findings_of(board, catalogue)
    return Report(findings, board, catalogue, stand(findings, board.accepted), remade=remade)
