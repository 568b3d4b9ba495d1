"""Labels of designs on the shelf: several on one, and one on many. They are the shelf's, and in no design file."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sqlalchemy import Connection, delete, insert, select

from app.errors import EditError
from app.store.engine.database import Database
from app.store.engine.words import unstorable
from app.store.reading import words_of
from app.store.shelved import known_row
from app.store.tables import LABEL_LENGTH, labels

MOST_LABELS = 12
"""Labels of one design: a card has room for two rows of them."""


class Labels:
    """Labels, in the same database as the designs.

    Args:
        database: the one they are in.
        now: the time as it is written into rows.
    """

    def __init__(self, database: Database, now: Callable[[], str]) -> None:
        self._database = database
        self._now = now

    def all(self) -> dict[str, tuple[str, ...]]:
        """The labels of every design that has some, in order, by its id."""
        with self._database.glancing() as connection:
            rows = connection.execute(select(labels.c.design, labels.c.label)).all()
        # Few labels on many designs: each is read, and put in its place, once.
        shown = {label: words_of(label) for label in {row.label for row in rows}}
        order = {label: place for place, label in enumerate(sorted(shown, key=lambda each: _by_letters(shown[each])))}
        found: dict[str, list[str]] = {}
        for design, label in rows:
            found.setdefault(design, []).append(label)
        return {design: tuple(shown[e] for e in sorted(each, key=order.__getitem__)) for design, each in found.items()}

    def set(self, design: str, wanted: Sequence[str]) -> tuple[str, ...]:
        """Give a design these labels, and no others; gives them in order, each once, whatever its capitals.

        A label that another design has is spelled as it is there.

        Raises:
            NotFoundError: no such design.
            EditError: a label that is too long or cannot be kept, or too many.
        """
        with self._database.writing(design) as connection:
            if "row" in known_row(connection, design).damaged:
                raise EditError("Its entry on the shelf was lost. Go to one of its steps, then label it.")
            return put_labels(connection, design, wanted, self._now())


def put_labels(connection: Connection, design: str, wanted: Sequence[str], now: str) -> tuple[str, ...]:
    """The same within a transaction.

    Raises:
        EditError: a label that is too long or cannot be kept, or too many.
    """
    others = select(labels.c.label).distinct().where(labels.c.design != design)
    spelled = {label.casefold(): label for (label,) in connection.execute(others)}
    kept = {label.casefold(): label for label in (" ".join(each.split()) for each in wanted) if label}
    found = tuple(sorted((spelled.get(key, label) for key, label in kept.items()), key=_by_letters))
    check_labels(found)
    connection.execute(delete(labels).where(labels.c.design == design))
    if found:
        connection.execute(insert(labels), [{"design": design, "label": label, "made": now} for label in found])
    return found


def check_labels(found: Sequence[str]) -> None:
    """Refuse what cannot be the labels of one design.

    Raises:
        EditError: which, and what to do.
    """
    for label in found:
        if unstorable(label, LABEL_LENGTH) or not label.isprintable() or "," in label:
            raise EditError(
                f"A label has up to {LABEL_LENGTH} characters and no comma, got “{label[:60]}”. Make it shorter.",
                "labels",
            )
    if len(found) > MOST_LABELS:
        raise EditError(f"A design has up to {MOST_LABELS} labels, got {len(found)}. Leave some out.", "labels")


def _by_letters(label: str) -> tuple[str, str]:
    return label.casefold(), label
