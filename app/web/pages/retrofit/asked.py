"""What the address of a retrofit says: from which state, and what was chosen for single holes."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.errors import EditError
from app.values import replace

_MOST: Final = 200
"""Holes that can be chosen for one by one: an address holds no more."""

_LONGEST: Final = 100


class RetrofitWays(Struct, frozen=True):
    """What was chosen.

    Args:
        older: the older state, as an address has it; empty if none was chosen.
        was: id of the arrangement that was drilled; empty for the same one.
        chosen: a way for each of some holes.
    """

    older: str
    was: str
    chosen: tuple[tuple[str, str], ...]

    def begun(self, older: str) -> RetrofitWays:
        """The same, with that older state if none was chosen."""
        return self if self.older else replace(self, older=older)

    @property
    def packed(self) -> str:
        """What was chosen for holes, as the address has it."""
        return ",".join(f"{hole}:{way}" for hole, way in self.chosen)

    @property
    def query(self) -> dict[str, str]:
        """All of it, as the address has it."""
        return {"from": self.older, "was": self.was, "do": self.packed}


def ways_of(older: str, was: str, do: str, hole: str, way: str) -> RetrofitWays:
    """What an address says; ``hole`` and ``way`` are the one choice of a form that was sent, which comes last.

    Raises:
        EditError: more was chosen than an address holds.
    """
    chosen: dict[str, str] = {}
    for pair in (*do.split(","), f"{hole}:{way}" if hole else ""):
        ident, _, kind = pair.rpartition(":")
        if ident and kind and len(pair) <= _LONGEST:
            chosen[ident] = kind
        elif ident:
            chosen.pop(ident, None)
    if len(chosen) > _MOST:
        raise EditError(
            f"A way was chosen for {len(chosen)} holes by themselves; up to {_MOST} can be. "
            "Set some of them back to least work.",
            "do",
        )
    return RetrofitWays(older, was, tuple(chosen.items()))
