"""Tables of the catalogue by the ids of their rows: a table is read when it is first asked for, a row when it is.

A command that looks at one board needs few of the rows, and none of some tables.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Generic, TypeVar

import rtoml
from propcache.api import cached_property

from app.errors import CatalogueError

T = TypeVar("T")


class CatalogueTable(Mapping[str, T], Generic[T]):
    """The rows of one or several files by id, in the order they stand there.

    Args:
        files: of one sort of rows.
        name: what that sort is called in the files.
        read: makes what a row describes, given the row and its place.
        more: what is in no file, after it.

    Raises:
        CatalogueError: with the file and the place, when what cannot be read is asked for.
    """

    def __init__(
        self, files: Sequence[Path], name: str, read: Callable[[object, str], T], more: Mapping[str, T] | None = None
    ) -> None:
        self._files, self._name, self._read, self._more = files, name, read, dict(more or {})
        self._made = dict(self._more)  # grows, while other threads read the rows

    @cached_property
    def _rows(self) -> dict[str, tuple[object, str]]:
        """Each row with its place."""
        found: dict[str, tuple[object, str]] = {}
        for row, place in (pair for file in self._files for pair in rows_of(file, self._name)):
            named = row.get("id") if isinstance(row, dict) else None
            if not isinstance(named, str):
                self._read(row, place)  # says what is wrong
            if named in found:
                raise CatalogueError(f"The catalogue has “{named}” twice. Rename one of the rows.")
            found[str(named)] = row, place
        return found | dict.fromkeys(self._more, (None, ""))

    def __getitem__(self, key: str) -> T:
        if key in self._made:
            return self._made[key]
        return self._made.setdefault(key, self._read(*self._rows[key]))

    def __contains__(self, key: object) -> bool:
        return key in self._rows

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)


def rows_of(file: Path, name: str) -> list[tuple[object, str]]:
    """The rows of a file, each with its place.

    Raises:
        CatalogueError: it cannot be read, or holds anything else.
    """
    try:
        content = rtoml.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise CatalogueError(f"{file.name}: the table cannot be read ({error}). Install Holewise again.") from error
    rows = content.get(name)
    if not isinstance(rows, list) or len(content) != 1:
        allowed = f"only a list of [[{name}]] is allowed"
        raise CatalogueError(f"{file.name}: {allowed}, got {', '.join(content) or 'nothing'}.")
    return [(row, f"{file.name} {name}[{i}]") for i, row in enumerate(rows)]
