"""A row of the catalogue or of a document's hardware list, read field by field and refused with its place."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Final

from app.errors import CatalogueError, GeometryError, LengthError, ModelError
from app.model.limits import HOLES
from app.numbers import finite

LARGEST: Final = 5000.0
"""Largest number in a row where nothing else is said, either side of zero."""

MOST: Final = HOLES.most
"""Most entries in one list of a row; keeps a hostile document from filling the memory."""

_ID = re.compile(r"[a-z0-9][a-z0-9._-]{0,63}")
_MISSING: Final = object()


def shown(value: object) -> str:
    """``value`` for an error message: short, on one line, without control characters."""
    try:
        text = repr(value)
    except (ValueError, RecursionError):  # an integer of too many digits, a list too deep
        return f"a {type(value).__name__} too large to show"
    clean = "".join(c if c.isprintable() else "�" for c in text)
    return clean if len(clean) <= 60 else f"{clean[:60]}…"


@contextmanager
def at(place: str) -> Iterator[None]:
    """Say where a value was that the model refused.

    Raises:
        CatalogueError: instead of the model's error, with ``place`` before its words.
    """
    try:
        yield
    except (ModelError, GeometryError, LengthError) as error:
        raise CatalogueError(f"{place}: {error}") from error


class Row:
    """Fields of one row, each asked for once; what was never asked for is unknown and refused.

    Args:
        row: the table as read from TOML or JSON.
        place: where it stands, as a path like ``hardware[2].flange``.

    Raises:
        CatalogueError: ``row`` is not a table.
    """

    def __init__(self, row: object, place: str) -> None:
        if not isinstance(row, Mapping):
            raise CatalogueError(f"{place}: fields with names are needed, got {shown(row)}. Write them in braces.")
        self.place = place
        self._row: Mapping[object, object] = row
        self._asked: list[str] = []

    def text(self, name: str, longest: int = 200) -> str:
        """A text of 1 to ``longest`` characters on one line."""
        value = self._get(name, _MISSING)
        if not isinstance(value, str) or not value.strip() or len(value) > longest or not value.isprintable():
            raise self.error(name, f"a line of 1 to {longest} characters", value)
        return value

    def id(self, name: str = "id") -> str:
        """A short name: small letters, digits, points and hyphens, up to 64."""
        value = self._get(name, _MISSING)
        if not isinstance(value, str) or not _ID.fullmatch(value):
            raise self.error(name, "a short name of 1 to 64 small letters, digits, points, hyphens or low lines", value)
        return value

    def choice(self, name: str, allowed: tuple[str, ...], default: str | None = None) -> str:
        """One of the ``allowed`` words."""
        value = self._get(name, _MISSING if default is None else default)
        if not isinstance(value, str) or value not in allowed:
            raise self.error(name, f"one of {', '.join(allowed)}", value)
        return value

    def number(
        self,
        name: str,
        low: float = -LARGEST,
        high: float = LARGEST,
        *,
        above: bool = False,
        default: float | None = None,
    ) -> float:
        """A finite number from ``low`` (or above it) to ``high``."""
        value = self._get(name, _MISSING if default is None else default)
        number = finite(value)
        if number is None or not low <= number <= high or (above and number == low):
            span = f"above {low:g}, up to {high:g}" if above else f"from {low:g} to {high:g}"
            raise self.error(name, f"a number {span}", value)
        return number

    def count(self, name: str, high: int, default: int) -> int:
        """A whole number from 0 to ``high``."""
        value = self._get(name, default)
        if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= high:
            raise self.error(name, f"a whole number from 0 to {high}", value)
        return value

    def flag(self, name: str, *, default: bool) -> bool:
        """True or false."""
        value = self._get(name, default)
        if not isinstance(value, bool):
            raise self.error(name, "true or false", value)
        return value

    def table(self, name: str) -> Row:
        """The row inside the field ``name``."""
        value = self._get(name, _MISSING)
        if value is _MISSING:
            raise self.error(name, "a table", value)
        return Row(value, f"{self.place}.{name}")

    def optional(self, name: str) -> Row | None:
        """The row inside the field ``name``; None if the field is missing or null."""
        value = self._get(name, None)
        return None if value is None else Row(value, f"{self.place}.{name}")

    def items(self, name: str, least: int = 1) -> list[tuple[object, str]]:
        """The entries of a list, ``least`` to 64 of them, each with its place; a list of none may be left out."""
        value = self._get(name, () if least == 0 else _MISSING)
        if not isinstance(value, list | tuple) or not least <= len(value) <= MOST:
            raise self.error(name, f"a list of {least} to {MOST} entries", value)
        return [(entry, f"{self.place}.{name}[{i}]") for i, entry in enumerate(value)]

    def done(self) -> None:
        """Refuse fields nobody asked for.

        Raises:
            CatalogueError: there is one.
        """
        for name in self._row:
            if name not in self._asked:
                raise CatalogueError(
                    f"{self.place}: the field {shown(name)} is not known; allowed here are "
                    f"{', '.join(self._asked)}. Correct its name or take it out."
                )

    def error(self, name: str, needed: str, value: object) -> CatalogueError:
        """What to raise when the field ``name`` is not what is needed."""
        if value is _MISSING:
            return CatalogueError(f"{self.place}.{name}: {needed} is needed, but the field is missing. Add it.")
        return CatalogueError(f"{self.place}.{name}: {needed} is needed, got {shown(value)}. Correct it.")

    def _get(self, name: str, default: object) -> object:
        if name not in self._asked:
            self._asked.append(name)
        value = self._row.get(name)
        return default if value is None else value


def point(value: object, place: str) -> tuple[float, float]:
    """A pair of numbers ``[x, y]`` [mm].

    Raises:
        CatalogueError: it is not one.
    """
    pair = [finite(v) for v in value] if isinstance(value, list | tuple) and len(value) == 2 else []
    good = [v for v in pair if v is not None and abs(v) <= LARGEST]
    if len(good) != 2:
        raise CatalogueError(
            f"{place}: two numbers [x, y] from {-LARGEST:g} to {LARGEST:g} mm are needed, "
            f"got {shown(value)}. Correct it."
        )
    return (good[0], good[1])
