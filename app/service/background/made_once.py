"""What was made from a revision and is kept with it: made once, unless the program or the stored text changes.

Keeping only saves time. Where it fails, on a full disk or one that cannot be written, what is asked for is made anew.
"""

from __future__ import annotations

import logging
import threading
import zlib
from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from app.service.background.memory import Memory
from app.service.background.program import program_code
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
        bits_code: gives a code of the workshop's bits, with which what is kept was worked out.

    Attributes:
        making: held while much is made, so that who asks for the same meanwhile waits for it.
    """

    def __init__(self, derived: Derived, bits_code: Callable[[], str] = lambda: "") -> None:
        self._derived = derived
        self._bits_code = bits_code
        self._cleared: set[tuple[Kind, str]] = set()
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
        code = self.code()
        held = {name: self._fresh.get((code, kind, name, size)) for name, size in sizes.items()}
        ready = {name: value for name, value in held.items() if value is not None}
        if len(ready) == len(sizes):
            return ready
        try:
            found = self._derived.read_many(kind, code, [name for name in sizes if name not in ready])
        except Exception as error:  # noqa: BLE001 - whatever ails it, what is asked for can be made anew
            _LOG.warning("what is kept cannot be read: %s", type(error).__name__)
            return ready
        opened = {name: _opened(value, sizes[name]) for name, value in found.items()}
        return ready | {name: value for name, value in opened.items() if value is not None}

    def code(self) -> str:
        """What decides besides the documents: the program, and the workshop's bits."""
        return self.code_of(self._bits_code())

    @staticmethod
    def code_of(bits: str) -> str:
        """The same for the bits with that code."""
        return f"{program_code()}-{bits}" if bits else program_code()

    def hold(self, kind: Kind, made: Mapping[str, bytes], sizes: Mapping[str, int], code: str = "") -> None:
        """Have what was made at hand until it is kept, and for good where it cannot be.

        ``code`` is what :meth:`code` gave before it was made; that of now if it is empty.
        """
        code = code or self.code()
        for name, value in made.items():
            self._fresh.put((code, kind, name, sizes[name]), value, len(value))

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

    def keep(self, kind: Kind, made: Mapping[str, bytes], sizes: Mapping[str, int], code: str = "") -> None:
        """Keep what was made, by revision; nothing is said if it cannot be kept. ``code`` as of :meth:`hold`."""
        if not made:
            return
        packed = {name: sizes[name].to_bytes(_SIZE_BYTES) + zlib.compress(value) for name, value in made.items()}
        try:
            code = code or self.code()
            self._derived.keep(kind, code, packed)
            if (kind, code) not in self._cleared:
                self._cleared.add((kind, code))
                self._derived.clear_other_codes(kind, code)
        except Exception as error:  # noqa: BLE001 - a full disk must not take a page with it
            _LOG.warning("what was made cannot be kept: %s", type(error).__name__)


def _opened(value: bytes, size: int) -> bytes | None:
    if int.from_bytes(value[:_SIZE_BYTES]) != size:
        return None
    try:
        return zlib.decompress(value[_SIZE_BYTES:])
    except zlib.error:  # it carries a sum of its own, so damage shows
        return None
