"""The key of a sheet: what is too long to stand where it belongs has a number there, and is read in a list."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from app.drafting.template.pattern_marks import CentreMark

Words = tuple[str, ...]

_SHORT: Final = 10  # letters of a size, as 25.4 mm; what is longer is told once


class WordKey:
    """Numbers in brackets and what they stand for.

    What is drilled has one number on all sheets of a template; what only one sheet has to say is numbered after
    that, from sheet to sheet, so that no number means two things. Only what is used on the sheet is listed.

    Args:
        works: number of each kind of work, as :func:`works_of` gives it.
        first: the number for the first thing only this sheet says.
    """

    def __init__(self, works: Mapping[Words, int], first: int) -> None:
        self._works = works
        self._listed: dict[int, str] = {}
        self._loose: list[str] = []
        self._next = first
        self._numbered = False

    @property
    def numbered(self) -> bool:
        """Whether the sheet was told the number of anything only it says: if not, it is the same whatever is free."""
        return self._numbered

    @property
    def next(self) -> int:
        """The number that is free for the next sheet."""
        return self._next

    def tag(self, lines: Words) -> str:
        """The number that stands for what is drilled; nothing is listed yet."""
        return _tag(self._works[lines])

    def use(self, lines: Words) -> None:
        """List what is drilled."""
        self._listed[self._works[lines]] = ", ".join(lines)

    def said(self, mark: CentreMark) -> str:
        """All that is written beside a hole, on one line; what takes long to say by its number, which is listed."""
        words = ", ".join(mark.lines)
        if len(words) <= _SHORT:
            return ", ".join((mark.letter, words)) if mark.letter else words
        self.use(mark.lines)
        return f"{mark.letter} {self.tag(mark.lines)}".strip()

    @property
    def next_tag(self) -> str:
        """The number the next :meth:`further` words get."""
        self._numbered = True
        return _tag(self._next)

    def further(self, words: str) -> None:
        """List words under the next number."""
        self._numbered = True
        self._listed[self._next] = words
        self._next += 1

    def loose(self, words: str) -> None:
        """List words that need no number: they say themselves what they are about."""
        self._loose.append(words)

    @property
    def entries(self) -> tuple[str, ...]:
        """The lines of the list, by number, then those without one."""
        return (*(f"{_tag(number)} {self._listed[number]}" for number in sorted(self._listed)), *self._loose)


def works_of(marks: Iterable[CentreMark]) -> dict[Words, int]:
    """A number from 1 for each different thing written beside holes, in the order of the holes."""
    found: dict[Words, int] = {}
    for mark in marks:
        found.setdefault(mark.lines, len(found) + 1)
    return found


def _tag(number: int) -> str:
    return f"[{number}]"
