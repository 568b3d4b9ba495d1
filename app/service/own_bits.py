"""The bits of the workshop: kept once, and used for every design in place of the list its file carries."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from app.document.bit_list import read_bits, write_bits
from app.document.schema import BitEntry, Design
from app.errors import DocumentError
from app.service.background.one_answer import ReadOnce

if TYPE_CHECKING:
    from app.store import OwnBits

Bits = tuple[BitEntry, ...]

_CODE = 12


class Bench:
    """The builder's own list of bits; None where there is none yet, and then each design's own counts.

    Args:
        kept: where it is kept.
    """

    def __init__(self, kept: OwnBits) -> None:
        self._kept = kept
        self._read: ReadOnce[tuple[Bits | None]] = ReadOnce()

    def bits(self) -> Bits | None:
        """The builder's own list, which may be empty; None where there is none."""
        return self._read.once("bits", lambda: (_opened(self._kept.read()[0]),))[0]

    def before(self) -> Bits | None:
        """The list before the last change."""
        return _opened(self._kept.read()[1])

    def keep(self, bits: Bits | None) -> Bits | None:
        """Keep a list in place of the one there is, and give it; None to have none: then each design's own counts."""
        packed = _packed(bits)
        self._kept.keep(packed, self._kept.read()[0])
        return self._read.now("bits", (_opened(packed),))[0]

    def swap(self) -> None:
        """Take the last change back; done twice, it is made again."""
        now, before = self._kept.read()
        self._kept.keep(before, now)
        self._read.now("bits", (_opened(before),))

    def code(self) -> str:
        """A code of the list: what was worked out with another list must not pass for what holds with this one."""
        return bits_code(self.bits())


def bits_code(bits: Bits | None) -> str:
    """A code of a list, the same on every day; empty for none."""
    return "" if bits is None else hashlib.sha256((_packed(bits) or "").encode()).hexdigest()[:_CODE]


def with_bits(design: Design, bits: Bits | None) -> Design:
    """The design as it is made in a workshop with these bits; as it is where the workshop lists none."""
    if bits is None:
        return design
    return design.model_copy(update={"shop": design.shop.with_own(bits)})


def without_bits(design: Design, as_written: Design) -> Design:
    """A design that was changed with the workshop's bits, with the list its own file carries."""
    own = {name: getattr(design.shop, name) for name in ("drilling", "paper", "rates", "spares")}
    shop = as_written.shop.model_copy(update=own)
    return design.model_copy(update={"shop": shop})


def _packed(bits: Bits | None) -> str | None:
    return None if bits is None else write_bits(bits)


def _opened(text: str | None) -> Bits | None:
    if text is None:
        return None
    try:
        return read_bits(text)
    except DocumentError:  # damaged: then each design's own counts, as if none were listed
        import logging

        logging.getLogger("holewise.own_bits").warning("the list of bits cannot be read")
        return None
