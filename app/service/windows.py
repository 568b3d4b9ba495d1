"""Several windows on one design: who made a step, and what others did since a window last looked."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass, field

from app.store import Moment


@dataclass(frozen=True, slots=True)
class Sender:
    """The window a change comes from.

    Args:
        seen: id of the revision it shows; empty if it does not say, and then nothing is compared.
        window: a name of its own for it; without one, every request counts as a window of its own.
    """

    seen: str = ""
    window: str = field(default_factory=lambda: secrets.token_hex(6))


@dataclass(frozen=True, slots=True)
class Meanwhile:
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
