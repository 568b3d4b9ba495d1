"""What a proof by reading back has found."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

TOLERANCE: Final = 0.01
"""Largest difference between a file and the model [mm]; choice of this program: less than any line is wide."""

_ONE_AND_MANY: Final = {
    "through": ("through hole", "through holes"),
    "counterbore": ("counterbore", "counterbores"),
    "recess": ("recess", "recesses"),
    "pilot": ("screw pilot", "screw pilots"),
    "opening": ("opening", "openings"),
}


class Proof(Struct, frozen=True):
    """That a file shows what the model asks for.

    Args:
        holes: how many cuts were looked for and found: holes, counterbores, recesses, screw pilots and openings.
        largest: largest difference of a place, a size or a rim [mm].
        pages: how many pages were read; 1 of a drawing.
        reader: what has read the file, in words.
        kinds: how many cuts of each operation there are.
    """

    holes: int
    largest: float
    pages: int
    reader: str
    kinds: tuple[tuple[str, int], ...] = ()

    @property
    def words(self) -> str:
        """The result in a sentence's length: ``42 holes, largest difference 0.00 mm``."""
        return f"{self.holes} {'hole' if self.holes == 1 else 'holes'}, largest difference {self.largest:.2f} mm"

    @property
    def detail(self) -> str:
        """What the holes are, what else was compared, and by what the file was read."""
        kinds = ", ".join(f"{n} {_ONE_AND_MANY[kind][n != 1]}" for kind, n in self.kinds if n)
        return f"{kinds or 'no holes'}, and the outline; read back by {self.reader}"
