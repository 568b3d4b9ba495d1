"""Looking for designs on the shelf: by words of the title, in an order, page by page; alike on every database."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from app.document.load import recalled
from app.errors import HolewiseError
from app.store import DesignRow, Revision
from app.store import Shelved as Rows

MOST = 60
"""Designs on one page."""

_DIGITS = re.compile(r"(\d+)")


@dataclass(frozen=True, slots=True)
class ShelfQuery:
    """What of the shelf is asked for.

    Args:
        find: words that a title must hold, in any order; empty for all designs.
        order: ``changed``, the last one first, or ``title``.
        page: which page of it, from 1; beyond the last it is the last.
        away: which page of what was put away.
    """

    find: str = ""
    order: Literal["changed", "title"] = "changed"
    page: int = 1
    away: int = 1


@dataclass(frozen=True, slots=True)
class Slice:
    """One page of a list.

    Args:
        page, pages: which page of how many, from 1.
        found: how many there are on all of them.
    """

    page: int
    pages: int
    found: int


def folded(text: str) -> str:
    """Text as it is compared: no capitals, no accents, alike on every database and in every language."""
    if text.isascii():
        return text.casefold()
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    return "".join(letter for letter in plain if not unicodedata.combining(letter))


def matching(rows: Sequence[DesignRow], find: str) -> list[DesignRow]:
    """The designs whose title holds every word of ``find``, whatever their order."""
    words = folded(find).split()
    if not words:
        return list(rows)
    titles = ((row, folded(row.title)) for row in rows)
    return [row for row, title in titles if all(word in title for word in words)]


def ordered(rows: Sequence[DesignRow], order: str) -> list[DesignRow]:
    """The designs by title, or as the store has them: last changed first."""
    return sorted(rows, key=lambda row: _by_title(row.title)) if order == "title" else list(rows)


def _by_title(title: str) -> tuple[tuple[int, int, str], ...]:
    """Deck 9 before Deck 10: digits count as a number, by their length before their figures."""
    pieces = _DIGITS.split(folded(title).strip())
    return tuple(
        (0, len(bare), bare) if n % 2 else (1, 0, piece)
        for n, piece in enumerate(pieces)
        if (bare := piece.lstrip("0")) or piece
    )


def cut(rows: Sequence[DesignRow], page: int) -> tuple[tuple[DesignRow, ...], Slice]:
    """One page of a list; one beyond the last is the last."""
    pages = max(1, -(-len(rows) // MOST))
    at = min(max(page, 1), pages)
    return tuple(rows[(at - 1) * MOST : at * MOST]), Slice(at, pages, len(rows))


def titled(rows: Rows, found: Sequence[DesignRow]) -> list[DesignRow]:
    """The rows, those whose title is lost or damaged with the one that their document has."""
    ailing = [row.head for row in found if not {"row", "title"}.isdisjoint(row.damaged)]
    titles = {name: _title_in(revision) for name, revision in rows.revisions(ailing).items()}
    return [replace(row, title=titles[row.head]) if titles.get(row.head) else row for row in found]


def _title_in(revision: Revision) -> str:
    try:
        return recalled(revision.document).title
    except HolewiseError:
        return ""
