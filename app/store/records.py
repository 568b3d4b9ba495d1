"""What the store hands out: frozen rows."""

from __future__ import annotations

from datetime import datetime

from msgspec import Struct


class StoredChange(Struct, frozen=True):
    """The result of an edit: the whole new document and the words for the step ("Moved A 12 mm right").

    ``letter`` is that of the revision which the step publishes; empty if it publishes none.
    """

    document: str
    summary: str
    title: str
    letter: str = ""


class DesignRow(Struct, frozen=True):
    """One design on the shelf.

    Args:
        id: random identifier, part of the address.
        title: as in the document of the head revision.
        created: when it came into the store; None if that cannot be read.
        modified: last edit, undo or redo; likewise.
        head: id of the revision now shown.
        removed: whether it was taken off the shelf; nothing is deleted.
        damaged: names of the columns that cannot be read; ``row`` if there is none and its revisions stand for it.
    """

    id: str
    title: str
    created: datetime | None
    modified: datetime | None
    head: str
    removed: bool = False
    damaged: tuple[str, ...] = ()


class Revision(Struct, frozen=True):
    """One state of a design.

    Args:
        id: random identifier; the content of a revision never changes, so it is a safe cache key.
        design: the design it belongs to.
        parent: the revision it was made from; None for the first.
        number: 1, 2, 3 … in order of making, over all branches of the design.
        summary: words for the step that made it.
        document: the whole document as JSON text.
        created: when it was made; None if that cannot be read.
        redo: the child that *Redo* goes to; None if there is none.
    """

    id: str
    design: str
    parent: str | None
    number: int
    summary: str
    document: str
    created: datetime | None
    redo: str | None = None


class Moment(Struct, frozen=True):
    """A revision without its document.

    Args:
        id, parent, number, summary, created, redo: as of the :class:`Revision`.
    """

    id: str
    parent: str | None
    number: int
    summary: str
    created: datetime | None
    redo: str | None = None


class Present(Struct, frozen=True):
    """That a revision is there, without its document.

    A revision never changes. If its document has another length than it had, the database was damaged.

    Args:
        design: the design it belongs to.
        size: length of its document, as the database counts it.
        dated: whether it can be read when it was made.
    """

    design: str
    size: int
    dated: bool


class Past(Struct, frozen=True):
    """A design with every moment of it, as far as they can be read; no document is.

    Args:
        design: the design; its head may be none of the moments.
        moments: in order of making, branches left by undo included; there may be none.
    """

    design: DesignRow
    moments: tuple[Moment, ...]

    @property
    def head(self) -> Moment | None:
        """The moment now shown; None if it is missing."""
        return self._at(self.design.head)

    @property
    def undo(self) -> str:
        """Words for the step *Undo* takes back; empty if there is nothing to take back."""
        return self.head.summary if self.head is not None and self._at(self.head.parent) is not None else ""

    @property
    def redo(self) -> str:
        """Words for the step *Redo* makes again; empty if there is none."""
        child = self._at(self.head.redo) if self.head is not None else None
        return child.summary if child is not None else ""

    def _at(self, moment_id: str | None) -> Moment | None:
        return next((moment for moment in self.moments if moment.id == moment_id), None)


class Profile(Struct, frozen=True):
    """How prints of one printer on one paper are corrected.

    Args:
        printer: the name the builder gave it.
        paper: the paper's name in the catalogue, or its sides.
        x, y: factors along the short and the long side of the paper.
        measured: what was measured, in words.
        made: when.
    """

    printer: str
    paper: str
    x: float
    y: float
    measured: str
    made: datetime


class Head(Struct, frozen=True):
    """A design with the revision now shown and the names of the steps next to it.

    Args:
        design: the design.
        revision: the revision shown.
        undo: words for the step *Undo* takes back; None if there is nothing to take back.
        redo: words for the step *Redo* makes again; None if there is none.
    """

    design: DesignRow
    revision: Revision
    undo: str | None
    redo: str | None
