"""What comes to the shelf, from a form, a file, a scenario or another design; and what is put away and back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from app.arrange.copy_names import copy_name
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.keep import kept
from app.document.load import loads
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.service.background.budget import apart
from app.service.keeping import kept_after
from app.service.shelf.starting import new_design
from app.service.sight import read_of
from app.store import DesignRow, Head, Store, check_labels, utc_now
from app.values import replace

if TYPE_CHECKING:
    from app.service.shelf.saved_shelf import SavedShelf
    from app.service.shelf.taking import Arrival


class Arrivals:
    """The use cases that put designs on the shelf and take them off it.

    Args:
        store: where they are kept.
    """

    def __init__(self, store: Store) -> None:
        self._store = store

    def create(self, spec: NewDeck) -> Head:
        """Put a new deck on the shelf.

        Raises:
            EditError: a value is not allowed, or the deck would not bear a leaning hand, with the form field it
                belongs beside.
        """
        design = new_design(spec)
        return self._store.add(kept(design), design.title, "New deck")

    def open_file(self, data: bytes) -> Head:
        """Put a copy of a design file on the shelf; the file itself stays as it is.

        Raises:
            DocumentError: it cannot be read, holds too much, or names hardware or material that is not known.
        """
        design = loads(data)
        text = kept(design)
        for board in design.boards:
            for arrangement in board.arrangements:
                resolve(design, board.id, arrangement.id, catalogue())
        return self._store.add(text, design.title, "Opened from a file")

    def open_scenario(self, name: str) -> Head:
        """Put a copy of a scenario on the shelf.

        Raises:
            NotFoundError: there is none of that name.
        """
        design = load_scenario(name)
        return self._store.add(kept(design), design.title, "Copied from a scenario")

    def duplicate(self, design_id: str) -> Head:
        """Put a copy of a design on the shelf as it is now, under a title of its own and the same labels.

        Its timeline begins with it.

        Raises:
            NotFoundError: no such design.
            DamagedError: what is stored of it cannot be read.
        """
        design = read_of(self._store.head(design_id).revision)
        taken = [row.title for away in (False, True) for row in self._store.designs(removed=away)]
        copy = design.model_copy(update={"title": copy_name(design.title, taken)})
        head = self._store.add(kept_after(copy, design), copy.title, f"Copied from “{design.title}”")
        if labels := self._store.labels.all().get(design_id):
            self._store.labels.set(head.design.id, labels)
        return head

    def labels(self) -> dict[str, tuple[str, ...]]:
        """The labels of every design that has some, by its id."""
        return self._store.labels.all()

    def label(self, design_id: str, labels: Sequence[str]) -> tuple[str, ...]:
        """Give a design these labels, and no others; gives them as they are kept.

        Raises:
            NotFoundError: no such design.
            EditError: a label that cannot be, or too many.
        """
        return self._store.labels.set(design_id, labels)

    def saved(self) -> SavedShelf:
        """Every design of the shelf in one file, with labels and published revisions."""
        from app.service.shelf.saved_shelf import saved_shelf

        return saved_shelf(self._store.every_design())

    def open_shelf(self, data: bytes) -> tuple[Arrival, ...]:
        """Put the designs of a saved shelf on this one, each whole; all that can be taken at once, or none.

        A design that is here as it is stays as it is; one that has become another here stays too, and the one of the
        file comes beside it.

        Raises:
            DocumentError: it is no saved shelf, is damaged, or holds too much.
        """
        from app.service.shelf.opened_shelf import read_shelf
        from app.service.shelf.taking import ShelfHere, copies_wanted, sorted_out

        here = ShelfHere.of(self._store.heads())
        found = apart(True, read_shelf, data, frozenset(here.digests.values()))
        wanted = {here.rows[ident].head: ident for ident in copies_wanted(found, here)}
        documents = {wanted[head]: r.document for head, r in self._store.shelved.revisions(list(wanted)).items()}
        sorted_ = sorted_out(found, here, documents, utc_now())
        for _, coming in sorted_:
            check_labels(coming.labels if coming else ())
        ids = iter(self._store.put_on([coming for _, coming in sorted_ if coming is not None]))
        return tuple(replace(arrival, id=next(ids)) if coming else arrival for arrival, coming in sorted_)

    def remove(self, design_id: str) -> DesignRow:
        """Take a design off the shelf; nothing is deleted."""
        return self._store.remove(design_id)

    def put_back(self, design_id: str) -> DesignRow:
        """Put a design back on the shelf."""
        return self._store.put_back(design_id)
