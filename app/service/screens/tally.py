"""How many findings are open, in words."""

from __future__ import annotations

from msgspec import Struct

from app.service.checks.checking import CheckResult
from app.service.screens.words import counted


class Tally(Struct, frozen=True):
    """How many open findings of each severity, and the words for it."""

    stops: int
    cautions: int
    notes: int

    @property
    def fits(self) -> bool:
        """Whether nothing stops it and nothing calls for care."""
        return not self.stops and not self.cautions

    @property
    def words(self) -> str:
        """``fits``, or ``1 stop, 2 cautions``."""
        parts = [counted(self.stops, "stop")] if self.stops else []
        parts += [counted(self.cautions, "caution")] if self.cautions else []
        return ", ".join(parts) or "fits"


def tally_of(seen: CheckResult) -> Tally:
    """Counts of a report: only what is open."""
    report = seen.report
    return Tally(len(report.stops), len(report.cautions), len(report.notes))
