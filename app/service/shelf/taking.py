"""What a saved shelf brings to another: what is new there, what it has already, and what has become another."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Literal

from msgspec import Struct

from app.arrange.copy_names import copy_name
from app.document.dump import dumps
from app.document.keep import kept
from app.document.load import recalled
from app.errors import HolewiseError
from app.service.shelf.opened_shelf import ReadDesign, digest_of
from app.store import Coming, DesignRow

How = Literal["new", "same", "other", "refused"]

_COPY = re.compile(r"\s+copy(\s+\d+)?$")


class Arrival(Struct, frozen=True):
    """A design of a saved shelf, and what becomes of it.

    Args:
        how: it is ``new`` here; the ``same`` is here; it has become an ``other`` here, so both stay; or it is
            ``refused``.
        title: of it, as it comes.
        said: why it is refused, or what it is called here; may be empty.
        id: of it here; empty until it is, and where it is refused.
    """

    how: How
    title: str
    said: str = ""
    id: str = ""


class ShelfHere(Struct, frozen=True):
    """What a shelf has already.

    Args:
        rows: of each design, those put away too, by id.
        digests: of its document, by id.
    """

    rows: Mapping[str, DesignRow]
    digests: Mapping[str, str]

    @classmethod
    def of(cls, heads: Iterable[tuple[DesignRow, str]]) -> ShelfHere:
        """From every design and its document."""
        rows, digests = dict[str, DesignRow](), dict[str, str]()
        for row, document in heads:
            rows[row.id], digests[row.id] = row, digest_of(document)
        return cls(rows, digests)


def sorted_out(
    found: Iterable[ReadDesign], here: ShelfHere, documents: Mapping[str, str], now: datetime
) -> list[tuple[Arrival, Coming | None]]:
    """What becomes of each design of a file, and what is put on the shelf for it; None where nothing is.

    Args:
        found: the designs.
        here: what the shelf has.
        documents: of the designs here that may be copies of one that comes, by id.
        now: the time; nothing was changed later than that.
    """
    by_digest = {digest: ident for ident, digest in here.digests.items()}
    titles = [row.title for row in here.rows.values()]
    result: list[tuple[Arrival, Coming | None]] = []
    for each in found:
        digest = digest_of(each.document)
        if each.problem:
            result.append((Arrival("refused", each.title, each.problem), None))
        elif digest in by_digest:
            ident = by_digest[digest]
            title = here.rows[ident].title if ident in here.rows else each.title
            result.append((Arrival("same", title, id=ident), None))
        elif each.id in here.rows:
            result.append(_other(each, here, documents, titles, now))
        else:
            result.append((Arrival("new", each.title), _coming(each, each.document, each.title, now)))
            titles.append(each.title)
    return result


def copies_wanted(found: Iterable[ReadDesign], here: ShelfHere) -> tuple[str, ...]:
    """Ids of designs here that may be what came of a design of the file when it came before."""
    clashing = {_stem(each.title) for each in found if each.id in here.rows and not each.problem}
    return tuple(ident for ident, row in here.rows.items() if _stem(row.title) in clashing)


def _stem(title: str) -> str:
    return _COPY.sub("", title.strip()).casefold()


def _other(
    each: ReadDesign, here: ShelfHere, documents: Mapping[str, str], titles: list[str], now: datetime
) -> tuple[Arrival, Coming | None]:
    """A design that is here by its id, and is another by now: it comes beside it, unless it did so before."""
    for ident, document in documents.items():
        if _stem(here.rows[ident].title) == _stem(each.title) and _is_copy(document, each):
            return Arrival("same", here.rows[ident].title, id=ident), None
    free = each.title.strip().casefold() not in {known.strip().casefold() for known in titles}
    title = each.title if free else copy_name(each.title, titles)
    titles.append(title)
    text = kept(recalled(each.document).model_copy(update={"title": title}))
    said = f"“{here.rows[each.id].title}” has changed here, so this one comes beside it as “{title}”."
    return Arrival("other", each.title, said), _coming(each, text, title, now)


def _is_copy(document: str, each: ReadDesign) -> bool:
    try:
        return dumps(recalled(document).model_copy(update={"title": each.title})) == each.document
    except HolewiseError:
        return False


def _coming(each: ReadDesign, document: str, title: str, now: datetime) -> Coming:
    created, modified = (min(at, now) if at is not None else None for at in (each.created, each.modified))
    return Coming(
        id=each.id,
        title=title,
        document=document,
        summary="Opened from a saved shelf",
        labels=each.labels,
        revisions=each.revisions,
        created=created,
        modified=modified,
        away=each.away,
    )
