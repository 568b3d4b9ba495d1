"""Designs and every revision of them, in one database.

Documents are text to the store: it neither reads nor checks them. Every change is one short transaction,
begun for writing before the head is read, so two tabs or two processes editing at once both keep their work.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, insert, select, update
from sqlalchemy.exc import DBAPIError, IntegrityError

from app.errors import NotFoundError, StoreError
from app.store.derived import Derived
from app.store.moments import lead_back
from app.store.place import advice
from app.store.profiles import Profiles
from app.store.records import Change, DesignRow, Head, Moment, Revision
from app.store.shelved import Shelved, known_row
from app.store.steps import next_number, read_head, read_revision, set_head
from app.store.tables import (
    SCHEMA_VERSION,
    designs,
    make_engine,
    meta,
    metadata,
    revision_row,
    revisions,
)

Clock = Callable[[], datetime]


def utc_now() -> datetime:
    """The time now, in UTC."""
    return datetime.now(UTC)


class Store:
    """Designs and revisions behind a database URL.

    Args:
        url: SQLAlchemy URL.
        clock: gives the time written into rows.
        place: what to call the database in messages; the URL if empty.

    Attributes:
        shelved: the designs as a shelf lists them.
        derived: what was made from revisions once.

    Raises:
        StoreError: the database cannot be opened, is damaged, or was written by a newer Holewise.
    """

    def __init__(self, url: str, clock: Clock = utc_now, place: str = "") -> None:
        self._engine = make_engine(url)
        self._clock = clock
        self._place = place or url
        self.shelved = Shelved(self._reading)
        self.derived = Derived(self._reading, self._writing, lambda: _stamp(self._clock()))
        with self._guarded(), self._engine.execution_options(writes=True).begin() as connection:
            metadata.create_all(connection)
            self._check_version(connection)

    @property
    def profiles(self) -> Profiles:
        """What is known of the workshop's printers."""
        return Profiles(self._reading, self._writing, lambda: _stamp(self._clock()))

    def close(self) -> None:
        """Let go of every connection."""
        self._engine.dispose()

    # -- reading ---------------------------------------------------------------------------------------

    def designs(self, *, removed: bool = False) -> tuple[DesignRow, ...]:
        """Designs on the shelf, last changed first; with ``removed``, those taken off it."""
        return self.shelved.rows(removed=removed)

    def head(self, design_id: str) -> Head:
        """A design with the revision now shown.

        Raises:
            NotFoundError: no such design.
        """
        with self._reading() as connection:
            return read_head(connection, design_id, self._place)

    def revision(self, design_id: str, revision_id: str) -> Revision:
        """One revision of a design, on whatever branch.

        Raises:
            NotFoundError: no such revision of that design.
        """
        with self._reading() as connection:
            return self._of_design(read_revision(connection, revision_id), design_id)

    def history(self, design_id: str) -> tuple[Revision, ...]:
        """Every revision of a design in order of making, branches left by undo included."""
        query = select(revisions).where(revisions.c.design == design_id).order_by(revisions.c.number)
        with self._reading() as connection:
            return tuple(revision_row(row) for row in connection.execute(query))

    def moments(self, design_id: str) -> tuple[Moment, ...]:
        """Every revision of a design in order of making, without the documents.

        Raises:
            NotFoundError: no such design.
        """
        return self.shelved.past(design_id).moments

    # -- writing ---------------------------------------------------------------------------------------

    def add(self, document: str, title: str, summary: str) -> Head:
        """Put a new design on the shelf with ``document`` as its first revision."""
        now = _stamp(self._clock())
        design_id, revision_id = _new_id(), _new_id()
        with self._writing() as connection:
            connection.execute(
                insert(designs).values(id=design_id, title=title, created=now, modified=now, head=revision_id)
            )
            connection.execute(
                insert(revisions).values(
                    id=revision_id,
                    design=design_id,
                    number=1,
                    summary=summary,
                    document=document,
                    created=now,
                )
            )
            return read_head(connection, design_id, self._place)

    def edit(self, design_id: str, change: Callable[[Revision], Change]) -> Head:
        """Make a new revision by applying ``change`` to the head, all in one transaction.

        A change that leaves the document as it was makes no revision. If ``change`` raises, nothing is
        written. A branch that was undone stays in the store, but *Redo* no longer leads to it.

        Raises:
            NotFoundError: no such design.
        """
        with self._writing() as connection:
            head = read_head(connection, design_id, self._place)
            made = change(head.revision)
            if made.document == head.revision.document:
                return head
            now = _stamp(self._clock())
            revision_id = _new_id()
            connection.execute(
                insert(revisions).values(
                    id=revision_id,
                    design=design_id,
                    parent=head.revision.id,
                    number=next_number(connection, design_id),
                    summary=made.summary,
                    document=made.document,
                    created=now,
                )
            )
            connection.execute(update(revisions).where(revisions.c.id == head.revision.id).values(redo=None))
            set_head(connection, design_id, revision_id, made.title, now)
            return read_head(connection, design_id, self._place)

    def undo(self, design_id: str, title_of: Callable[[str], str], seen: str = "") -> Head:
        """Show the parent of the head and remember the way back; nothing happens at the first revision.

        Args:
            design_id: the design.
            title_of: reads the title from a document, for the shelf.
            seen: the head this is meant for; nothing happens if another one is shown by now. Empty is any.
        """
        with self._writing() as connection:
            head = read_head(connection, design_id, self._place)
            parent = read_revision(connection, head.revision.parent)
            if parent is None or seen not in {"", head.revision.id}:
                return head
            connection.execute(update(revisions).where(revisions.c.id == parent.id).values(redo=head.revision.id))
            set_head(connection, design_id, parent.id, title_of(parent.document), _stamp(self._clock()))
            return read_head(connection, design_id, self._place)

    def redo(self, design_id: str, title_of: Callable[[str], str], seen: str = "") -> Head:
        """Show the child that was undone last; nothing happens if there is none, or as with :meth:`undo`."""
        with self._writing() as connection:
            head = read_head(connection, design_id, self._place)
            child = read_revision(connection, head.revision.redo)
            if child is None or seen not in {"", head.revision.id}:
                return head
            set_head(connection, design_id, child.id, title_of(child.document), _stamp(self._clock()))
            return read_head(connection, design_id, self._place)

    def show(self, design_id: str, revision_id: str, title_of: Callable[[str], str]) -> Head:
        """Show any revision of a design; *Redo* leads from it to where one came from, or along its own branch.

        Raises:
            NotFoundError: no such design, or no such revision of it.
        """
        with self._writing() as connection:
            design = known_row(connection, design_id)
            found = self._of_design(read_revision(connection, revision_id), design_id)
            if found.id == design.head and "row" not in design.damaged:
                return read_head(connection, design_id, self._place)
            lead_back(connection, design_id, design.head, found.id)
            set_head(connection, design_id, found.id, title_of(found.document), _stamp(self._clock()))
            return read_head(connection, design_id, self._place)

    def remove(self, design_id: str) -> DesignRow:
        """Take a design off the shelf; :meth:`put_back` undoes it, nothing is deleted."""
        return self._set_removed(design_id, _stamp(self._clock()))

    def put_back(self, design_id: str) -> DesignRow:
        """Put a design that was taken off back on the shelf."""
        return self._set_removed(design_id, None)

    # -- inside a transaction --------------------------------------------------------------------------

    @staticmethod
    def _of_design(found: Revision | None, design_id: str) -> Revision:
        if found is None or found.design != design_id:
            raise NotFoundError("That moment of this design is not in the store. Its timeline lists those there are.")
        return found

    def _set_removed(self, design_id: str, value: str | None) -> DesignRow:
        with self._writing() as connection:
            connection.execute(update(designs).where(designs.c.id == design_id).values(removed=value))
            return known_row(connection, design_id)

    def _check_version(self, connection: Connection) -> None:
        found = connection.execute(select(meta.c.value).where(meta.c.key == "version")).scalar_one_or_none()
        if found is None:
            connection.execute(insert(meta).values(key="version", value=str(SCHEMA_VERSION)))
        elif int(found) > SCHEMA_VERSION:
            raise StoreError(
                f"{self._place} was written by a newer Holewise (store version {found}; this one reads "
                f"{SCHEMA_VERSION}). Install the newer one, or start with another folder: --data FOLDER."
            )
        elif int(found) < SCHEMA_VERSION:
            # Every step so far only added tables, and they are made by now, in this same transaction.
            connection.execute(update(meta).where(meta.c.key == "version").values(value=str(SCHEMA_VERSION)))

    # -- connections -----------------------------------------------------------------------------------

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with self._guarded(), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with self._guarded(), self._engine.execution_options(writes=True).begin() as connection:
            yield connection

    @contextmanager
    def _guarded(self) -> Iterator[None]:
        try:
            yield
        except IntegrityError:
            raise  # a fault of ours, not of the place: it must not be hidden behind advice
        except DBAPIError as error:
            raise StoreError(advice(self._place, str(error.orig))) from error


def open_store(folder: Path, clock: Clock = utc_now) -> Store:
    """The store in ``folder``, which is made if it is not there.

    Raises:
        StoreError: the folder cannot be made or written, or the database in it cannot be used.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe = folder / f".write-{_new_id()}"
        probe.touch()
        probe.unlink()
    except OSError as error:
        raise StoreError(
            f"The data folder {folder} cannot be written ({error.strerror or error}). "
            "Give it write permission, or choose another one: --data FOLDER."
        ) from error
    file = folder / "holewise.db"
    return Store(f"sqlite:///{file}", clock, place=str(file))


def _new_id() -> str:
    return secrets.token_hex(6)


def _stamp(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="microseconds")
