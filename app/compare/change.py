"""A change between two designs, as a list or a page says it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Literal

from msgspec import Struct

from app.compare.difference import Difference, Path
from app.fit.finding import Severity

ChangeKind = Literal["new", "gone", "moved", "resized", "renamed", "changed"]


class Change(Struct, frozen=True):
    """One thing that is different, in words.

    Args:
        kind: it is ``new`` or ``gone``, ``moved``, ``resized``, ``renamed``, or ``changed`` in another way.
        board: name of the board it is on; empty if it is of the whole design.
        arrangement: name of the arrangement it is in; empty if it is of the whole board.
        what: the letter of a part, or what else it is, as a sentence begins with it.
        words: what became of it, as the sentence goes on.
        before, after: what was there, and what is; empty where there is nothing to set side by side.
        dx, dy: how far it moved, to the right and to the back [mm].
        covers: the differences that it tells of, or comes from.
        placements: ids of the placements it is about.
        board_id, arrangement_id: ids of the board and the arrangement; empty as their names are.
    """

    kind: ChangeKind
    board: str
    arrangement: str
    what: str
    words: str
    before: str = ""
    after: str = ""
    dx: float = 0.0
    dy: float = 0.0
    covers: tuple[Difference, ...] = ()
    placements: tuple[str, ...] = ()
    board_id: str = ""
    arrangement_id: str = ""

    @property
    def sentence(self) -> str:
        """What is different, as one sentence."""
        return f"{self.what} {self.words}."


class FindingChange(Struct, frozen=True):
    """A finding of the rules that one design has and the other has not.

    Args:
        gained: whether the newer one has it.
        board, arrangement: where, by name.
        severity: ``stop``, ``caution`` or ``note``.
        rule: name of the rule.
        sentence: what is wrong.
        placements: ids of the placements it is about.
    """

    gained: bool
    board: str
    arrangement: str
    severity: Severity
    rule: str
    sentence: str
    placements: tuple[str, ...]


class Comparison(Struct, frozen=True):
    """Two designs compared, from the older to the newer one.

    Args:
        before, after: their titles.
        changes: what is different, by board.
        findings: what the rules found in one of them only, gained first, the most severe first.
        differences: the same as the file has it, with what nobody needs to be told.
    """

    before: str
    after: str
    changes: tuple[Change, ...]
    findings: tuple[FindingChange, ...]
    differences: tuple[Difference, ...]

    @property
    def is_same(self) -> bool:
        """Whether nothing is different."""
        return not self.differences and not self.findings

    @property
    def gained(self) -> tuple[FindingChange, ...]:
        """Findings that only the newer design has."""
        return tuple(f for f in self.findings if f.gained)

    @property
    def lost(self) -> tuple[FindingChange, ...]:
        """Findings that only the older design has."""
        return tuple(f for f in self.findings if not f.gained)


def below(differences: Iterable[Difference], *path: str) -> tuple[Difference, ...]:
    """The differences at a place of the file or below it."""
    return tuple(d for d in differences if d.path[: len(path)] == path)


def sorted_by(differences: Iterable[Difference], depth: int) -> dict[Path, list[Difference]]:
    """Differences by the first steps of their paths; those that end before are by themselves."""
    found: dict[Path, list[Difference]] = {}
    for difference in differences:
        found.setdefault(difference.path[:depth], []).append(difference)
    return found


def was_and_is(before: str, after: str) -> str:
    """``is 18 mm, was 15 mm``; what was nothing, or is, is said as none."""
    return f"is {after or 'none'}, was {before or 'none'}"


def field_words(path: Sequence[str], from_field: int, known: Collection[tuple[str, str]] = ()) -> str:
    """What a field of the file is called, where nothing better is known of it."""
    field = path[from_field] if len(path) > from_field else path[-1]
    return dict(known).get(field, field.replace("_", " "))
