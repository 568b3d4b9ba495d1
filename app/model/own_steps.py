"""What a plan maker has made of the steps of building: own words, added and hidden steps, an order."""

from __future__ import annotations

from msgspec import Struct


class OwnWords(Struct, frozen=True):
    """Own words of a step.

    Args:
        key: of the step.
        title: what it is called.
        text: what is done, a line to a sentence or paragraph.
        was: what it was called when it was reworded, by which it is known once it is no longer there.
    """

    key: str
    title: str
    text: str
    was: str = ""


class OwnSteps(Struct, frozen=True):
    """All of it. Keys stay as they are while the design changes, so that nothing a plan maker wrote is lost.

    Args:
        worded: own words of steps that follow from the design.
        added: steps of their own; ``was`` is empty.
        hidden: keys of the steps that are left out.
        order: keys in their order; empty for the usual one. Steps it does not name follow the one they usually follow.
        several: whether a board has several arrangements, so that what one does not have another may.
    """

    worded: tuple[OwnWords, ...] = ()
    added: tuple[OwnWords, ...] = ()
    hidden: frozenset[str] = frozenset()
    order: tuple[str, ...] = ()
    several: bool = False


NO_OWN_STEPS = OwnSteps()
"""Steps as they follow from the design."""
