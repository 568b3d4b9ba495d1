"""What a rule found: numbers and subjects; the words are put together elsewhere."""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, Literal, TypeVar

from msgspec import Struct

from app.fit.detail import Detail
from app.geometry.shapes import Point

Severity = Literal["stop", "caution", "note"]
SEVERITIES: tuple[Severity, ...] = ("stop", "caution", "note")

D_co = TypeVar("D_co", bound=Detail, covariant=True)


class FindingOf(Struct, Generic[D_co], frozen=True):
    """Something that cannot be built as drawn, is likely to fail, or is worth knowing.

    Args:
        rule: name of the rule, as ``web``.
        severity: ``stop``, ``caution`` or ``note``.
        subjects: placement ids, most concerned first; empty if the board itself.
        where: the point it is about [mm].
        measured: what there is, worst case [mm]; None where it is no length.
        required: what is needed [mm]; None where it is no length.
        source: where the requirement comes from.
        detail: further values for the words, of the kind that its rule declares.
    """

    rule: str
    severity: Severity
    subjects: tuple[str, ...]
    where: Point
    measured: float | None
    required: float | None
    source: str
    detail: D_co

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


if TYPE_CHECKING:
    Finding = FindingOf[Detail]
else:
    Finding = FindingOf  # the class itself, which can be called and asked for
"""A finding of any rule."""
