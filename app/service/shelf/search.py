"""Looking for designs on the shelf: by words of the title, in an order, page by page; alike on every database."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Literal

from msgspec import Struct

from app.document.load import recalled
from app.errors import HolewiseError
from app.store import DesignRow, Revision
from app.store import Shelved as Rows
from app.values import replace

MOST = 60
"""Designs on one page."""

_DIGITS = re.compile(r"(\d+)")


class ShelfQuery(Struct, frozen=True):
    """What of the shelf is asked for.

    Args:
        find: words that a title must hold, or the labels, in any order; empty for all designs.
        order: ``changed``, the last one first; ``made``, likewise; or ``title``.
        page: which page of it, from 1; beyond the last it is the last.
        away: which page of what was put away.
        label: one that they must have; empty for any.
    """

    find: str = ""
    order: Literal["changed", "made", "title"] = "changed"
    page: int = 1
    away: int = 1
    label: str = ""


class Slice(Struct, frozen=True):
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


def matching(
    rows: Sequence[DesignRow], find: str, labels: Mapping[str, Sequence[str]] | None = None, label: str = ""
) -> list[DesignRow]:
    """The designs whose title or labels hold every word of ``find``, whatever their order; with ``label``, if any."""
    words, labels, wanted = folded(find).split(), labels or {}, label.casefold()
    if wanted:
        rows = [row for row in rows if any(each.casefold() == wanted for each in labels.get(row.id, ()))]
    if not words:
        return list(rows)
    texts = ((row, folded(" ".join((row.title, *labels.get(row.id, ()))))) for row in rows)
    return [row for row, text in texts if all(word in text for word in words)]


def ordered(rows: Sequence[DesignRow], order: str) -> list[DesignRow]:
    """The designs by title, the newest first, or as the store has them: last changed first."""
    if order == "made":
        return sorted(rows, key=lambda row: row.created.timestamp() if row.created else 0.0, reverse=True)
    return sorted(rows, key=lambda row: _by_title(row.title)) if order == "title" else list(rows)


def label_counts(rows: Sequence[DesignRow], labels: Mapping[str, Sequence[str]]) -> tuple[tuple[str, int], ...]:
    """Every label that some of the designs have, in order, and how many have it."""
    counts = Counter(label for row in rows for label in labels.get(row.id, ()))
    return tuple(sorted(counts.items(), key=lambda pair: (folded(pair[0]), pair[0])))


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
