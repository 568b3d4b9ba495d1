"""Steps of building reworded, added, left out and put in another order, as changes.

Which steps there are is worked out on the newest revision: a place in the list is one that is there.
"""

from __future__ import annotations

from app.arrange.change import Edit
from app.arrange.design.build_steps import (
    add_step,
    hide_step,
    move_step,
    remove_step,
    reset_step,
    reset_steps,
    reword_step,
    show_step,
)
from app.document.schema import Design
from app.document.where import Where
from app.drafting.build_steps.words import usual_words
from app.errors import NotFoundError
from app.model.own_steps import OwnWords
from app.paper.steps.steps_listed import StepsListed
from app.service.checks.build_steps import listed_of
from app.service.edits.changes import DesignChange
from app.shop.build_steps.listing import ListedStep


def step_added(where: Where, title: str, text: str, after: str = "") -> DesignChange:
    """Add a step after another, or at the end."""

    def change(design: Design) -> Edit:
        keys = [step.key for step in listed_of(design, where).steps]
        return add_step(design, keys, title, text, after)

    return change


def step_reworded(where: Where, key: str, title: str | None, text: str | None) -> DesignChange:
    """Give a step words of its own; None leaves what there is, the usual ones as they go on with the design.

    Words that are all empty are the usual ones again.
    """

    def change(design: Design) -> Edit:
        found = listed_of(design, where)
        step = _step(found, key)
        before = step.own or OwnWords(key, "", "")
        called, lines = (new if new is not None else old for new, old in ((title, before.title), (text, before.text)))
        if (called, lines) == (before.title, before.text):
            return Edit(design, "Left the step as it was")
        if step.own is not None and not step.is_added and not called.strip() and not lines.strip():
            return reset_step(design, key, found.said(step).title)
        usual = "" if step.made is None else usual_words(step.made, found.unit).title
        return reword_step(design, key, usual, called, lines)

    return change


def step_hidden(where: Where, key: str) -> DesignChange:
    """Leave a step out of the list."""
    return lambda design: hide_step(design, key, _title(design, where, key))


def step_shown(where: Where, key: str) -> DesignChange:
    """Put a hidden step back into the list."""
    return lambda design: show_step(design, key, _title(design, where, key))


def step_moved(where: Where, key: str, by: int) -> DesignChange:
    """Move a step past so many others that are shown."""

    def change(design: Design) -> Edit:
        found = listed_of(design, where)
        step, shown = _step(found, key), [each.key for each in found.shown]
        keys = [each.key for each in found.steps]
        if key in shown:  # past those that are left out as well, which nobody sees
            place = shown.index(key)
            there = min(max(place + by, 0), len(shown) - 1)
            return move_step(design, keys, key, keys.index(shown[there]) - keys.index(key), found.said(step).title)
        return move_step(design, keys, key, by, found.said(step).title)

    return change


def step_reset(where: Where, key: str) -> DesignChange:
    """Give a step its usual words back."""
    return lambda design: reset_step(design, key, _title(design, where, key))


def step_removed(key: str) -> DesignChange:
    """Delete an added step."""
    return lambda design: remove_step(design, key)


def steps_reset() -> DesignChange:
    """Put all steps into their usual order and words, and show them."""
    return reset_steps


def _step(found: StepsListed, key: str) -> ListedStep:
    for step in found.steps:
        if step.key == key:
            return step
    raise NotFoundError(f"There is no step “{key[:80]}” any more. Reload the page.")


def _title(design: Design, where: Where, key: str) -> str:
    found = listed_of(design, where)
    return found.said(_step(found, key)).title
