"""What a plan maker makes of the steps of building: own words, own steps, steps left out, another order.

All of it is kept by the keys of steps, which stay as they are while the design changes.
"""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import Edit
from app.document.schema import Design
from app.document.steps_schema import AddedStepEntry, StepsEntry, StepWordsEntry
from app.errors import EditError, NotFoundError
from app.model.limits import ADDED_STEPS, BUILD_STEPS, STEP_TEXT, WORDED_STEPS, WORDS, DesignLimit

OWN = "own/"
_SHORT = 60


def add_step(design: Design, shown: Sequence[str], title: str, text: str, after: str = "") -> Edit:
    """Add a step.

    Args:
        design: the design.
        shown: keys of all steps, as they stand now.
        title: what is done.
        text: how, a line to a sentence.
        after: key of the step it follows; empty for the end.

    Raises:
        EditError: words that cannot be kept, or as many steps as a design can have.
        NotFoundError: there is no step to follow.
    """
    old = _entry(design)
    said = _title(title), _text(text)
    if len(old.added) >= ADDED_STEPS.most:
        raise EditError(ADDED_STEPS.said(len(old.added) + 1), "title")
    number = max([old.last, *(int(each.key.removeprefix(OWN)) for each in old.added)]) + 1
    key = f"{OWN}{number}"
    place = _place(shown, after) + 1 if after else len(shown)
    order = [*shown[:place], key, *shown[place:]]
    entry = AddedStepEntry(key=key, title=said[0], text=said[1])
    new = {"added": (*old.added, entry), "order": _order(old, order), "last": number}
    return Edit(_with(design, old.model_copy(update=new)), f"Added the step “{_shortened(said[0])}”")


def reword_step(design: Design, key: str, usual: str, title: str, text: str) -> Edit:
    """Give a step words of its own.

    Args:
        design: the design.
        key: of the step.
        usual: its usual title, by which it is known once it is gone.
        title: what is done; empty for as it usually is called.
        text: how; empty for as it is usually told.

    Raises:
        EditError: words that cannot be kept, or both are empty.
        NotFoundError: there is no such added step.
    """
    old, lines = _entry(design), _text(text)
    if key.startswith(OWN):
        called = _title(title)
        _added(old, key)
        rows = tuple(
            AddedStepEntry(key=key, title=called, text=lines) if each.key == key else each for each in old.added
        )
        return Edit(_with(design, old.model_copy(update={"added": rows})), f"Reworded the step “{_shortened(called)}”")
    if not title.strip() and not lines:
        raise EditError("Write something, or reset the step to its usual words.", "title")
    called = _title(title) if title.strip() else ""
    kept = tuple(each for each in old.worded if each.key != key)
    if len(kept) >= WORDED_STEPS.most:
        raise EditError(WORDED_STEPS.said(len(kept) + 1), "title")
    before = next((each.was for each in old.worded if each.key == key), "")
    entry = StepWordsEntry(key=key, title=called, text=lines, was=(usual or before)[: WORDS.most])
    changed = old.model_copy(update={"worded": (*kept, entry)})
    return Edit(_with(design, changed), f"Reworded the step “{_shortened(called or usual)}”")


def hide_step(design: Design, key: str, title: str) -> Edit:
    """Leave a step out of the list."""
    old = _entry(design)
    if key in old.hidden:
        return Edit(design, "Left the step hidden")
    _one_more(BUILD_STEPS, len(old.hidden))
    changed = old.model_copy(update={"hidden": (*old.hidden, key)})
    return Edit(_with(design, changed), f"Hid the step “{_shortened(title)}”")


def show_step(design: Design, key: str, title: str) -> Edit:
    """Put a hidden step back into the list."""
    old = _entry(design)
    changed = old.model_copy(update={"hidden": tuple(each for each in old.hidden if each != key)})
    return Edit(_with(design, changed), f"Showed the step “{_shortened(title)}”")


def move_step(design: Design, shown: Sequence[str], key: str, by: int, title: str) -> Edit:
    """Move a step along the list; at an end it stays there.

    Args:
        design: the design.
        shown: keys of all steps, as they stand now.
        key: of the step.
        by: how many places, back where it is above 0.
        title: what it is called.

    Raises:
        NotFoundError: there is no such step.
    """
    old, place = _entry(design), _place(shown, key)
    rest = [each for each in shown if each != key]
    there = min(max(place + by, 0), len(rest))
    if there == place:
        return Edit(design, "Left the step where it was")
    order = [*rest[:there], key, *rest[there:]]
    way = "down" if by > 0 else "up"
    changed = old.model_copy(update={"order": _order(old, order)})
    return Edit(_with(design, changed), f"Moved the step “{_shortened(title)}” {way}")


def reset_step(design: Design, key: str, title: str) -> Edit:
    """Give a step its usual words back."""
    old = _entry(design)
    changed = old.model_copy(update={"worded": tuple(each for each in old.worded if each.key != key)})
    return Edit(_with(design, changed), f"Reset the step “{_shortened(title)}”")


def remove_step(design: Design, key: str) -> Edit:
    """Delete an added step; its number is not given again.

    Raises:
        NotFoundError: there is no such added step.
    """
    old = _entry(design)
    gone = _added(old, key)
    changed = old.model_copy(
        update={
            "added": tuple(each for each in old.added if each.key != key),
            "hidden": tuple(each for each in old.hidden if each != key),
            "order": tuple(each for each in old.order if each != key),
            "last": max(old.last, int(key.removeprefix(OWN))),
        }
    )
    return Edit(_with(design, changed), f"Deleted the step “{_shortened(gone.title)}”")


def reset_steps(design: Design) -> Edit:
    """Put all steps into their usual order and words and show them; added ones stay, at the end."""
    old = _entry(design)
    changed = StepsEntry(added=old.added, last=old.last)
    return Edit(_with(design, changed), "Reset all steps")


def _entry(design: Design) -> StepsEntry:
    return design.steps or StepsEntry()


def _with(design: Design, steps: StepsEntry) -> Design:
    return design.model_copy(update={"steps": None if steps == StepsEntry() else steps})


def _order(old: StepsEntry, order: Sequence[str]) -> tuple[str, ...]:
    """An order that also keeps the places of steps that are not there now, should they come back.

    Each of them keeps the step that it followed.

    Raises:
        EditError: it is longer than one may be.
    """
    there = set(order)
    after: dict[str, list[str]] = {}
    before = ""
    for key in old.order:
        if key in there:
            before = key
        else:
            after.setdefault(before, []).append(key)
    found = (*after.get("", ()), *(each for key in order for each in (key, *after.get(key, ()))))
    _one_more(BUILD_STEPS, len(found) - 1)
    return found


def _place(shown: Sequence[str], key: str) -> int:
    if key not in shown:
        raise NotFoundError(f"There is no step “{key[:80]}” any more. Reload the page.")
    return list(shown).index(key)


def _added(steps: StepsEntry, key: str) -> AddedStepEntry:
    for each in steps.added:
        if each.key == key:
            return each
    raise NotFoundError(f"There is no added step “{key[:80]}”. It may have been deleted: undo, or reload the page.")


def _one_more(limit: DesignLimit, count: int) -> None:
    if count >= limit.most:
        raise EditError(limit.said(count + 1))


def _title(title: str) -> str:
    plain = " ".join(title.split())
    if not plain:
        raise EditError("Write what is done in this step.", "title")
    if len(plain) > WORDS.most or not plain.isprintable():
        raise EditError(
            f"A step’s title is one line of up to {WORDS.most} characters that can be printed, got {len(plain)}. "
            "Make it shorter.",
            "title",
        )
    return plain


def _text(text: str) -> str:
    lines = (" ".join(line.split()) for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n"))
    plain = "\n".join(line for line in lines if line)
    if len(plain) > STEP_TEXT.most or not plain.replace("\n", "").isprintable():
        raise EditError(
            f"The words of a step are up to {STEP_TEXT.most:,} characters that can be printed, got {len(plain):,}. "
            "Make them shorter, or add another step.",
            "text",
        )
    return plain


def _shortened(title: str) -> str:
    return title if len(title) <= _SHORT else f"{title[: _SHORT - 1]}…"
