"""What can be chosen: materials, ways of drilling, papers, bits, hardware of a kind; each with what is chosen now."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Final, Protocol, get_args

from msgspec import Struct

from app.arrange.station import stations
from app.catalogue.load import catalogue
from app.document.schema import Design
from app.model.part import Part
from app.model.source import Basis
from app.model.tooling import BitKind, kind_words
from app.service.screens.words import capital

MOST_BUTTONS: Final = stations.MOST_BUTTONS
"""Buttons a new deck has for one player at most."""


class _Thing(Protocol):
    @property
    def id(self) -> str: ...

    @property
    def name(self) -> str: ...


class Choice(Struct, frozen=True):
    """One entry of a list to choose from."""

    value: str
    words: str
    chosen: bool = False


def materials(chosen: str = "") -> tuple[Choice, ...]:
    """Every material."""
    return _named(catalogue().materials.values(), chosen)


def ways_of_drilling(chosen: str = "") -> tuple[Choice, ...]:
    """Every way of drilling, with how far off its holes may be."""
    return _named(catalogue().allowances.values(), chosen)


def papers(chosen: str = "", called: str = "") -> tuple[Choice, ...]:
    """The papers known by name, and the chosen one if it is another, as it is ``called``."""
    known = _named(catalogue().papers.values(), chosen)
    if not chosen or any(choice.chosen for choice in known):
        return known
    return (*known, Choice(chosen, called or chosen, chosen=True))


def bit_sets() -> dict[str, int]:
    """How many bits each starter set has, by its name."""
    return {name: len(bits) for name, bits in catalogue().bit_sets.items()}


def bit_kinds(chosen: str = "") -> tuple[Choice, ...]:
    """Every kind of bit."""
    return tuple(Choice(kind, capital(kind_words(kind)), kind == chosen) for kind in get_args(BitKind))


def bases() -> tuple[Basis, ...]:
    """How far the measures of a part can be trusted, the furthest first."""
    return get_args(Basis)


def hardware_of_kind(design: Design, kind: str, chosen: Collection[str] = ()) -> tuple[Choice, ...]:
    """The hardware of a kind that a design can use, each called by what tells it from the others.

    ``chosen`` are ids; with several of them, or none, nothing is chosen.
    """
    same = alike(design, kind)
    words = told_apart([part.name for part in same])
    return tuple(Choice(part.id, said, set(chosen) == {part.id}) for part, said in zip(same, words, strict=True))


def alike(design: Design, kind: str) -> tuple[Part, ...]:
    """The hardware of a kind that a design can use: its own, and the catalogue's."""
    from app.document.resolve import design_parts

    return tuple(part for part in design_parts(design, catalogue()).values() if part.kind == kind)


def told_apart(names: Sequence[str]) -> tuple[str, ...]:
    """As much of each name as tells it from the others, so that a narrow list does not cut that off.

    Without the kind at the beginning, which all have in common, and up to the comma after which no other is alike.
    """
    rest = [_without_kind(name) for name in names]

    def begins_so(words: str) -> int:
        return sum(name == words or name.startswith(f"{words}, ") for name in rest)

    briefly = []
    for name in rest:
        pieces = name.split(", ")
        begins = (", ".join(pieces[:count]) for count in range(1, len(pieces) + 1))
        briefly.append(next((words for words in begins if begins_so(words) == 1), name))
    return tuple(briefly)


def _without_kind(name: str) -> str:
    name = name.replace(" below the board", "")  # which stands in the full name above the list
    kind, _, rest = name.partition(", ")
    return rest[:1].upper() + rest[1:] if rest and " " not in kind else name


def _named(things: Iterable[_Thing], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(thing.id, thing.name, thing.id == chosen) for thing in things)


def field_names(buttons: int) -> dict[str, str]:
    """What the field of so many buttons is called, by shape; shapes that would be another one are left out."""
    return dict(stations.named_fields(buttons))
