"""What can be done to an old cut: each way with its work, and what speaks against it."""

from __future__ import annotations

from typing import Final, Literal

from msgspec import Struct

Kind = Literal["keep", "enlarge", "plug", "open"]
KINDS: Final[tuple[Kind, ...]] = ("keep", "enlarge", "open", "plug")
"""Ways in the order in which they are chosen where they are as much work."""


class OldWay(Struct, frozen=True):
    """A way to deal with an old cut.

    Args:
        kind: ``keep`` it for a new cut, ``enlarge`` it to one, ``plug`` it, leave it ``open``.
        new: the new cut that it is kept for or enlarged to, by its place; None for the others.
        minutes: work that it takes by itself, a guide block and the new cut not counted.
        wide: diameter of the plug [mm]; 0 for the others, and for what is filled as it is.
        bored: whether the old hole is bored out to the plug first.
        hidden: what hides a hole that is left open: the placement whose flange or plate lies over it, or ``below``
            where it does not come through; empty if it shows.
    """

    kind: Kind
    new: int | None = None
    minutes: float = 0.0
    wide: float = 0.0
    bored: bool = False
    hidden: str = ""
