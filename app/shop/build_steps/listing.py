"""The steps as a plan maker wants them: those that follow from the design, with what they made of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from app.model.own_steps import OwnSteps, OwnWords
from app.shop.build_steps.build_step import BuildStep, stage_of

ADDED = "own/"
"""What keys of added steps begin with."""


class ListedStep(Struct, frozen=True, eq=False):
    """A step of the list.

    Args:
        key: what it is known by.
        made: what follows from the design; None for an added step, and for one whose subject is gone.
        own: own words, which stand for its usual ones; those of an added step; None where nobody wrote any.
        hidden: whether it is left out.
    """

    key: str
    made: BuildStep | None
    own: OwnWords | None
    hidden: bool

    @property
    def is_added(self) -> bool:
        """Whether a plan maker added it."""
        return self.key.startswith(ADDED)

    @property
    def is_gone(self) -> bool:
        """Whether what it was for is no longer there."""
        return self.made is None and not self.is_added


def listed_steps(steps: Sequence[BuildStep], own: OwnSteps, only: str = "") -> tuple[ListedStep, ...]:
    """Every step in its order, the hidden ones too.

    Nothing a plan maker wrote is left out: own words whose step is gone stay in the list, where it stood.

    Args:
        steps: what follows from the design.
        own: what a plan maker made of it.
        only: id of the board that ``steps`` are of alone: steps of others are not gone then, but not asked for.
    """
    made = {step.key: step for step in steps}
    worded = {words.key: words for words in own.worded}
    added = {words.key: words for words in own.added}
    gone = [key for key in worded if key not in made and not (only and _of_another(key, only))]
    usual = _with_gone(list(made), gone)
    return tuple(
        ListedStep(key, made.get(key), worded.get(key) or added.get(key), key in own.hidden)
        for key in _ordered([*usual, *added], own.order)
    )


def _of_another(key: str, only: str) -> bool:
    """Whether a step is of another board than the only one that is looked at, or of several together."""
    _, _, rest = key.partition("/")
    return rest.partition("/")[0] != only


def _with_gone(usual: Sequence[str], gone: Iterable[str]) -> list[str]:
    """Keys of steps that are gone among the others: at the end of their stage."""
    lost: dict[int, list[str]] = {}
    for key in gone:
        lost.setdefault(stage_of(key), []).append(key)
    found: list[str] = []
    for key in usual:
        stage = stage_of(key)
        for before in sorted(each for each in lost if each < stage):
            found += lost.pop(before)
        found.append(key)
    return found + [key for stage in sorted(lost) for key in lost[stage]]


def _ordered(usual: Sequence[str], order: Sequence[str]) -> list[str]:
    """Keys in an order; those that it does not name follow the one they usually follow."""
    there, named = set(usual), set(order)
    following: dict[str, list[str]] = {}
    before = ""
    for key in usual:
        if key in named:
            before = key
        else:
            following.setdefault(before, []).append(key)
    return [*following.get("", ()), *(k for key in order if key in there for k in (key, *following.get(key, ())))]
