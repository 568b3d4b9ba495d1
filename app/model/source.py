"""Where a number comes from."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Basis = Literal["measured", "data sheet", "typical"]


class Source(Struct, frozen=True):
    """Where a row's numbers come from, in words, and how far to trust them."""

    text: str
    basis: Basis
