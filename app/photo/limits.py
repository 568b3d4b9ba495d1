"""How large a photograph may be."""

from __future__ import annotations

from typing import Final

LARGEST: Final = 50_000_000
"""Pixels that are unpacked: four times those of a usual phone; a picture of so many takes 350 MB to work on."""

SMALLEST: Final = 500
"""Pixels along the shorter side below which nobody can measure a board."""

MOST_BYTES: Final = 10_000_000
"""Bytes of a file, as of every file that is sent."""
