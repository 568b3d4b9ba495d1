"""Which board of a design, and which of its arrangements."""

from __future__ import annotations

from msgspec import Struct


class Where(Struct, frozen=True):
    """A board and an arrangement of a design, by id; None for the deck, and for its first arrangement."""

    board: str | None = None
    arrangement: str | None = None
