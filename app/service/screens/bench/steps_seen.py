"""What the page of the steps says: every step in words, and what was made of it; its picture when asked for."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.drafting.build_steps.pictures import step_picture
from app.drafting.build_steps.step_said import StepSaid
from app.errors import NotFoundError
from app.paper.steps.steps_listed import needs_words, steps_notes
from app.service.checks.build_steps import listed_in
from app.service.sight import Sight
from app.shop.build_steps.listing import ListedStep
from app.writers import svg

"""What they are for."""

MOST: Final = 100
"""Steps on one page; more are on further ones."""


class StepSeen(Struct, frozen=True):
    """A step.

    Args:
        key: what it is known by.
        number: its place in the list; 0 where it is hidden.
        title: what is done.
        sentences: how.
        mark: what is told of one whose subject is gone; empty for the others.
        needs: tools, bits and what is used up, in a line.
        dries, caution: empty where there is none.
        text: what stands in the field of its words.
        pictured: whether there is a picture of it.
        worded, added: whether it has own words, or a plan maker added it.
        first, last: whether it stands at an end of the list.
    """

    key: str
    number: int
    title: str
    sentences: tuple[str, ...]
    mark: str
    needs: str
    dries: str
    caution: str
    text: str
    pictured: bool
    worded: bool
    added: bool
    first: bool
    last: bool


class StepsSeen(Struct, frozen=True):
    """The steps.

    Args:
        notes: how many, for what, and where they come from.
        steps: those of this part of the list.
        hidden: those that are left out.
        starts: where each part of the list begins and ends, counted from 1; of a list of one part none.
        start: where this one begins.
        changed: whether a plan maker made anything of them.
    """

    notes: tuple[str, ...]
    steps: tuple[StepSeen, ...]
    hidden: tuple[StepSeen, ...]
    starts: tuple[tuple[int, int], ...]
    start: int
    changed: bool


def steps_seen(sight: Sight, *, alone: bool, start: int = 1) -> StepsSeen:
    """The steps of a design, or of the board in view alone."""
    found = listed_in(sight, alone=alone)
    shown, own = found.shown, found.boards[0].own_steps
    first = (min(max(start, 1), max(len(shown), 1)) - 1) // MOST * MOST
    starts = tuple((k + 1, min(k + MOST, len(shown))) for k in range(0, len(shown), MOST))
    said = {step.key: found.said(step) for step in (*shown[first : first + MOST], *found.hidden)}
    return StepsSeen(
        notes=steps_notes(found),
        steps=tuple(
            _seen(step, said[step.key], first + k, len(shown)) for k, step in enumerate(shown[first : first + MOST], 1)
        ),
        hidden=tuple(_seen(step, said[step.key], 0, 0) for step in found.hidden),
        starts=starts if len(starts) > 1 else (),
        start=first + 1,
        changed=bool(own.worded or own.hidden or own.order),
    )


def _seen(step: ListedStep, said: StepSaid, number: int, count: int) -> StepSeen:
    own = step.own
    marked = 1 if step.is_gone else 0
    return StepSeen(
        key=step.key,
        number=number,
        title=said.title,
        sentences=said.sentences[marked:],
        mark=said.sentences[0] if marked else "",
        needs=needs_words(said),
        dries=said.dries,
        caution=said.caution,
        text="\n".join(said.sentences[marked:]),
        pictured=step.made is not None,
        worded=own is not None and not step.is_added,
        added=step.is_added,
        first=number == 1,
        last=number == count,
    )


def step_svg(sight: Sight, key: str, *, alone: bool) -> str:
    """The picture of a step, as a file.

    Raises:
        NotFoundError: there is no such step, or nothing to draw of it.
    """
    found = listed_in(sight, alone=alone)
    for step in found.steps:
        if step.key == key and step.made is not None:
            return svg.write(step_picture(step.made, title=found.said(step).title))
    raise NotFoundError(f"There is no picture of a step “{key[:80]}”. Reload the page.")
