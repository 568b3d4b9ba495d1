"""All designs of a shelf with their published revisions, read at one moment; and put on one, all of them or none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from msgspec import Struct
from sqlalchemy import Connection, insert, select, text

from app.store.engine.database import Database
from app.store.engine.words import unstorable
from app.store.labels import put_labels
from app.store.reading import text_of, words_of
from app.store.records import DesignRow
from app.store.steps import new_id
from app.store.tables import ID_LENGTH, design_row, designs, labels, published, revisions
from app.values import replace

_AT_ONCE = 50  # documents held in memory at once


class ShelvedWhole(Struct, frozen=True):
    """A design of a shelf with all that is passed on of it.

    Args:
        row: title and times.
        document: as it is now; empty where that is missing.
        labels: of it.
        revisions: letter and document of each published one, in their order.
    """

    row: DesignRow
    document: str
    labels: tuple[str, ...]
    revisions: tuple[tuple[str, str], ...]


class Coming(Struct, frozen=True):
    """A design that comes to a shelf.

    Args:
        id: the one it would like; another is given where that is taken.
        title: of it.
        document: as it is now.
        summary: words for its last step.
        labels: of it.
        revisions: letter and document of each published one, in their order.
        created, modified: when it was made and changed last; None for now.
        away: whether it was put away.
    """

    id: str
    title: str
    document: str
    summary: str
    labels: tuple[str, ...] = ()
    revisions: tuple[tuple[str, str], ...] = ()
    created: datetime | None = None
    modified: datetime | None = None
    away: bool = False


def every_design(database: Database) -> Iterator[ShelvedWhole]:
    """Every design that has an entry on the shelf, those put away too, by id, as they are at one moment."""
    with database.reading() as connection:
        rows = sorted((design_row(row) for row in connection.execute(select(designs))), key=lambda row: row.id)
        labelled: dict[str, list[str]] = {}
        for design, label in connection.execute(select(labels.c.design, labels.c.label)):
            labelled.setdefault(design, []).append(words_of(label))
        letters: dict[str, list[tuple[str, str]]] = {}
        for design, letter, moment in connection.execute(
            select(published.c.design, published.c.letter, published.c.moment)
        ):
            letters.setdefault(design, []).append((letter, moment))
        letters = {design: sorted(each, key=_in_order) for design, each in letters.items()}
        for start in range(0, len(rows), _AT_ONCE):
            some = rows[start : start + _AT_ONCE]
            wanted = [row.head for row in some] + [moment for row in some for _, moment in letters.get(row.id, ())]
            found = _documents(connection, wanted)
            for row in some:
                kept = [(letter, found.get(moment, "")) for letter, moment in letters.get(row.id, ())]
                yield ShelvedWhole(
                    row,
                    found.get(row.head, ""),
                    tuple(sorted(labelled.get(row.id, ()))),
                    tuple((letter, document) for letter, document in kept if document),
                )


def heads(database: Database) -> Iterator[tuple[DesignRow, str]]:
    """Every design that has an entry on the shelf, those put away too, and its document as it is now."""
    query = select(designs, revisions.c.document).outerjoin(revisions, revisions.c.id == designs.c.head)
    with database.glancing() as connection:
        for row in connection.execute(query.order_by(designs.c.id)):
            yield design_row(row), text_of(row.document)


def put_on(database: Database, coming: Sequence[Coming], now: str) -> tuple[str, ...]:
    """Put designs on a shelf in one transaction; gives the id of each.

    Raises:
        EditError: a text that cannot be kept, or a label.
    """
    with database.writing() as connection:
        if connection.dialect.name == "postgresql":  # as on a file: nobody gives the same ids meanwhile
            connection.execute(text(f"LOCK TABLE {designs.name} IN SHARE ROW EXCLUSIVE MODE"))
        taken = set(connection.execute(select(designs.c.id)).scalars())
        taken |= set(connection.execute(select(revisions.c.design).distinct()).scalars())
        ids = []
        for each in coming:
            ident = each.id if each.id and each.id not in taken and not unstorable(each.id, ID_LENGTH) else new_id()
            taken.add(ident)
            ids.append(ident)
            _put(connection, replace(each, id=ident), now)
        return tuple(ids)


def _put(connection: Connection, coming: Coming, now: str) -> None:
    steps = [(f"Published revision {letter}", document, letter) for letter, document in coming.revisions]
    if not steps or steps[-1][1] != coming.document:
        steps.append((coming.summary, coming.document, ""))
    made = [new_id() for _ in steps]
    created, modified = (_written(at) or now for at in (coming.created, coming.modified))
    connection.execute(
        insert(designs).values(
            id=coming.id, title=coming.title, created=created, modified=modified, head=made[-1],
            removed=now if coming.away else None,
        )
    )  # fmt: skip
    rows = [
        {
            "id": ident, "design": coming.id, "parent": made[number - 1] if number else None, "number": number + 1,
            "summary": summary, "document": document, "created": now, "redo": None,
        }
        for number, (ident, (summary, document, _)) in enumerate(zip(made, steps, strict=True))
    ]  # fmt: skip
    connection.execute(insert(revisions), rows)
    letters = [
        {"design": coming.id, "letter": letter, "moment": ident, "made": now}
        for ident, (_, _, letter) in zip(made, steps, strict=True)
        if letter
    ]
    if letters:
        connection.execute(insert(published), letters)
    if coming.labels:
        put_labels(connection, coming.id, coming.labels, now)


def _in_order(pair: tuple[str, str]) -> tuple[int, str]:
    """A, B … Z, AA."""
    return len(pair[0]), pair[0]


def _written(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="microseconds")


def _documents(connection: Connection, wanted: Sequence[str]) -> dict[str, str]:
    ids = [name for name in dict.fromkeys(wanted) if not unstorable(name, ID_LENGTH)]
    query = select(revisions.c.id, revisions.c.document).where(revisions.c.id.in_(ids))
    return {row.id: text_of(row.document) for row in connection.execute(query)}
