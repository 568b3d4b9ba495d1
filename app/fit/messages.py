"""What a finding says, in sentences a builder would say, in display units."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from app.catalogue.load import Catalogue
from app.fit.finding import Finding
from app.fit.heaps import HEAP
from app.fit.proposals import Advice
from app.fit.remedies import REMEDIES
from app.fit.report import Report
from app.fit.words import (
    apart,
    edge_name,
    names,
    nothing,
    off,
    plural,
    say,
    say_both,
    side_words,
    sold,
)
from app.fit.words_below import BELOW, REACH
from app.fit.words_bits import bit_message
from app.fit.words_board import BOARD
from app.fit.words_change import bore_size, recess_size
from app.fit.words_hold import HOLD
from app.fit.words_strength import STRENGTH
from app.model.fix import BuyBit, CounterboreAt, Fix, MoveBy, RecessAt, Several
from app.model.resolved import ResolvedBoard
from app.model.shop import kind_words
from app.units import Unit

_STEPS_SAID = 3  # changes of one fix that are named before “2 more”


def message(finding: Finding, board: ResolvedBoard, unit: Unit) -> str:
    """What is wrong, with what there is and what is needed."""
    return MESSAGES[finding.rule](finding, board, unit)


def remedy(finding: Finding, report: Report, unit: Unit, *, tried: bool = True) -> str:
    """What the builder can do about it.

    Args:
        finding: one of the report's.
        report: on whose board ways out are tried, so that what is said also works.
        unit: to say it in.
        tried: whether there is time for that; if not, the words promise nothing.
    """
    advice = report.advice_for(finding) if tried else Advice(report.board, report.catalogue)
    return REMEDIES[finding.rule](finding, advice, unit)


def fix_label(fix: Fix, board: ResolvedBoard, unit: Unit, catalogue: Catalogue | None = None) -> str:
    """What a fix does, for the button that does it; with the catalogue, another part is called by its name."""
    if isinstance(fix, Several):
        moves = [step for step in fix.fixes if isinstance(step, MoveBy)]
        others = [fix_label(step, board, unit, catalogue) for step in fix.fixes if not isinstance(step, MoveBy)]
        said = _moves_label(moves, board, unit) + others[:_STEPS_SAID]
        more = len(others) - _STEPS_SAID
        return "; ".join([*said, f"{more} more"] if more > 0 else said)
    if isinstance(fix, MoveBy):
        return f"Move {names(board, [fix.placement])} {side_words(fix.dx, fix.dy, unit)}"
    if isinstance(fix, CounterboreAt):
        return f"Counterbore {names(board, fix.placements)}: {bore_size(fix, board, unit)}"
    if isinstance(fix, RecessAt):
        return f"Recess {names(board, fix.placements)}: {recess_size(fix, board, unit)}"
    if isinstance(fix, BuyBit):
        return f"Add a {sold(fix.diameter, unit)} {kind_words(fix.kind)} bit to the shop"
    part = catalogue.parts.get(fix.part) if catalogue else None
    return f"Use “{part.name if part else fix.part}” for {names(board, fix.placements)}"


def _moves_label(moves: Sequence[MoveBy], board: ResolvedBoard, unit: Unit) -> list[str]:
    """Moves in words: those that go alike as one; of too many different ones, how far they go at most."""
    alike: dict[str, list[str]] = {}
    for move in moves:
        alike.setdefault(side_words(move.dx, move.dy, unit), []).append(move.placement)
    if len(alike) <= _STEPS_SAID:
        return [f"Move {names(board, ids)} {way}" for way, ids in alike.items()]
    furthest = max(math.hypot(move.dx, move.dy) for move in moves)
    return [f"Move {names(board, [m.placement for m in moves])}, up to {off(furthest, unit)} each"]


def _outside(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    what = f"The {f.detail['what']} of {names(board, f.subjects)}"
    x, y = (np.array([v]) for v in f.where)
    edge = board.boundary.edges_at(x, y)[0] or "opening"
    place = "into an inner opening" if edge == "opening" else "over the edge of the board"
    return f"{what} reaches {_over(f, unit)} {place}."


def _edge(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, edge = names(board, f.subjects), edge_name(board, f)
    what = "A screw" if f.detail["what"] == "screw" else f"The {f.detail['what']}"
    measured, required = _both(f, unit)
    if _meets(f) or (f.measured or 0.0) < 0:
        reaches = f"reach {edge}" if _meets(f) else f"run {_over(f, unit)} over {edge}"
        needs = f"; {f.detail['layer']} needs {say(f.required or 0.0, unit)}" if f.required else ""
        return f"{what} of {who} can {reaches} at worst{needs}."
    return f"{what} of {who} comes within {measured} of {edge} at worst; {f.detail['layer']} needs {required}."


def _slot(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start = f"The {f.detail['what']} of {names(board, f.subjects)}"
    slot = f"the {say(float(f.detail['slot']), unit)} deep slot in the {f.detail['edge']} edge"
    if f.severity == "stop":
        return f"{start} breaks {_over(f, unit)} into {slot} at worst."
    return _near(f, start, slot, unit, "should be left")


def _web(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if f.detail.get("cause") == HEAP:
        return f"The holes of {len(f.subjects) - 1} parts run into the hole of {names(board, f.subjects[:1])}."
    who, layer = names(board, f.subjects), f.detail["layer"]
    measured, required = _both(f, unit)
    if _meets(f):
        return f"The holes of {who} can run into each other at worst; {layer} needs {required} between them."
    if (f.measured or 0.0) < 0:
        needed = say(f.required or 0.0, unit)
        return f"The holes of {who} run {_over(f, unit)} into each other at worst; {layer} needs {needed} between them."
    if len(f.subjects) == 1:
        return f"Only {measured} of board is left between the holes of {who} itself; {layer} needs {required}."
    return f"Only {measured} of board is left between {who} at worst; {layer} needs {required}."


def _flanges(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    what, other = str(f.detail["what"]), str(f.detail.get("other", f.detail["what"]))
    both = f"The {plural(what)} of {names(board, f.subjects)}"
    if what != other and len(f.subjects) == 2:
        both = f"The {what} of {names(board, f.subjects[:1])} and the {other} of {names(board, f.subjects[1:])}"
    if f.severity == "stop":
        return f"{both} overlap by {_over(f, unit)} at worst."
    measured, required = _both(f, unit)
    return f"{both} {'can touch' if _meets(f) else f'are {measured} apart'} at worst; {required} is needed."


def _overhang(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start, edge = f"The {f.detail['what']} of {names(board, f.subjects)}", edge_name(board, f)
    if f.severity == "stop":
        return f"{start} hangs {_over(f, unit)} over {edge} at worst."
    return _near(f, start, edge, unit, "is needed")


def _under(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    what, other = f.detail["what"], f.detail["other"]
    one, two = (f"the {kind} of {names(board, [who])}" for kind, who in zip((what, other), f.subjects, strict=True))
    if (f.measured or 0.0) < 0 and not (_meets(f) and f.severity == "caution"):
        return f"Below the board, {one} runs {_over(f, unit)} into {two} at worst."
    measured, required = _both(f, unit)
    if {what, other} & {"counterbore", "recess"} and {what, other} <= {"counterbore", "recess", "hole"}:
        left = "No board" if _meets(f) else f"Only {measured} of board"
        return f"{left} is left between {one} and {two} at worst; {required} is needed."
    turning = " to turn the nut" if "nut" in (what, other) else ""
    apart = "can touch" if _meets(f) else f"are {measured} apart"
    return f"Below the board, {one} and {two} {apart} at worst; {required} is needed{turning}."


def _rail(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if f.detail.get("cause") == "loose":
        straight = f"only {say(f.measured, unit)} straight" if f.measured else "nothing straight"
        rail = f"the rail of {say(f.required or 0.0, unit)}"
        return f"The {f.detail['edge']} edge has {straight} for {rail} to be glued along."
    start = f"The {f.detail['what']} of {names(board, f.subjects)}"
    if "rail" in f.detail:
        place = f"the rail at the {f.detail['edge']} edge"
    else:
        face = "top face" if f.detail["face"] == "top" else "underside"
        label = f"“{f.detail['area']}”" if f.detail["area"] else "the area"
        place = f"{label} to be kept clear on the {face}"
    if f.severity == "stop":
        return f"{start} runs {_over(f, unit)} into {place} at worst."
    if f.detail["what"] == "lever":  # it may come as near as it likes, and stops only where it is over the area at rest
        return (
            f"{start}, leant over, {'can reach' if _meets(f) else f'reaches {_over(f, unit)} into'} {place} at worst."
        )
    return _near(f, start, place, unit, f"is needed{' to turn it' if f.detail['what'] == 'nut' else ''}")


def _near(f: Finding, start: str, place: str, unit: Unit, needed: str) -> str:
    """“The hole of A comes within 2 mm of the left edge at worst; 3 mm is needed.”; or that it can reach it."""
    measured, required = _both(f, unit)
    comes = "can reach" if _meets(f) else f"comes within {measured} of"
    return f"{start} {comes} {place} at worst; {required} {needed}."


def _depth(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, room = names(board, f.subjects), float(f.detail["free"])
    depth, free = apart(float(f.detail["depth"]), room, unit)
    free = "nothing" if room <= 0 or nothing(room) else free
    if f.severity == "stop":
        return f"{who} hangs {depth} below the board, and {_only(free)} is free there: {_over(f, unit)} too deep."
    measured, required = _both(f, unit)
    left = "nothing" if _meets(f) else measured
    return f"{who} hangs {depth} below the board, and {free} is free: {left} is left, and wires need {required}."


def _only(free: str) -> str:
    return free if free == "nothing" else f"only {free}"


def _over(f: Finding, unit: Unit) -> str:
    return off(f.measured or 0.0, unit)


def _both(f: Finding, unit: Unit) -> tuple[str, str]:
    return say_both(f.measured or 0.0, f.required or 0.0, unit)


def _meets(f: Finding) -> bool:
    """Whether nothing at all is left, and nothing is overrun either."""
    return nothing(f.measured or 0.0)


MESSAGES: dict[str, Callable[[Finding, ResolvedBoard, Unit], str]] = {
    "outside-board": _outside,
    "edge-distance": _edge,
    "edge-slot": _slot,
    "web": _web,
    "flange-overlap": _flanges,
    "flange-overhang": _overhang,
    "under-clash": _under,
    "rail-clash": _rail,
    "depth-below": _depth,
    "thread-reach": HOLD["thread-reach"],
    "snap-grip": HOLD["snap-grip"],
    "bit-match": bit_message,
    "bit-depth": REACH,
    **{rule: words[0] for rule, words in BELOW.items()},
    **{rule: words[0] for rule, words in STRENGTH.items()},
    **{rule: words[0] for rule, words in BOARD.items()},
}
