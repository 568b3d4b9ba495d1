"""Designs published as revisions, and sheets known by the code they bear."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime

from app.arrange.change import Edit
from app.arrange.design.publish import publish
from app.document.published import next_letter
from app.document.schema import Design
from app.errors import HolewiseError, NotFoundError
from app.service.background.one_answer import ReadOnce
from app.service.keeping import kept_after
from app.service.sight import read_of
from app.service.windows import Sender
from app.store import Head, PrintedSheets, PublishedMoment, Revision, Store
from app.store import StoredChange as Stored


class PublishedRevisions:
    """The use cases on revisions.

    Args:
        store: where designs are kept.
        heads: what one answer has read of them.
    """

    def __init__(self, store: Store, heads: ReadOnce[Head]) -> None:
        self._store, self._heads = store, heads

    def of(self, design_id: str) -> tuple[PublishedMoment, ...]:
        """Those of a design that this shelf has, in the order they came out."""
        return self._store.published.of(design_id)

    def publish(
        self, design_id: str, note: str, changes: Sequence[str], date: str, sender: Sender
    ) -> tuple[Head, Edit]:
        """Publish a design as it is now as its next revision; its letter was never given, and is never given again.

        Args:
            design_id: the design.
            note: of the plan maker; may be empty.
            changes: what changed since the revision before, a sentence each.
            date: the day, as ``2026-02-01``.
            sender: the window that asks.

        Raises:
            NotFoundError: no such design.
            EditError: nothing has changed since it was published, or a text cannot be kept.
        """
        given = [each.letter for each in self.of(design_id)]
        made: list[Edit] = []

        def apply(revision: Revision) -> Stored:
            written = read_of(revision)
            letter = next_letter([*given, *(each.letter for each in written.published or ())])
            done = publish(written, letter, date, note, changes)
            made.append(done)
            return Stored(kept_after(done.design, written), done.summary, done.design.title, letter)

        head = self._heads.now(design_id, self._store.edit(design_id, apply, sender.window))
        return head, made[-1]

    def written(self, design_id: str, letter: str) -> Design:
        """A design as it was published, as its file has it; the newest revision if no letter is given.

        Raises:
            NotFoundError: this shelf has no such revision.
            DamagedError: what is stored of it cannot be read.
        """
        moment = next((each.moment for each in reversed(self.of(design_id)) if letter in ("", each.letter)), None)
        if moment is None:
            raise NotFoundError(
                f"This shelf has no revision “{letter}” of that design. Its page lists those there are."
            )
        return read_of(self._store.revision(design_id, moment))

    def titles(self) -> dict[str, str]:
        """Title of every design on the shelf, and of those put away, by id."""
        rows = [*self._store.designs(), *self._store.designs(removed=True)]
        return {row.id: row.title for row in rows}

    def printed(self, code: str) -> tuple[tuple[PrintedSheets, datetime | None], ...]:
        """What sheets printed from this shelf bear a check code, and since when, the latest first."""
        return self._store.sheet_codes.find(code)

    def note_printed(self, printed: Sequence[PrintedSheets]) -> None:
        """Note which code sheets bear that are handed out; where that fails, everything else works."""
        with suppress(HolewiseError):
            self._store.sheet_codes.keep(printed)
