"""What a step has done to the arrangements that are not on screen."""

from __future__ import annotations

from typing import Final

from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design
from app.service.background.budget import patience
from app.service.checks.states import PATIENCE_S, Key, State, States, called, carried, judged_state, keys_of

_MOST: Final = 500
"""Parts of an arrangement that is judged beside another: up to so many it takes a fraction of a second."""

_NAMED: Final = 3
"""Arrangements of which it is said each by itself what a step made there."""

_NO_REASONS: Final = {"accepted": ()}


def after_step(
    before: Design, after: Design, board: str | None, arrangement: str | None, known: States
) -> tuple[str, States]:
    """What a step made elsewhere, and what is known of the arrangements after it.

    Args:
        before: the design as it was.
        after: the design with the step made.
        board: what is on screen; None for the deck.
        arrangement: likewise; None for the first.
        known: of the design before.

    Returns:
        “makes 2 stops in Two players”, of each other arrangement in which it made some, else empty; and the states of
        those that it left as they were, or that were judged in the time there is.
    """
    old, new = find_board(before, board), find_board(after, board)
    here = (new.id, find_arrangement(old, arrangement).id)
    others = [key for key in keys_of(after, new.id) if key != here]
    if not others:
        return "", {}
    now = carried(before, after, known)
    there, parts, more = set(keys_of(before)), _parts(after), patience(PATIENCE_S)
    said = []
    for key in others:
        if key in now or parts[key] > _MOST or not more(1.0):
            continue
        state = judged_state(after, key)
        if state is None:
            continue
        now[key] = state
        was = (known.get(key) or judged_state(before, key)) if key in there else None
        made = _made(was, state) if was is not None else ""
        if made and not _only_reasons(before, after, key):
            said.append(f"{made} in {called(after, key, new.id)}")
    rest = len(said) - _NAMED
    if rest > 0:
        said = [*said[:_NAMED], f"makes some in {rest} more arrangement{'' if rest == 1 else 's'}"]
    return "; ".join(said), now


def _parts(design: Design) -> dict[Key, int]:
    return {(b.id, a.id): len(a.placements) for b in design.boards for a in b.arrangements}


def _only_reasons(before: Design, after: Design, key: Key) -> bool:
    """Whether but for reasons all is as it was: a caution that is no longer accepted was there before."""
    was, now = (_without_reasons(design) for design in (before, after))
    return bool(carried(was, now, {key: State(0, 0, 0)}))


def _without_reasons(design: Design) -> Design:
    boards = (
        board.model_copy(update={"arrangements": tuple(a.model_copy(update=_NO_REASONS) for a in board.arrangements)})
        for board in design.boards
    )
    return design.model_copy(update={"boards": tuple(boards)})


def _made(was: State, now: State) -> str:
    """``makes 2 stops``, or of cautions if it made no stop."""
    for one, more in (("stop", now.stops - was.stops), ("caution", now.cautions - was.cautions)):
        if more > 0:
            return f"makes {more} {one}{'' if more == 1 else 's'}"
    return ""
