"""Several windows on one design: who made a step, what others did since a window last looked, and that in words."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from typing import Final

from msgspec import Struct, field

from app.store import Moment

_SHOWN: Final = 3
"""Steps of others that are named; of more it is said how many."""


class Sender(Struct, frozen=True):
    """The window a change comes from.

    Args:
        seen: id of the revision it shows; empty if it does not say, and then nothing is compared.
        window: a name of its own for it; without one, every request counts as a window of its own.
    """

    seen: str = ""
    window: str = field(default_factory=lambda: secrets.token_hex(6))


class Meanwhile(Struct, frozen=True):
    """What happened to a design between two looks at it.

    Args:
        made: steps made, oldest first.
        taken_back: steps taken back, newest first.
    """

    made: tuple[Moment, ...] = ()
    taken_back: tuple[Moment, ...] = ()

    def without(self, ids: Sequence[str]) -> Meanwhile:
        """The same but for some steps."""
        return Meanwhile(
            tuple(m for m in self.made if m.id not in ids),
            tuple(m for m in self.taken_back if m.id not in ids),
        )

    def __bool__(self) -> bool:
        """Whether anything happened at all."""
        return bool(self.made or self.taken_back)


def between(moments: Sequence[Moment], seen: str, now: str) -> Meanwhile:
    """The steps from the revision ``seen`` to ``now``; none if ``seen`` is not of this design."""
    by_id = {moment.id: moment for moment in moments}
    if seen not in by_id or now not in by_id:
        return Meanwhile()
    before, after = _line(by_id, seen), _line(by_id, now)
    shared = {moment.id for moment in before} & {moment.id for moment in after}
    made = tuple(moment for moment in reversed(after) if moment.id not in shared)
    return Meanwhile(made, tuple(moment for moment in before if moment.id not in shared))


def _line(by_id: dict[str, Moment], end: str) -> list[Moment]:
    """A moment and all before it, newest first; once round, if a damaged store has them in a ring."""
    line, at = dict[str, Moment](), by_id.get(end)
    while at is not None and at.id not in line:
        line[at.id] = at
        at = by_id.get(at.parent or "")
    return list(line.values())


def other_windows_words(meanwhile: Meanwhile, *, own: bool, halted: str = "") -> str:
    """The sentences for it; empty if nothing happened.

    Args:
        meanwhile: what others did.
        own: whether a step of this window's own came after it.
        halted: ``undo`` or ``redo`` if that was asked for and not done because of it.
    """
    if not meanwhile:
        return ""
    said = f"Another window has changed this design: {_steps(meanwhile)}."
    if halted:
        name = "Undo" if halted == "undo" else "Redo"
        return f"{said} Nothing was {_DONE[halted]}; have a look, then press {name} again."
    if own:
        return f"{said} Your own step comes after it; nothing is lost."
    return f"{said} The change is shown here now."


_DONE = {"undo": "undone", "redo": "redone"}


def _steps(meanwhile: Meanwhile) -> str:
    """The newest few steps, newest first."""
    steps = [
        *(f"“{m.summary}”" for m in reversed(meanwhile.made)),
        *(f"“{m.summary}” was undone" for m in meanwhile.taken_back),
    ]
    more = len(steps) - _SHOWN
    if more <= 0:
        return ", ".join(steps)
    return f"{', '.join(steps[:_SHOWN])} and {more} more {'step' if more == 1 else 'steps'}"
