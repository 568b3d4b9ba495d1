"""What was made from a revision and is kept with it: made once, unless the program or the stored text changes.

Keeping only saves time. Where it fails, on a full disk or one that cannot be written, what is asked for is made anew.
"""

from __future__ import annotations

import logging
import threading
import zlib
from collections.abc import Mapping, Sequence
from typing import Literal

from app.service.memory import Memory
from app.service.program import program_code
from app.store import Derived, Shelved

Kind = Literal["verdict", "picture"]

_LOG = logging.getLogger("holewise.made_once")
_SIZE_BYTES = 8
_PAIR_ROOM = 300
"""Room for the ids of a design and a revision with what is known of them, on the high side [bytes]."""

_FRESH_ROOM = 16_000_000
"""Room for what was made lately [bytes]: a picture takes 12 kB, a verdict a fiftieth of that."""


class MadeOnce:
    """Values made from revisions, packed, each with the length of the document it was made from.

    Args:
        derived: where they are kept.

    Attributes:
        making: held while much is made, so that who asks for the same meanwhile waits for it.
    """

    def __init__(self, derived: Derived) -> None:
        self._derived = derived
        self._cleared: set[Kind] = set()
        self._fresh: Memory[bytes] = Memory(_FRESH_ROOM)
        self._followed: Memory[bool] = Memory(10_000 * _PAIR_ROOM)
        self.making = threading.Lock()

    def read(self, kind: Kind, sizes: Mapping[str, int]) -> dict[str, bytes]:
        """What is kept of a kind, by revision.

        Args:
            kind: what it is.
            sizes: the length of the document of each revision, as it is stored now. What was made from a document of
                another length is left out: the database was damaged since, and the text must be looked at again.
        """
        held = {name: self._fresh.get((kind, name, size)) for name, size in sizes.items()}
        ready = {name: value for name, value in held.items() if value is not None}
        if len(ready) == len(sizes):
            return ready
        try:
            found = self._derived.read_many(kind, program_code(), [name for name in sizes if name not in ready])
        except Exception as error:  # noqa: BLE001 - whatever ails it, what is asked for can be made anew
            _LOG.warning("what is kept cannot be read: %s", type(error).__name__)
            return ready
        opened = {name: _opened(value, sizes[name]) for name, value in found.items()}
        return ready | {name: value for name, value in opened.items() if value is not None}

    def hold(self, kind: Kind, made: Mapping[str, bytes], sizes: Mapping[str, int]) -> None:
        """Have what was made at hand until it is kept, and for good where it cannot be."""
        for name, value in made.items():
            self._fresh.put((kind, name, sizes[name]), value, len(value))

    def tangled(self, rows: Shelved, heads: Sequence[tuple[str, str]]) -> frozenset[str]:
        """Those of the designs, each given with its head, whose moments do not follow one another.

        All moments of a design have to be read for that, so it is asked once for each head.
        """
        held = {pair: self._followed.get(pair) for pair in heads}
        asked = [pair for pair, found in held.items() if found is None]
        found = rows.tangled([design for design, _ in asked]) if asked else frozenset[str]()
        for pair in asked:
            self._followed.put(pair, pair[0] not in found, _PAIR_ROOM)
        return found | {design for (design, _), follows in held.items() if follows is False}

    def keep(self, kind: Kind, made: Mapping[str, bytes], sizes: Mapping[str, int]) -> None:
        """Keep what was made, by revision; nothing is said if it cannot be kept."""
        if not made:
            return
        packed = {name: sizes[name].to_bytes(_SIZE_BYTES) + zlib.compress(value) for name, value in made.items()}
        try:
            self._derived.keep(kind, program_code(), packed)
            if kind not in self._cleared:
                self._cleared.add(kind)
                self._derived.clear_other_codes(kind, program_code())
        except Exception as error:  # noqa: BLE001 - a full disk must not take a page with it
            _LOG.warning("what was made cannot be kept: %s", type(error).__name__)


def _opened(value: bytes, size: int) -> bytes | None:
    if int.from_bytes(value[:_SIZE_BYTES]) != size:
        return None
    try:
        return zlib.decompress(value[_SIZE_BYTES:])
    except zlib.error:  # it carries a sum of its own, so damage shows
        return None
