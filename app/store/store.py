"""Designs and every revision of them, in one database.

Documents are text to the store: it neither reads nor checks them. Every change is one short transaction,
begun for writing before the head is read, so two tabs or two processes editing at once both keep their work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from msgspec.structs import asdict
from sqlalchemy import insert, select, update

from app.errors import HolewiseError, NotFoundError
from app.store.beside import Beside, Clock, utc_now
from app.store.engine.database import Database
from app.store.engine.place import place_of
from app.store.engine.readiness import is_ready
from app.store.moments import lead_back
from app.store.opening import open_database
from app.store.published import note_published
from app.store.records import DesignRow, Head, Moment, Revision, StoredChange
from app.store.shelved import Shelved, known_row
from app.store.steps import glance_at_head, made_on, new_id, next_number, read_head, read_revision, set_head, stepped
from app.store.strokes import written_at_once
from app.store.tables import designs, revision_row, revisions
from app.store.whole_shelf import Coming, ShelvedWhole, every_design, heads, put_on
from app.store.windows import note_step, steps_of, tidies
from app.values import replace


class Store(Beside):
    """Designs and revisions in one database.

    Args:
        database: with the tables in it.
        clock: gives the time written into rows.

    Attributes:
        shelved: the designs as a shelf lists them.
    """

    def __init__(self, database: Database, clock: Clock = utc_now) -> None:
        super().__init__(database, clock)
        self._place = database.place.name
        self.shelved = Shelved(database.reading, database.glancing)

    def close(self) -> None:
        """Let go of every connection."""
        self._database.close()

    # -- reading ---------------------------------------------------------------------------------------

    def designs(self, *, removed: bool = False) -> tuple[DesignRow, ...]:
        """Designs on the shelf, last changed first; with ``removed``, those taken off it."""
        return self.shelved.rows(removed=removed)

    def head(self, design_id: str) -> Head:
        """A design with the revision now shown.

        Raises:
            NotFoundError: no such design.
        """
        with self._database.glancing() as connection:
            return glance_at_head(connection, design_id, self._place)

    def revision(self, design_id: str, revision_id: str) -> Revision:
        """One revision of a design, on whatever branch.

        Raises:
            NotFoundError: no such revision of that design.
        """
        with self._database.glancing() as connection:
            return self._of_design(read_revision(connection, revision_id), design_id)

    def history(self, design_id: str) -> tuple[Revision, ...]:
        """Every revision of a design in order of making, branches left by undo included.

        Raises:
            NotFoundError: no such design.
        """
        query = select(revisions).where(revisions.c.design == design_id).order_by(revisions.c.number)
        with self._database.reading() as connection:
            read_head(connection, design_id, self._place)
            return tuple(revision_row(row) for row in connection.execute(query))

    def moments(self, design_id: str) -> tuple[Moment, ...]:
        """Every revision of a design in order of making, without the documents.

        Raises:
            NotFoundError: no such design.
        """
        return self.shelved.past(design_id).moments

    def steps_of(self, window: str) -> frozenset[str]:
        """Ids of the steps that a window made or took back in the last days."""
        with self._database.glancing() as connection:
            return steps_of(connection, window)

    def is_ready(self) -> bool:
        """Whether the database can be reached and has the schema this program reads."""
        return is_ready(self._database)

    def every_design(self) -> Iterator[ShelvedWhole]:
        """Every design with its labels and published revisions, those put away too, as they are at one moment."""
        return every_design(self._database)

    def heads(self) -> Iterator[tuple[DesignRow, str]]:
        """Every design with its document as it is now, those put away too."""
        return heads(self._database)

    # -- writing ---------------------------------------------------------------------------------------

    def add(self, document: str, title: str, summary: str) -> Head:
        """Put a new design on the shelf with ``document`` as its first revision.

        Raises:
            EditError: a text that cannot be kept.
        """
        now = self._now()
        design_id, revision_id = new_id(), new_id()
        with self._database.writing() as connection:
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

    def put_on(self, coming: Sequence[Coming]) -> tuple[str, ...]:
        """Put designs on the shelf, all of them or none; gives the id of each.

        Raises:
            EditError: a text that cannot be kept, or a label.
        """
        return put_on(self._database, coming, self._now())

    def edit(
        self,
        design_id: str,
        change: Callable[[Revision], StoredChange],
        window: str = "",
        shown: Head | None = None,
    ) -> Head:
        """Make a new revision by applying ``change`` to the head; nothing comes between the two.

        A change that leaves the document as it was makes no revision. If ``change`` raises, nothing is
        written. A branch that was undone stays in the store, but *Redo* no longer leads to it. ``window`` is the
        one that asks; empty if none does. ``shown`` is the head as it was read a moment ago, if it was.

        The change takes longest, so it is worked out before the transaction that writes, for which all others wait;
        and again within it, where somebody else has made a step meanwhile. So ``change`` may be called twice.

        Raises:
            NotFoundError: no such design.
            EditError: a text that cannot be kept.
        """
        before = shown or self.head(design_id)
        ahead = self._worked_out(before, change)
        if ahead is not None and (struck := self._struck(before, ahead, window)) is not None:
            return struck
        with self._database.writing(design_id) as connection:
            head = read_head(connection, design_id, self._place, before)
            made = ahead if ahead is not None and head.revision == before.revision else change(head.revision)
            if made.document == head.revision.document:
                return head
            now = self._now()
            step = made_on(head, made, now, next_number(connection, design_id))
            connection.execute(insert(revisions).values(**{**asdict(step), "created": now}))
            if head.revision.redo is not None:
                connection.execute(update(revisions).where(revisions.c.id == head.revision.id).values(redo=None))
            set_head(connection, design_id, step.id, made.title, now)
            note_step(connection, step.id, window, now)
            if made.letter:
                note_published(connection, design_id, made.letter, step.id, now)
            return stepped(head, step, made.title)

    def undo(self, design_id: str, title_of: Callable[[str], str], seen: str = "", window: str = "") -> Head:
        """Show the parent of the head and remember the way back; nothing happens at the first revision.

        Args:
            design_id: the design.
            title_of: reads the title from a document, for the shelf.
            seen: the head this is meant for; nothing happens if another one is shown by now. Empty is any.
            window: the window that asks; empty if none does.
        """
        return self._step(design_id, title_of, seen, window, back=True)

    def redo(self, design_id: str, title_of: Callable[[str], str], seen: str = "", window: str = "") -> Head:
        """Show the child that was undone last; nothing happens if there is none, or as with :meth:`undo`."""
        return self._step(design_id, title_of, seen, window, back=False)

    def show(self, design_id: str, revision_id: str, title_of: Callable[[str], str]) -> Head:
        """Show any revision of a design; *Redo* leads from it to where one came from, or along its own branch.

        Raises:
            NotFoundError: no such design, or no such revision of it.
        """
        with self._database.writing(design_id) as connection:
            design = known_row(connection, design_id)
            found = self._of_design(read_revision(connection, revision_id), design_id)
            if found.id == design.head and "row" not in design.damaged:
                return read_head(connection, design_id, self._place)
            lead_back(connection, design_id, design.head, found.id)
            set_head(connection, design_id, found.id, title_of(found.document), self._now())
            return read_head(connection, design_id, self._place)

    def remove(self, design_id: str) -> DesignRow:
        """Take a design off the shelf; :meth:`put_back` undoes it, nothing is deleted."""
        return self._set_removed(design_id, self._now())

    def put_back(self, design_id: str) -> DesignRow:
        """Put a design that was taken off back on the shelf."""
        return self._set_removed(design_id, None)

    @staticmethod
    def _worked_out(head: Head, change: Callable[[Revision], StoredChange]) -> StoredChange | None:
        """What a change makes of a head; None where it cannot be made of it."""
        try:
            return change(head.revision)
        except HolewiseError:  # told by the transaction, of what is there then
            return None

    def _struck(self, before: Head, made: StoredChange, window: str) -> Head | None:
        """The head after a change, if a server could write it by one statement, and nobody came between."""
        if not self._database.is_served or made.letter or made.document == before.revision.document:
            return None
        now = self._now()
        if tidies(now):
            return None
        step = made_on(before, made, now)
        with self._database.striking(before.design.id) as connection:
            number = written_at_once(connection, before, step, made.title, window, now)
        return stepped(before, replace(step, number=number), made.title) if number else None

    # -- inside a transaction --------------------------------------------------------------------------

    def _step(self, design_id: str, title_of: Callable[[str], str], seen: str, window: str, *, back: bool) -> Head:
        with self._database.writing(design_id) as connection:
            head = read_head(connection, design_id, self._place)
            to = read_revision(connection, head.revision.parent if back else head.revision.redo)
            if to is None or seen not in {"", head.revision.id}:
                return head
            if back:
                connection.execute(update(revisions).where(revisions.c.id == to.id).values(redo=head.revision.id))
            now = self._now()
            set_head(connection, design_id, to.id, title_of(to.document), now)
            note_step(connection, head.revision.id if back else to.id, window, now)
            return glance_at_head(connection, design_id, self._place)

    @staticmethod
    def _of_design(found: Revision | None, design_id: str) -> Revision:
        if found is None or found.design != design_id:
            raise NotFoundError("That step of this design is not in the store. Its timeline lists those there are.")
        return found

    def _set_removed(self, design_id: str, value: str | None) -> DesignRow:
        with self._database.writing(design_id) as connection:
            known_row(connection, design_id)
            connection.execute(update(designs).where(designs.c.id == design_id).values(removed=value))
            return known_row(connection, design_id)


def open_store(where: Path | str | None, clock: Clock = utc_now) -> Store:
    """The store in a folder, made if it is not there, or at the URL of a database; None is the user's data folder.

    Raises:
        StoreError: the folder cannot be made or written, the URL cannot be read, or the database cannot be used.
    """
    return Store(open_database(place_of(where)), clock)
