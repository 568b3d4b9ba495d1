"""How a curve is plotted: the spacing of its ordinates, and what the builder's rule reads."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.errors import LengthError
from app.units import INCH, Unit

READINGS: Final[dict[Unit, tuple[float, ...]]] = {
    Unit.MM: (1.0, 0.5),
    Unit.INCH: (INCH / 16, INCH / 32, INCH / 64),
}
"""What rules of either unit are divided in, the coarsest first [mm]."""

SPACINGS: Final[dict[Unit, tuple[float, ...]]] = {
    Unit.MM: (5.0, 10.0, 20.0),
    Unit.INCH: (INCH / 4, INCH / 2, INCH),
}
"""Spacings to choose from [mm]."""

_SAME = 1e-6
_LEAST, _MOST = 2.0, 200.0  # a spacing that anybody can tell apart, and that still shows a curve [mm]


class Plotting(Struct, frozen=True):
    """How a curve is plotted.

    Args:
        unit: unit of the rule.
        spacing: between two ordinates, a whole number of readings [mm].
        reading: what the rule is divided in, one of ``READINGS`` [mm].

    Raises:
        LengthError: no rule is divided so, or the spacing is none that can be read on it.
    """

    unit: Unit
    spacing: float
    reading: float

    def __post_init__(self) -> None:
        if self.reading not in READINGS[self.unit]:
            raise LengthError(f"No rule is read to {self.reading:g} mm in {self.unit.value}. Choose one from the list.")
        parts = self.spacing / self.reading
        if not _LEAST <= self.spacing <= _MOST or abs(parts - round(parts)) > _SAME:
            raise LengthError(
                f"A spacing of {self.spacing:g} mm cannot be used; it is a whole number of what the rule reads, "
                f"{self.reading:g} mm, and from {_LEAST:g} to {_MOST:g} mm. Choose another."
            )

    @classmethod
    def usual(cls, unit: Unit) -> Plotting:
        """10 mm read to 0.5 mm, or 1/2 in read to 1/32 in."""
        return cls(unit, SPACINGS[unit][1], READINGS[unit][1])

    @property
    def readings(self) -> tuple[float, ...]:
        """What may be read: as asked, then finer [mm]."""
        return tuple(reading for reading in READINGS[self.unit] if reading <= self.reading)
