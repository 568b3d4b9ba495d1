"""What making room comes to, in words: what moves, what that clears, by which way, and what is not known."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.fit.features.layout import natural
from app.fit.finding import Finding
from app.fit.words.lengths import names
from app.room.degrees_of_freedom import degrees_of_freedom
from app.room.make import Attempt, wanted_of
from app.room.reasons import Reason
from app.room.several import RoomChoices
from app.units import INCH, Unit, format_length

_NAMED = 3  # moves told one by one in the name of a step
_TOGETHER = 6  # parts short of room together that are told by name
_WAYS = {False: "parts one by one", True: "whole stations"}
_MAYBE = "There may still be one we did not find"

ENDED = "Time ran out; this is the best found by then."
"""Said of a way that was handed over while the search went on."""


def too_many_words(there: tuple[int, int], most: tuple[int, int]) -> str:
    """Where an arrangement has more parts, or holes of parts, than room is looked for."""
    return (
        f"Nothing was tried: making room takes up to {most[0]:,} parts with {most[1]:,} holes, and this arrangement "
        f"has {there[0]:,} parts with {there[1]:,} holes. Move the parts that are too close by hand, or lay "
        "out their stations again."
    )


def nothing_words(found: Attempt, *, rigid: bool) -> str:
    """Where moving has nothing to clear."""
    apart = len(wanted_of(found.before, degrees_of_freedom(found.board, loose=True))) if rigid else 0
    if apart:
        what = "1 finding is" if apart == 1 else f"{apart} findings are"
        return f"Moving whole stations clears nothing: {what} within a station. Moving parts one by one may help."
    return "There is nothing here that moving parts can clear."


def found_words(found: RoomChoices, left: Sequence[Finding], units: str) -> str:
    """Where a way was found that clears all."""
    best = found.best
    moves, cleared = len(best.moves), len(best.cleared)
    text = (
        f"{moves} {'part moves' if moves == 1 else 'parts move'}, {_length(best.total, units)} in all; this "
        f"clears {cleared} {'finding' if cleared == 1 else 'findings'}."
    )
    text += f" Found by moving {_WAYS[best.rigid]}"
    text += f"; moving {_WAYS[found.asked.rigid]} found no way." if best.rigid is not found.asked.rigid else "."
    if left:
        stays = "1 other remains" if len(left) == 1 else f"{len(left)} others remain"
        text += f" {stays}: moving cannot clear {'it' if len(left) == 1 else 'them'}."
    if best.loose:
        text += " Some parts that matched no longer do: no way was found that keeps them matching."
    return text if best.least else f"{text} There may still be a shorter way we did not find."


def some_words(found: RoomChoices, units: str) -> str:
    """Where the best found clears a part of what moving might clear."""
    best = found.best
    cleared, wanted, moves, stay = len(best.cleared), len(best.wanted), len(best.moves), len(best.left)
    return (
        f"No way was found to clear everything. {_unknown(found)}. {_tried(found)} The best found clears "
        f"{cleared} of {wanted} findings by moving {_WAYS[best.rigid]}: "
        f"{moves} {'part moves' if moves == 1 else 'parts move'}, {_length(best.total, units)} in all; "
        f"{stay} {'remains' if stay == 1 else 'remain'}, and nothing gets worse."
    )


def why_words(found: RoomChoices, reason: Reason, units: str) -> str:
    """Where no way was found: why, and what would give room."""
    text = f"No way was found to clear everything by moving parts. {_unknown(found)}"
    return f"{text}. {_tried(found)} {reason_words(found.asked, reason, units)}"


def reason_words(found: Attempt, reason: Reason, units: str) -> str:
    """What would give room for all."""
    text = ""
    if 1 < len(found.stuck) <= _TOGETHER:
        text = f"{names(found.board, sorted(found.stuck, key=natural))} have too little room between them. "
    ways = []
    if reason.part is not None:
        ways.append(f"leave {names(found.board, (reason.part,))} out")
    if reason.longer is not None:
        ways.append(f"make the board {_enough(reason.longer, units)} longer")
    if reason.deeper is not None:
        ways.append(f"make the board {_enough(reason.deeper, units)} deeper")
    if ways:
        return f"{text}There is room if you {', or '.join(ways)}."
    return (
        f"{text}Leaving one part out or making the board larger does not seem to help either. Delete parts "
        "where they are closest, or split the board into two designs."
    )


def _unknown(found: RoomChoices) -> str:
    if found.asked.proven:
        return "There is none: every way past each other was tried"
    return _MAYBE


def _tried(found: RoomChoices) -> str:
    """Which ways were tried, in order."""
    return f"Tried: {', then '.join(_WAYS[rigid] for rigid in found.tried)}."


def listed(words: Sequence[str]) -> str:
    """Moves for the name of a step: the first few, and how many more."""
    more = len(words) - _NAMED
    return "; ".join(words[:_NAMED]) + (f"; and {more} more" if more > 0 else "")


def _length(mm: float, units: str) -> str:
    unit = Unit(units)
    return format_length(mm, unit) if unit is Unit.INCH else f"{round(mm, 1) + 0.0:g} mm"


def _enough(mm: float, units: str) -> str:
    """A length at least that long: in inches the next eighth."""
    return _length(mm if Unit(units) is Unit.MM else math.ceil(mm * 8 / INCH) * INCH / 8, units)
