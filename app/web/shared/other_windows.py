"""What a window is told when another one changed its design in the meantime."""

from __future__ import annotations

from app.service.windows import Meanwhile

_SHOWN = 3


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
