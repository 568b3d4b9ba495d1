"""What was made from a revision and is kept with it: made once, unless the program or the stored text changes.

Keeping only saves time. Where it fails, on a full disk or one that cannot be written, what is asked for is made anew.
"""

from __future__ import annotations

import logging
import zlib
from collections.abc import Mapping
from typing import Literal

from app.service.program import program_code
from app.store import Derived

Kind = Literal["verdict", "picture"]

_LOG = logging.getLogger("holewise.kept")
_SIZE_BYTES = 8


class Kept:
    """Values made from revisions, packed, each with the length of the document it was made from.

    Args:
        derived: where they are kept.
    """

    def __init__(self, derived: Derived) -> None:
        self._derived = derived
        self._cleared: set[Kind] = set()

    def read(self, kind: Kind, sizes: Mapping[str, int]) -> dict[str, bytes]:
        """What is kept of a kind, by revision.

        Args:
            kind: what it is.
            sizes: the length of the document of each revision, as it is stored now. What was made from a document of
                another length is left out: the database was damaged since, and the text must be looked at again.
        """
        if not sizes:
            return {}
        try:
            found = self._derived.read_many(kind, program_code(), list(sizes))
        except Exception as error:  # noqa: BLE001 - whatever ails it, what is asked for can be made anew
            _LOG.warning("what is kept cannot be read: %s", type(error).__name__)
            return {}
        opened = {name: _opened(value, sizes[name]) for name, value in found.items()}
        return {name: value for name, value in opened.items() if value is not None}

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
