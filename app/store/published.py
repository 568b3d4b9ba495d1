"""Published revisions: which letter stands for which moment of a design. A letter is never given twice."""

from __future__ import annotations

from datetime import datetime

from msgspec import Struct
from sqlalchemy import Connection, insert, select

from app.errors import EditError
from app.store.engine.database import Database
from app.store.reading import moment_of
from app.store.tables import published


class PublishedMoment(Struct, frozen=True):
    """A published revision: its letter, the moment of the design that it is, and when it was published."""

    letter: str
    moment: str
    made: datetime | None


class PublishedMoments:
    """Published revisions, in the same database as the designs.

    Args:
        database: the one they are in.
    """

    def __init__(self, database: Database) -> None:
        self._database = database

    def of(self, design: str) -> tuple[PublishedMoment, ...]:
        """Those of a design, in the order they were published, those on branches that were undone included."""
        query = select(published).where(published.c.design == design).order_by(published.c.made, published.c.letter)
        with self._database.glancing() as connection:
            rows = connection.execute(query).all()
        return tuple(PublishedMoment(row.letter, row.moment, moment_of(row.made)) for row in rows)


def note_published(connection: Connection, design: str, letter: str, moment: str, now: str) -> None:
    """Note in a transaction that a step published a revision.

    Raises:
        EditError: the letter was given already.
    """
    query = select(published.c.moment).where(published.c.design == design, published.c.letter == letter)
    if connection.execute(query).first() is not None:
        raise EditError(f"Revision {letter} has just been published, perhaps in another window. Load the page again.")
    connection.execute(insert(published).values(design=design, letter=letter, moment=moment, made=now))
