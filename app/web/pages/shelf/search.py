"""What is looked for on the shelf: the words, the order, and the pages of what was found."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, cast
from urllib.parse import urlencode

from msgspec import Struct
from msgspec.structs import asdict

from app.service.screens.choices import Choice
from app.service.screens.words import counted
from app.service.shelf.search import ShelfQuery, Slice
from app.service.shelf.shelf import Shelf
from app.values import replace
from app.web.shared.view_state import Option

FEW = 6
"""Designs that are seen at a glance: with no more, there is nothing to look for and no order to choose."""

LONGEST = 200
"""Letters that can be looked for: as many as a title has."""

LONGEST_LABEL = 40
"""Letters of a label."""

ORDER_WORDS = {"changed": "Last changed", "made": "Newest", "title": "Title"}


class Looked(Struct, frozen=True):
    """What is looked for on the shelf.

    Args:
        find: the words that were typed.
        orders: how the designs can be ordered.
        labels: the labels there are, each with how many have it; empty if there are none.
        offered: whether looking is offered at all.
        said: how many were found, in words; empty where that goes without saying.
        pages: the pages of what was found; empty if there is one.
        away: how many that were put away were found.
        away_pages: likewise their pages.
        carried: name and value of what a form must carry on to come back to this page.
    """

    find: str
    orders: tuple[Choice, ...]
    labels: tuple[Choice, ...]
    offered: bool
    said: str
    pages: tuple[Option, ...]
    away: int
    away_pages: tuple[Option, ...]
    carried: tuple[tuple[str, str], ...]


def looked_for(shelf: Shelf, wanted: ShelfQuery) -> Looked:
    """What was looked for, with what came of it."""
    wanted = replace(wanted, page=shelf.slice.page, away=shelf.away_slice.page)
    return Looked(
        find=wanted.find,
        orders=tuple(Choice(name, words, name == wanted.order) for name, words in ORDER_WORDS.items()),
        labels=_labels(shelf, wanted.label),
        offered=shelf.total > FEW or bool(wanted.find or wanted.label or shelf.labels),
        said=_said(shelf, wanted),
        pages=_pages(shelf.slice, wanted, "page", "designs"),
        away=shelf.away_slice.found,
        away_pages=_pages(shelf.away_slice, wanted, "away", "put-away"),
        carried=tuple(_asked(wanted).items()),
    )


def wanted_in(values: Mapping[str, str]) -> ShelfQuery:
    """What an address or form asks of the shelf; what it does not know is left at its default."""
    find = " ".join(values.get("find", "").split())[:LONGEST]
    asked = values.get("order", "")
    order = cast("Literal['changed', 'made', 'title']", asked if asked in ORDER_WORDS else "changed")
    label = " ".join(values.get("label", "").split())[:LONGEST_LABEL]
    return ShelfQuery(find, order, _number(values.get("page", "")), _number(values.get("away", "")), label)


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 1


def _labels(shelf: Shelf, wanted: str) -> tuple[Choice, ...]:
    """Every label, after a choice of none; the one that is looked for too, though no design has it any more."""
    if not shelf.labels and not wanted:
        return ()
    chosen, known = wanted.casefold(), [label for label, _ in shelf.labels]
    rows = [(label, f"{label} ({many})") for label, many in shelf.labels]
    rows += [(wanted, f"{wanted} (0)")] if wanted and chosen not in map(str.casefold, known) else []
    every = Choice("", "All labels", not wanted)
    return (every, *(Choice(label, words, label.casefold() == chosen) for label, words in rows))


def _said(shelf: Shelf, wanted: ShelfQuery) -> str:
    if wanted.find and not shelf.slice.found:
        where = f" of those labelled “{wanted.label}”" if wanted.label else ""
        return f"No title or label{where} contains “{wanted.find}”."
    if wanted.label and not shelf.slice.found:
        return f"No design is labelled “{wanted.label}”."
    if wanted.find or wanted.label:
        return f"{shelf.slice.found:,} of {counted(shelf.total, 'design')}"
    return counted(shelf.total, "design") if shelf.total > FEW else ""


def shelf_url(wanted: ShelfQuery, at: str = "") -> str:
    """Address of a page of the shelf, at one place of it."""
    asked = _asked(wanted)
    return (f"/?{urlencode(asked)}" if asked else "/") + (f"#{at}" if at else "")


def _asked(wanted: ShelfQuery) -> dict[str, str]:
    """What the address says: nothing that is at its default."""
    values = {name: str(value) for name, value in asdict(wanted).items()}
    plain = {name: str(value) for name, value in asdict(ShelfQuery()).items()}
    return {name: value for name, value in values.items() if value != plain[name]}


def _pages(part: Slice, wanted: ShelfQuery, name: str, at: str) -> tuple[Option, ...]:
    if part.pages == 1:
        return ()

    def turned(to: int) -> ShelfQuery:
        return replace(wanted, page=to) if name == "page" else replace(wanted, away=to)

    return tuple(Option(str(n), shelf_url(turned(n), at), n == part.page) for n in range(1, part.pages + 1))
