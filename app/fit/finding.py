"""What a rule found: numbers and subjects; the words are put together elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from app.geometry.shapes import Point
from app.model.fix import Fix

Severity = Literal["stop", "caution", "note"]
SEVERITIES: tuple[Severity, ...] = ("stop", "caution", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that cannot be built as drawn, is likely to fail, or is worth knowing.

    Args:
        rule: name of the rule, as ``web``.
        severity: ``stop``, ``caution`` or ``note``.
        subjects: placement ids, most concerned first; empty if the board itself.
        where: the point it is about [mm].
        measured: what there is, worst case [mm]; None where it is no length.
        required: what is needed [mm]; None where it is no length.
        source: where the requirement comes from.
        fix: the smallest change that clears it, if a machine can make it.
        detail: further values for the words, as ``{"edge": "left"}``.
    """

    rule: str
    severity: Severity
    subjects: tuple[str, ...]
    where: Point
    measured: float | None
    required: float | None
    source: str
    fix: Fix | None = None
    detail: Mapping[str, float | str] = field(default_factory=dict)

    @property
    def margin(self) -> float | None:
        """Measured less required [mm]; negative by how much is missing; None where it is no length."""
        if self.measured is None or self.required is None:
            return None
        return self.measured - self.required

    @property
    def lack(self) -> float:
        """How far from what is needed [mm]: too little or too much; 0 where it is no length."""
        return abs(self.margin or 0.0)
