"""The fit report: every rule over one board."""

from __future__ import annotations

from dataclasses import dataclass, field

from app.catalogue.load import Catalogue
from app.fit.finding import Finding, Severity
from app.fit.findings import findings_of
from app.fit.fixes import find_fix
from app.model.fix import Fix
from app.model.resolved import ResolvedBoard


@dataclass(frozen=True, slots=True)
class Report:
    """What the rules found on a board.

    Args:
        findings: most severe first, then by rule, then by subject: always in the same order.
        board: the board they are about.
        catalogue: where the rules' defaults stood.
    """

    findings: tuple[Finding, ...]
    board: ResolvedBoard = field(repr=False)
    catalogue: Catalogue = field(repr=False, compare=False)

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What cannot be built as drawn."""
        return self._of("stop")

    @property
    def cautions(self) -> tuple[Finding, ...]:
        """What builds, but is likely to fail or annoy."""
        return self._of("caution")

    @property
    def notes(self) -> tuple[Finding, ...]:
        """What is worth knowing."""
        return self._of("note")

    @property
    def worst(self) -> Severity | None:
        """The gravest severity found; None if nothing was."""
        return self.findings[0].severity if self.findings else None

    def of(self, placement_id: str) -> tuple[Finding, ...]:
        """The findings a placement is a subject of."""
        return tuple(f for f in self.findings if placement_id in f.subjects)

    def fix_for(self, finding: Finding) -> Fix | None:
        """The smallest change that clears a finding and adds none; worked out only when asked for."""
        return find_fix(self.board, self.catalogue, finding, self.findings)

    def _of(self, severity: Severity) -> tuple[Finding, ...]:
        return tuple(f for f in self.findings if f.severity == severity)


def check(board: ResolvedBoard, catalogue: Catalogue) -> Report:
    """Every rule over the board's drilled placements.

    Placements that are not drilled are in no rule. The same board gives the same report, whatever the
    order its placements stand in.
    """
    return Report(findings_of(board, catalogue), board, catalogue)
