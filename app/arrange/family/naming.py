"""Ids and letters of what comes to a board: kept where they are free, new where they are not, never given twice."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence

from msgspec import Struct, field

from app.arrange.letters import free_id, letters
from app.document.schema import ArrangementEntry, PlacementEntry

_Hole = tuple[object, ...]


class Naming(Struct):
    """Gives ids and letters to placements, one after the other.

    Args:
        others: arrangements of the board that stay; what stands there at the same place is the same hole.
        old: the arrangements that go for what comes; their ids and letters are those of the same parts.
        retired: letters of the board that are never given again.
        known: the id here of a placement that came before, by the one it has where it comes from.
    """

    others: Sequence[ArrangementEntry]
    old: Sequence[ArrangementEntry] = ()
    retired: Iterable[str] = ()
    known: Mapping[str, str] = field(default_factory=dict)
    _standing: dict[str, str] = field(default_factory=dict)
    _holes: dict[_Hole, PlacementEntry] = field(default_factory=dict)
    _owners: dict[str, set[str]] = field(default_factory=dict)
    _was: dict[str, str] = field(default_factory=dict)
    _ids: set[str] = field(default_factory=set)
    _letters: set[str] = field(default_factory=set)
    _fresh: Iterator[str] = field(default_factory=letters)

    def __post_init__(self) -> None:
        """Note what stands on the board."""
        self.retired = {letter.upper() for letter in self.retired}
        for placement in (p for a in self.others for p in a.placements):
            self._standing.setdefault(placement.id, placement.label)
            self._holes.setdefault(_hole(placement), placement)
        for placement in (p for a in (*self.others, *self.old) for p in a.placements):
            self._owners.setdefault(placement.label.upper(), set()).add(placement.id)
        for placement in (p for a in self.old for p in a.placements):
            self._was.setdefault(placement.id, placement.label)

    def named(self, rows: Sequence[PlacementEntry]) -> tuple[tuple[PlacementEntry, ...], dict[str, str]]:
        """Placements as they are on this board, and the id here of each by the one it came with."""
        coming = {p.label.upper() for p in rows if p.label}
        wanted = {self.known.get(p.id, p.id) for p in rows}
        # Letters are tried once each, for those that are taken stay so.
        never = {*self._owners, *self.retired, *coming}
        self._fresh = (text for text in letters() if text not in never)
        found = {p.id: self._one(p, wanted) for p in rows}
        return tuple(found.values()), {was: p.id for was, p in found.items()}

    def _one(self, placement: PlacementEntry, wanted: set[str]) -> PlacementEntry:
        shared = self._holes.get(_hole(placement))
        if shared is not None and self._is_free(shared, placement):
            ident, label = shared.id, shared.label
        else:
            ident = self.known.get(placement.id, placement.id)
            if ident in self._standing or ident in self._ids:
                ident = free_id(ident, _Any(self._standing, self._ids, wanted))
            label = self._letter(placement.label, ident)
        self._ids.add(ident)
        self._letters.add(label.upper())
        return lettered(placement, label).model_copy(update={"id": ident})

    def _is_free(self, shared: PlacementEntry, placement: PlacementEntry) -> bool:
        """Whether a hole that is there can be the one that comes: of a maker it has to bear the maker's own id."""
        if placement.maker and shared.id != placement.id:
            return False
        return shared.id not in self._ids and (not shared.label or shared.label.upper() not in self._letters)

    def _letter(self, label: str, ident: str) -> str:
        if not label:
            return ""
        was = self._was.get(ident, "")
        for one in (label, was):
            letter = one.upper()
            kept = letter == was.upper() or letter not in self.retired
            if one and kept and letter not in self._letters and self._owners.get(letter, set()) <= {ident}:
                return one
        return next(self._fresh)


def letters_on(coming: Iterable[PlacementEntry], old: Sequence[ArrangementEntry]) -> dict[str, str]:
    """The letters of a board that takes the place of another, by the letters that it comes with.

    A letter stays where it never meant a hole of another part; else it is the one that its parts had, or a new one.
    """
    parts: dict[str, set[str]] = {}
    for placement in (p for p in coming if p.label):
        parts.setdefault(placement.label, set()).add(placement.id)
    owners, was = dict[str, set[str]](), dict[str, str]()
    for placement in (p for a in old for p in a.placements if p.label):
        owners.setdefault(placement.label.upper(), set()).add(placement.id)
        was.setdefault(placement.id, placement.label)
    retired = {letter.upper() for a in old for letter in a.retired}
    used, found = set[str](), dict[str, str]()
    never = {*owners, *retired, *map(str.upper, parts)}
    fresh = (text for text in letters() if text not in never)
    for label, ids in parts.items():
        for one in (label, *(was[ident] for ident in sorted(ids & was.keys()))):
            own = owners.get(one.upper(), set())
            if one.upper() not in used and own <= ids and (own or one.upper() not in retired):
                found[label] = one
                break
        else:
            found[label] = next(fresh)
        used.add(found[label].upper())
    return found


def lettered(placement: PlacementEntry, label: str) -> PlacementEntry:
    """A placement under another letter; a legend that letters the letter goes along."""
    legend = placement.legend
    if legend is not None and label and legend.text == placement.label:
        return placement.model_copy(update={"label": label, "legend": legend.model_copy(update={"text": label})})
    return placement.model_copy(update={"label": label})


class _Any(Container[str]):
    """Everything that is in one of some."""

    def __init__(self, *each: Container[str]) -> None:
        self._each = each

    def __contains__(self, name: object) -> bool:
        return any(name in one for one in self._each)


def _hole(p: PlacementEntry) -> _Hole:
    return p.part, p.x, p.y, p.angle, p.counterbore, p.recess


def retired_after(old: Iterable[ArrangementEntry], now: Sequence[ArrangementEntry]) -> tuple[str, ...]:
    """Letters that are never given again once old arrangements went for others."""
    old = tuple(old)
    standing = {p.label.upper() for a in now for p in a.placements if p.label}
    letters = (*(r for a in old for r in a.retired), *(p.label for a in old for p in a.placements if p.label))
    return tuple(letter for letter in dict.fromkeys(letters) if letter.upper() not in standing)
