"""Which state of the program this is, so that nothing made by another one is taken for its own."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

import app as program

_COUNTS = frozenset({".py", ".toml"})
"""Endings of what decides how a board is judged and drawn: the code, and the tables of facts and limits."""


@cache
def program_code() -> str:
    """A code of the program's own source and tables: alike wherever the same program runs, on any day."""
    return code_of(Path(program.__file__).parent)


def code_of(folder: Path) -> str:
    """The code of the source and tables in a folder, from their names and what is in them."""
    found = hashlib.sha256()
    for file in sorted(path for path in folder.rglob("*") if path.suffix in _COUNTS):
        held = file.read_bytes()
        found.update(f"{file.relative_to(folder).as_posix()} {len(held)}\n".encode())
        found.update(held)
    return found.hexdigest()[:24]
