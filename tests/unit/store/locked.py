"""Changes that are worked out while the store holds its lock."""

from __future__ import annotations

from collections.abc import Callable

from app.errors import EditError
from app.store import Change, Revision


def locked(change: Callable[[Revision], Change]) -> Callable[[Revision], Change]:
    """``change``, which cannot be made ahead of the transaction, and so is made within it."""
    ahead = [True]

    def made(head: Revision) -> Change:
        if ahead and ahead.pop():
            raise EditError("Not yet.", "when")
        return change(head)

    return made
