"""How a command ends: its exit codes, and what it says of a file that it wrote."""

from __future__ import annotations

from pathlib import Path
from typing import Final

DONE: Final = 0
"""It is done; of ``check``, nothing stops the design."""

STOPS: Final = 1
"""``check`` found stops, ``compare`` something different, ``bring`` new stops; or ``--strict`` kept a file of a board
that cannot be built from being written."""

FAILED: Final = 2
"""Something could not be read, made or written, as is said."""


def wrote(path: Path) -> int:
    """Say that a file was written; gives the exit code."""
    print(f"Wrote {path}")
    return DONE
