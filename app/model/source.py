"""Where a number comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Basis = Literal["measured", "data sheet", "typical"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where a row's numbers come from, in words, and how far to trust them."""

    text: str
    basis: Basis
