"""What comes to the shelf, from a form, a file, a scenario or another design; and what is put away and back."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.copy_names import copy_name
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.keep import kept
from app.document.load import loads
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.service.keeping import kept_after
from app.service.shelf.starting import new_design
from app.service.sight import read_of
from app.store import DesignRow, Head, Store


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

    def remove(self, design_id: str) -> DesignRow:
        """Take a design off the shelf; nothing is deleted."""
        return self._store.remove(design_id)

    def put_back(self, design_id: str) -> DesignRow:
        """Put a design back on the shelf."""
        return self._store.put_back(design_id)
