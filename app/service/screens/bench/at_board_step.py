"""One step at the board in words: what is set up, or what is drilled, where, and how it came out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, Final

from app.drafting.view.step_picture import step_picture
from app.drafting.words import exact, length, unit_of
from app.model.as_built import Mark
from app.model.resolved import ResolvedBoard
from app.service.checks.real_board import came_out, harm_of, real_board, same_bit
from app.service.screens.bench.at_board_words import depth_from_words, letters_words, noun_words, side_words, tool_words
from app.service.screens.bench.coupon_seen import trial_notes
from app.service.screens.words import counted
from app.service.sight import Sight
from app.shop.board_steps import BoardCut, BoardStep
from app.shop.drilling_run import DrillingStep
from app.shop.drilling_speed import speed_of
from app.units import Unit, format_named
from app.writers import svg

MOST_HARM: Final = 12
"""Findings said on a phone; the report on the computer has them all."""

_WIDE: Final = 20.0
"""From this width on a bit wrenches when it catches [mm]. Common practice, no source."""

_MAKE: Final = {
    "pilot": "Pilot hole, right through",
    "counterbore": "Counterbore",
    "recess": "Recess, routed",
    "screw pilot": "Screw pilot",
    "halfway": "Half of the hole, from below",
    "through": "Right through",
    "opening": "Opening, sawn or routed",
}


# -- something to set up -----------------------------------------------------------------------------------


def of_setup(sight: Sight, step: BoardStep, steps: Sequence[BoardStep], place: int) -> dict[str, Any]:
    """What the page says where something is set up, by its fields."""
    board, unit, run = sight.checked.resolved, sight.unit, step.run
    cuts = []
    for later in steps[place + 1 :]:
        if later.cut is None:
            break
        cuts.append(later.cut)
    notes = []
    if run.turn:
        way = "underside" if run.face == "under" else "top face"
        notes.append(f"Turn it like a page, left to right: the front edge stays towards you, the {way} comes up.")
    if run.depth is not None:
        notes.append(
            f"Depth stop: {exact(run.depth, unit)} from the bit’s {depth_from_words(run)}. Try it on scrap first."
        )
    elif run.work != "opening":
        notes.append("No depth stop: right through, into scrap clamped below.")
    if speed := speed_of(run.bit, board.layers[0].material.family):
        notes.append(f"{speed} turns a minute.")
    return {
        "kind": "set",
        "side": side_words(run),
        "tool": tool_words(run, unit),
        "heading": _setup_words(run, unit, first=step.first),
        "make": f"For {counted(len(cuts), noun_words(run))}: {letters_words(cuts)}",
        "notes": tuple(notes),
        "cautions": _cautions(run, board, first=step.first),
        "verb": "Ready",
        "next_words": _next_words(cuts[0] if cuts else None),
        "picture": svg.embed(step_picture(board, run.face, cuts, measured=False), role="step-drawing", names=False),
        "said": _setup_words(run, unit, first=step.first),
    }


def _setup_words(run: DrillingStep, unit: Unit, *, first: bool) -> str:
    tool = tool_words(run, unit)
    put = f"put in the {tool}" if run.bit is not None else f"take the {tool}" if run.work == "opening" else tool
    if run.turn:
        side = "underside" if run.face == "under" else "top face"
        return f"Turn the board over: {side} up" + (f"; {put}" if run.change else "")
    if first:
        return f"{'Top face' if run.face == 'top' else 'Underside'} up; {put}"
    return put[:1].upper() + put[1:]


def _cautions(run: DrillingStep, board: ResolvedBoard, *, first: bool) -> tuple[str, ...]:
    said = []
    if first:
        said.append("Measure both check bars, punch every centre, and clamp the board on scrap.")
        said.append("Eyes and ears covered. Gloves off before the bit turns: it winds them in.")
    if first and any("mdf" in layer.material.family for layer in board.layers):
        said.append("MDF dust: mask and extraction.")
    if run.turn:
        said.append("Clamp it again before you drill.")
    if run.bit is not None and run.width >= _WIDE:
        said.append("A wide bit wrenches when it catches: clamp the work, drill slowly, back off often.")
    if run.work in ("opening", "recess"):
        said.append("Unplug the tool before you change its blade or bit.")
    return tuple(said)


# -- a cut to make -----------------------------------------------------------------------------------------


def of_cut(
    sight: Sight, cut: BoardCut, step: BoardStep, on: Sequence[BoardStep], following: BoardStep | None
) -> dict[str, Any]:
    """What the page says of a cut, by its fields.

    Args:
        sight: the board in view.
        cut: the cut.
        step: its step.
        on: that step and all after it.
        following: the step after it.
    """
    board, unit, run = sight.checked.resolved, sight.unit, step.run
    x0, y0, _, _ = board.outline.bounds
    mark = board.as_built.of(cut.key, cut.work)
    same = [s.cut for s in on[1:] if s.run is run and s.cut is not None and s.cut.key.placement == cut.key.placement]
    rest = [c for c in same if board.as_built.of(c.key, c.work) is None]
    said: dict[str, Any] = {
        "kind": "cut",
        "side": side_words(run),
        "tool": tool_words(run, unit),
        "heading": cut.name,
        "left": length(cut.at[0] - x0, unit),
        "front": length(cut.at[1] - y0, unit),
        "left_edge": "from the left, now at your right" if cut.face == "under" else "from the left",
        "make": _make(cut, run, unit),
        "notes": _notes(board, cut, run),
        "cautions": (_SHORT_WIDE,) if run.bit is not None and run.width >= _WIDE else (),
        "verb": "Drilled" if cut.work not in ("opening", "recess") else "Made",
        "next_words": _following(following),
        "rest": len(rest),
        "rest_of": cut.letter,
        "picture": svg.embed(step_picture(board, cut.face, (cut,), measured=True), role="step-drawing", names=False),
        "said": f"{cut.name}, {noun_words(run)}",
    }
    return said if mark is None else {**said, **_of_mark(sight, mark, cut)}


_SHORT_WIDE: Final = "Wide bit: hold on, slowly, back off often."


def _of_mark(sight: Sight, mark: Mark, cut: BoardCut) -> dict[str, Any]:
    seen = sight.checked
    state = "spoilt" if mark.spoilt else "drilled" if mark.is_true else "off"
    said: dict[str, Any] = {"state": state, "marked": f"Marked {_STATES[state]}{_day(mark.when)}"}
    if abs(mark.width - cut.width) > 1e-6 and not same_bit(seen.resolved, mark):
        wide = format_named(mark.width, sight.unit)
        now = format_named(cut.width, sight.unit)
        said["marked"] = f"{said['marked']}, {wide} wide: the design has {now} now"
    if mark.is_true:
        return said
    harm = [h for h in harm_of(seen, real_board(seen)) if mark.key.placement in h.subjects]
    said["came_out"] = came_out(seen, mark) if not mark.spoilt else (_SPOILT,)
    said["harm"], said["more_harm"] = tuple(harm[:MOST_HARM]), max(0, len(harm) - MOST_HARM)
    said["fits"] = not harm and not mark.spoilt
    return said


def _day(when: str) -> str:
    """`` on 27 Nov 2026``; empty where nobody knows."""
    try:
        day = date.fromisoformat(when[:10])
    except ValueError:
        return ""
    return f" on {day.day} {day:%b %Y}"


_STATES: Final = {"drilled": "drilled", "off": "drilled", "spoilt": "spoilt"}
_SPOILT: Final = "Spoilt. Go on with the others: it has to be plugged and drilled again, or the board made again."


def _make(cut: BoardCut, run: DrillingStep, unit: Unit) -> str:
    if cut.depth is None:
        return _MAKE[cut.work]
    return f"{_MAKE[cut.work]}, {exact(cut.depth, unit)} deep from the bit’s {depth_from_words(run)}"


def _notes(board: ResolvedBoard, cut: BoardCut, run: DrillingStep) -> tuple[str, ...]:
    speed = speed_of(run.bit, board.layers[0].material.family)
    said = [f"{speed} turns a minute."] if speed else []
    pilot = board.as_built.of(cut.key, "pilot")
    if cut.work in ("through", "halfway") and pilot is not None and pilot.distance > 0:
        said.append("Its pilot is off: the bit follows the pilot, so the hole will be as far off.")
    sort, placed = {"through": "hole"}.get(cut.work, cut.work), board.placed(cut.key.placement)
    if placed is not None and cut.work != "pilot":
        said += trial_notes(board.trials, placed.part.id, sort, run.bit.diameter if run.bit else None, unit_of(board))
    if cut.work == "recess":
        said.append("Rout it to its lines.")
    return tuple(said)


def _following(step: BoardStep | None) -> str:
    if step is None:
        return "that was the last"
    if step.cut is not None:
        return _next_words(step.cut)
    return "next: turn the board" if step.run.turn else "next: change the bit"


def _next_words(cut: BoardCut | None) -> str:
    return f"next is {cut.name}" if cut is not None else ""
