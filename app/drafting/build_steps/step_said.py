"""What is said of a step, and the words that several steps have in common."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.model.resolved import Placed, ResolvedBoard

BY_THE_TIN: Final = "for as long as the tin says; longer where it is cold or damp"
"""How long anything dries: no figure of ours is better than the one on the tin."""

EDGES: Final = {"front": "front edge", "right": "right edge", "back": "back edge", "left": "left edge"}

DRILL_CAUTION: Final = (
    "Eye and ear protection; extract the dust and wear a mask; clamp the board; no gloves at a spinning bit."
)
DUST_CAUTION: Final = "Dust of MDF and plywood harms the lungs: extract it, wear a mask and eye protection."
FUME_CAUTION: Final = (
    "Open the windows and keep flames and sparks away; gloves, and what else the tin asks for. Rags can catch fire by "
    "themselves: lay them out flat to dry, outdoors."
)

_MOST: Final = 40
_FEW: Final = 3


class StepSaid(Struct, frozen=True):
    """What is said of a step.

    Args:
        title: what is done, and to what.
        sentences: how, as a builder would tell it.
        needs: tools, bits and what is used up.
        dries: how long it dries; empty where nothing does.
        caution: where it can hurt; empty where it cannot.
    """

    title: str
    sentences: tuple[str, ...]
    needs: tuple[str, ...] = ()
    dries: str = ""
    caution: str = ""


def listed(words: Sequence[str]) -> str:
    """``A, B and C``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def letters_of(letters: Iterable[str]) -> str:
    """Letters of parts, each once; of very many the first, and how many more."""
    found = list(dict.fromkeys(letters))
    if len(found) <= _MOST:
        return ", ".join(found)
    return f"{', '.join(found[:_MOST])} and {len(found) - _MOST:,} more"


def letter_of(placed: Placed) -> str:
    """What a part is called on the plan."""
    return placed.label or placed.part.name


def names_of(boards: Sequence[ResolvedBoard]) -> str:
    """Boards by name, as ``Control deck and Fan board``."""
    return listed([board.name for board in boards])


def boards_words(boards: Sequence[ResolvedBoard]) -> str:
    """Boards by name; of many how many."""
    return names_of(boards) if len(boards) <= _FEW else f"{len(boards)} boards"


def many(number: int, word: str) -> str:
    """``1 hole``, ``2 holes``."""
    return f"{number:,} {word}{'' if number == 1 else 's'}"


def grit(name: str) -> str:
    """A grit of the catalogue, as it stands on the paper."""
    return f"{catalogue().rule(name):.0f}"
