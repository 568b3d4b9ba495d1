"""Revisions that windows show while something is dragged in them, read once and not for every place of the hand."""

from __future__ import annotations

from time import monotonic
from typing import Final

from app.errors import NotFoundError
from app.service.background.memory import Memory
from app.service.checks.checking import Revised
from app.service.own_bits import Bench
from app.service.sight import revised_of
from app.store import Store

_HELD_S: Final = 1.0
"""How long the workshop's bits may be those of before [s]; a revision itself never changes."""

_ROOM: Final = 32_000_000
"""Room for all of them [bytes]."""


class OnScreen:
    """Revisions as they were read lately, with the workshop's bits.

    Args:
        store: where they are.
        bench: whose bits.
    """

    def __init__(self, store: Store, bench: Bench) -> None:
        self._store, self._bench = store, bench
        self._read: Memory[tuple[float, Revised]] = Memory(_ROOM)

    def shown(self, design_id: str, seen: str) -> Revised:
        """The revision ``seen`` of a design; the one that is shown now, if there is no such one.

        Raises:
            NotFoundError: no such design.
        """
        held = self._read.get((design_id, seen))
        if held is not None and monotonic() - held[0] < _HELD_S:
            return held[1]
        try:
            found = self._store.revision(design_id, seen)
        except NotFoundError:
            return revised_of(self._store.head(design_id).revision, self._bench.bits())
        read = revised_of(found, self._bench.bits())
        self._read.put((design_id, seen), (monotonic(), read), 2 * len(read.text))
        return read
