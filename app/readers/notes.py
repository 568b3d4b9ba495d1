"""What was left out of a file, or made of something else, in sentences."""

from __future__ import annotations

import math

from app.readers.chain import Lines
from app.readers.rings import Joined


def notes_of(lines: Lines, found: Joined, outside: int, *, named: bool) -> tuple[str, ...]:
    """The notes on a file that was read.

    Args:
        lines: all of it.
        found: the rings its outline is one of.
        outside: how many rings are not inside the outline.
        named: whether the outline is on a layer that is named after it.
    """
    notes = []
    if named:
        notes.append("The outline was imported from the layer of that name.")
    if lines.curves:
        notes.append(f"{_many(lines.curves, 'curve')} made of arcs, at most {lines.length(lines.off)} off.")
    if found.doubles:
        notes.append(f"{_many(found.doubles, 'line')} drawn twice; only one of each was used.")
    if found.gaps:
        notes.append(f"{_many(len(found.gaps), 'open line')} left out.")
    if found.forks:
        places = _many(len(found.forks), "place", be=False)
        notes.append(
            f"More than two lines meet at {places}, as at {lines.place(found.forks[0])}: check that the "
            "outline goes the right way there."
        )
    if outside:
        notes.append(f"{_many(outside, 'closed line')} left out, not inside the outline.")
    return tuple(notes)


def why_open(lines: Lines, found: Joined) -> str:
    """Why there is no ring: the narrowest gap, with its place."""
    gap = min(found.gaps, key=lambda g: math.inf if g.wide is None else g.wide, default=None)
    if gap is None:
        return "No line in it encloses anything. Draw the outline as a closed line."
    wide = (
        "nothing continues from there"
        if gap.wide is None
        else f"the nearest other end is {lines.length(gap.wide)} away"
    )
    at = lines.place(gap.at)
    return f"No line in it is closed: one ends at {at}, and {wide}. Close the outline and export it again."


def _many(count: int, what: str, *, be: bool = True) -> str:
    verb = (" was" if count == 1 else " were") if be else ""
    return f"{count} {what}{'' if count == 1 else 's'}{verb}"
