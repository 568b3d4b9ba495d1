"""Which published revision a design is, or was before it changed; and which letter comes next."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from typing import Final

from app.document.schema import ArrangementEntry, BoardEntry, Design, ShopEntry

_DIGITS: Final = 32  # of a digest, in hexadecimal
_LETTERS: Final = 26


def plan_digest(design: Design) -> str:
    """A digest of the plan: of everything in a design but what belongs to the builder or to the list of revisions.

    A builder's bits, way of drilling and paper, the units on screen, what was drilled, what was tried in scrap
    and where things came from change no plan.
    """
    boards = tuple(_plan_board(board) for board in design.boards)
    plan = design.model_copy(
        update={
            "published": None, "coupon": None, "brought": None, "shop": ShopEntry(), "units": "mm", "boards": boards
        }
    )  # fmt: skip
    # What stands at its default is left out, so that a field which comes later changes no digest.
    text = json.dumps(plan.model_dump(mode="json", exclude_defaults=True), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:_DIGITS]


def _plan_board(board: BoardEntry) -> BoardEntry:
    if not any(arrangement.as_built for arrangement in board.arrangements):
        return board
    return board.model_copy(update={"arrangements": tuple(map(_plan_arrangement, board.arrangements))})


def _plan_arrangement(arrangement: ArrangementEntry) -> ArrangementEntry:
    return arrangement.model_copy(update={"as_built": None})


def published_letter(design: Design) -> str:
    """The letter of the published revision that the design is, the newest if several are alike; empty if none."""
    published = design.published or ()
    digest = plan_digest(design) if published else ""
    return next((each.letter for each in reversed(published) if each.digest == digest), "")


def revision_name(design: Design, step: str = "") -> str:
    """What sheets call the state of a design that they show.

    Args:
        design: the design.
        step: its number in the timeline of its shelf; empty for a file on its own.

    Returns:
        ``revision B``; of what is none, ``step 12``, ``step 12 after revision B`` or ``changed since revision B``;
        empty for a file on its own that nobody published.
    """
    if not design.published:
        return f"step {step}" if step else ""
    letter = published_letter(design)
    if letter:
        return f"revision {letter}"
    last = design.published[-1].letter
    return f"step {step} after revision {last}" if step else f"changed since revision {last}"


def next_letter(taken: Iterable[str]) -> str:
    """The letter after all that are taken: after ``Z`` comes ``AA``."""
    number = max(map(_number, taken), default=0) + 1
    letters = ""
    while number:
        number, digit = divmod(number - 1, _LETTERS)
        letters = chr(ord("A") + digit) + letters
    return letters


def _number(letter: str) -> int:
    """Which one in the order of letters, A first, counted from 1."""
    number = 0
    for each in letter:
        number = _LETTERS * number + ord(each) - ord("A") + 1
    return number
