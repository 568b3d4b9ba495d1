"""What came of trial cuts in scrap: how a part went in, and how wide the cut was measured, by bit and part."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final, Literal

from msgspec import Struct

from app.model.tooling import Bit, BitKind
from app.values import replace

TrialFit = Literal["tight", "right", "loose"]
FITS: Final[tuple[TrialFit, ...]] = ("tight", "right", "loose")
TrialSort = Literal["hole", "counterbore", "recess", "screw pilot", "rail joint"]

TrialKey = tuple[str, str, str, float]
"""What was cut, for which part, with which kind of bit (empty for none), and how wide the bit is sold [mm]."""


class CouponTrial(Struct, frozen=True):
    """A trial cut, and what came of it.

    Args:
        sort: what was cut, or joined.
        part: id of the hardware that was tried in it; empty of a joint.
        kind: of the bit that made it; empty where none was listed.
        diameter: of that bit, or as wide as it was to be without one [mm].
        fit: how the part went in; empty where nobody said.
        measured: how wide it came out [mm]; None where nobody measured.
        material: what it was cut in, in words.
        when: date and time, as ``2026-02-01T10:30:00Z``; empty if not told.
    """

    sort: TrialSort
    part: str
    kind: BitKind | Literal[""]
    diameter: float
    fit: TrialFit | Literal[""] = ""
    measured: float | None = None
    material: str = ""
    when: str = ""

    @property
    def key(self) -> TrialKey:
        """Which it is: of two with one key the later counts."""
        return self.sort, self.part, self.kind, round(self.diameter, 6)

    @property
    def day(self) -> str:
        """``27 Nov 2026``; empty if it was not told."""
        try:
            day = date.fromisoformat(self.when[:10])
        except ValueError:
            return ""
        return f"{day.day} {day:%b %Y}"

    def is_by(self, bit: Bit) -> bool:
        """Whether a bit made it: one of its kind and width."""
        return self.kind == bit.kind and abs(self.diameter - bit.diameter) < 1e-6


def by_key(trials: Iterable[CouponTrial]) -> Mapping[TrialKey, CouponTrial]:
    """Trials by what they are of, the later of two alike."""
    return {trial.key: trial for trial in trials}


def measured_bits(bits: Iterable[Bit], trials: Iterable[CouponTrial]) -> tuple[Bit, ...]:
    """Bits with how wide a hole each makes, where one was measured: of several for one bit the latest counts."""
    found: dict[tuple[str, float], CouponTrial] = {}
    for trial in trials:
        if trial.sort == "hole" and trial.measured is not None and trial.kind:
            key = (trial.kind, round(trial.diameter, 6))
            if key not in found or found[key].when <= trial.when:
                found[key] = trial
    if not found:
        return tuple(bits)

    def tried(bit: Bit) -> Bit:
        trial = found.get((bit.kind, round(bit.diameter, 6)))
        return bit if trial is None else replace(bit, measured=trial.measured)

    return tuple(map(tried, bits))
