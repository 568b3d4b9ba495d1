"""What a plan maker has made of the steps, from the design file; and that each step is named once in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from app.document.schema import Design
from app.document.steps_schema import StepsEntry
from app.errors import DocumentError
from app.model.own_steps import NO_OWN_STEPS, OwnSteps, OwnWords


def own_steps_of(design: Design) -> OwnSteps:
    """What a plan maker has made of the steps of a design."""
    entry = design.steps
    if entry is None:
        return NO_OWN_STEPS
    return OwnSteps(
        worded=tuple(OwnWords(w.key, w.title, w.text, w.was) for w in entry.worded),
        added=tuple(OwnWords(a.key, a.title, a.text) for a in entry.added),
        hidden=frozenset(entry.hidden),
        order=entry.order,
        several=any(len(board.arrangements) > 1 for board in design.boards),
    )


def check_steps(entry: StepsEntry) -> None:
    """Refuse a list that names a step twice.

    Raises:
        DocumentError: with the place and what to do.
    """
    for field, keys in _lists(entry):
        seen: set[str] = set()
        for index, key in enumerate(keys):
            if key in seen:
                raise DocumentError(f'The step "{key}" is there twice. Leave one out.', f"steps.{field}[{index}]")
            seen.add(key)


def _lists(entry: StepsEntry) -> Iterator[tuple[str, Iterable[str]]]:
    yield "worded", (each.key for each in entry.worded)
    yield "added", (each.key for each in entry.added)
    yield "hidden", entry.hidden
    yield "order", entry.order
