"""A pack as its page shows it: what may be chosen, and what will be made, in figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from msgspec import Struct

from app.document.schema import Design
from app.errors import HolewiseError
from app.service.pack.asked import NOW, PackSource, figures_asked
from app.service.pack.request import GROUPS, PackRequest
from app.service.screens.choices import Choice, papers
from app.service.screens.words import capital
from app.service.workshop import Workshop
from app.units import Unit

_GROUPS: Final = {
    "booklets": "Booklets, every sheet in one file",
    "sheets": "Sheets, each kind by itself",
    "lists": "Lists for a spreadsheet and for scripts",
    "drawings": "Drawings for other programs and machines",
    "design": "The design file",
}

FIELDS: Final = ("arrangements", "boards", "papers", "units", "only")
"""What is chosen from, as a request has it."""

_LEAST: Final = {
    "arrangements": "Choose an arrangement.",
    "boards": "Choose a board.",
    "papers": "Choose a paper.",
    "units": "Choose millimetres or inches.",
    "only": "Choose what to pack.",
}


class FigureRow(Struct, frozen=True):
    """How many files of a sort there will be, and about how many pages they have, in words."""

    words: str
    files: str
    pages: str


class PackSeen(Struct, frozen=True):
    """A pack before it is made.

    Args:
        states: the design as it is now, and its revisions, to choose from.
        choices: what may be chosen, by field.
        request: what is asked for; None where nothing can be made of it.
        rows: what will be made.
        total: the same in one line.
        stops: how many findings say that a board cannot be built as drawn.
        problems: what is wrong with what was chosen, by field; by none where it is all of it.
    """

    states: tuple[Choice, ...]
    choices: Mapping[str, tuple[Choice, ...]]
    request: PackRequest | None
    rows: tuple[FigureRow, ...]
    total: str
    stops: int
    problems: Mapping[str, str]


def pack_seen(
    workshop: Workshop, source: PackSource, letter: str, chosen: Mapping[str, Sequence[str]] | None
) -> PackSeen:
    """A pack before it is made.

    Args:
        workshop: the workshop.
        source: what it is made from.
        letter: of the revision that this is; empty for the design as it is now.
        chosen: what was chosen, by field; None for what is usual, which is all of it.
    """
    there = _there(source.design)
    usual = PackRequest()
    start = {**{field: tuple(ids) for field, ids in there.items()}, "papers": usual.papers, "units": usual.units}
    # A revision need not have the boards and arrangements of the design that was looked at before.
    picked = start if chosen is None else {f: _picked(f, chosen.get(f, ()), there[f]) for f in FIELDS}
    problems = {field: _LEAST[field] for field in FIELDS if not picked[field]}
    request, total, stops = None, "", 0
    rows: tuple[FigureRow, ...] = ()
    if not problems:
        request = PackRequest(**{field: tuple(picked[field]) for field in FIELDS})
        try:
            found = figures_asked(source, request)
            rows = tuple(FigureRow(_GROUPS[g.group], _many(g.files, "file"), _pages(g.pages)) for g in found.groups)
            total, stops = f"{_many(found.files + _BESIDES, 'file')}{_about(found.pages)}", found.stops
        except HolewiseError as error:
            request, problems = None, {"": str(error)}
    choices = {field: tuple(_choices(there[field].items(), picked[field])) for field in FIELDS}
    return PackSeen(_states(workshop, source.id, letter), choices, request, rows, total, stops, problems)


_BESIDES: Final = 3  # files of every pack: where to begin, what was proved, the checksums


def _there(design: Design) -> dict[str, dict[str, str]]:
    """What there is to choose from, by field: words by value."""
    deck = next((board for board in design.boards if board.role == "deck"), design.boards[0])
    return {
        "arrangements": {each.id: each.name or each.id for each in deck.arrangements},
        "boards": {each.id: each.name or each.id for each in design.boards},
        "papers": {each.value: each.words for each in papers()},
        "units": {Unit.MM.value: "Millimetres", Unit.INCH.value: "Inches"},
        "only": {group: _GROUPS[group] for group in GROUPS},
    }


def _picked(field: str, values: Sequence[str], there: Mapping[str, str]) -> tuple[str, ...]:
    known = tuple(value for value in there if value in values)
    return known or (tuple(there) if values and field in {"arrangements", "boards"} else ())


def _choices(there: Iterable[tuple[str, str]], picked: Sequence[str]) -> Iterable[Choice]:
    return (Choice(value, words, value in picked) for value, words in there)


def _states(workshop: Workshop, design_id: str, letter: str) -> tuple[Choice, ...]:
    letters = [each.letter for each in workshop.revisions.of(design_id)]
    return (
        Choice(NOW, "As it is now", letter == NOW),
        *(Choice(each, capital(f"revision {each}"), each == letter) for each in reversed(letters)),
    )


def _many(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"


def _pages(pages: int) -> str:
    return f"about {_many(pages, 'page')}" if pages else ""


def _about(pages: int) -> str:
    return f", {_pages(pages)}" if pages else ""
