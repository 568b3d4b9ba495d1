"""Changes that are worked out while the store holds its lock."""

from __future__ import annotations

from collections.abc import Callable

from app.errors import EditError
from app.store import Revision, StoredChange


def locked(change: Callable[[Revision], StoredChange]) -> Callable[[Revision], StoredChange]:
    """``change``, which cannot be made ahead of the transaction, and so is made within it."""
    ahead = [True]

    def made(head: Revision) -> StoredChange:
        if ahead and ahead.pop():
            raise EditError("Not yet.", "when")
        return change(head)

    return made
