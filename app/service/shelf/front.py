"""What the first page needs of the use cases: the shelf. The workshop over the same designs comes when it is needed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from app.service.own_bits import Bench
from app.service.shelf.shelves import Shelves
from app.store import Store, open_store

if TYPE_CHECKING:
    from app.service.workshop import Workshop


class Front:
    """Designs that are kept, as far as the first page shows them.

    Args:
        store: where they are kept.

    Attributes:
        shelf: what is shown of them all.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self.shelf = Shelves(store, Bench(store.own_bits))

    def workshop(self) -> Workshop:
        """The workshop over the same designs; what it needs is imported now."""
        from app.service.workshop import Workshop

        return Workshop(self._store)


def open_front(where: Path | str | None = None) -> Front:
    """The designs in a folder or at the URL of a database; None is the user's data folder.

    Raises:
        StoreError: the folder or the database cannot be used.
    """
    return Front(open_store(where))
