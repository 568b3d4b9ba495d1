"""The page that tells what came of a saved shelf that was opened."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from app.service.screens.words import counted
from app.service.shelf.taking import Arrival
from app.web.pages.shelf.cards import title_of
from app.web.shared.view_state import Option

_HEADINGS = (
    ("new", "New here", "new"),
    ("other", "Changed here since", "beside what has changed here"),
    ("same", "Here already", "here already"),
    ("refused", "Could not be opened", "left out"),
)


class TakenGroup(Struct, frozen=True):
    """Designs of one kind: the heading, each with its address, and what is said of each."""

    kind: str
    heading: str
    rows: tuple[tuple[Option, str], ...]


class TakenPage(Struct, frozen=True):
    """The page.

    Args:
        file: name of the file.
        summed: how many there were of each, in one sentence.
        groups: those that there are, new ones first.
    """

    file: str
    summed: str
    groups: tuple[TakenGroup, ...]


def taken_page(file: str, found: Iterable[Arrival]) -> TakenPage:
    """The page for what came of a file."""
    by: dict[str, list[Arrival]] = {}
    for each in found:
        by.setdefault(each.how, []).append(each)
    return TakenPage(
        file=file,
        summed=summed_up(by),
        groups=tuple(
            TakenGroup(kind, heading, tuple((_link(each), each.said) for each in by[kind]))
            for kind, heading, _ in _HEADINGS
            if kind in by
        ),
    )


def summed_up(by: dict[str, list[Arrival]]) -> str:
    """How many of each there were: ``5 designs: 3 new, 2 here already``."""
    parts = [f"{len(by[kind])} {words}" for kind, _, words in _HEADINGS if kind in by]
    if not parts:
        return "There is no design in it."
    total = sum(map(len, by.values()))
    return f"{counted(total, 'design')}: {', '.join(parts)}."


def _link(each: Arrival) -> Option:
    return Option(title_of(each.title), f"/designs/{each.id}" if each.id else "")
