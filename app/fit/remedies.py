"""What a builder can do about a finding, in a sentence."""

from __future__ import annotations

from collections.abc import Callable

from app.fit.finding import Finding
from app.fit.words import edge_name, names, say
from app.fit.words_below import BELOW
from app.fit.words_strength import STRENGTH
from app.model.resolved import ResolvedBoard
from app.units import Unit


def _move_in(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    return f"Move {names(board, f.subjects)} at least {_lacking(f, unit)} further onto the board."


def _move_from_edge(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, edge = names(board, f.subjects), edge_name(f.detail["edge"])
    return f"Move {who} at least {_lacking(f, unit)} further from {edge}, or make the board larger there."


def _move_apart(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if len(f.subjects) == 1:
        return "The part asks for these holes as they are. Drill with care and try it on scrap, or use another part."
    who = names(board, f.subjects)
    return f"Move {who} at least {_lacking(f, unit)} further apart, or use smaller parts{_pinned(f, board)}."


def _clear_rail(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who = names(board, f.subjects)
    if "rail" in f.detail:
        return f"Move {who} at least {_lacking(f, unit)} inward, or stop the rail short of it."
    return f"Move {who} at least {_lacking(f, unit)} away{_pinned(f, board)}."


def _depth(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who = names(board, f.subjects)
    where = ", move it to where there is more room" if float(f.detail["slope"]) > 0 else ""
    return f"Make the box {_lacking(f, unit)} deeper under {who}{where}, or use a shallower part."


def _hold(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, cause = names(board, f.subjects), f.detail["cause"]
    if cause == "thin":
        ring = say(float(f.detail["grip_min"]) - float(f.detail["held"]), unit)
        return f"Pack {who} out by {ring} below the board, or use a part for thinner boards."
    if cause == "width":
        return f"Counterbore {who} {_bit(f, unit)} wide."
    if "depth" not in f.detail:
        longer = "a longer thread" if f.rule == "thread-reach" else "clips for a thicker board"
        return f"No counterbore leaves enough of this board. Use a part with {longer}, or a thinner board."
    depth = float(f.detail["depth"])
    if depth == 0:
        return "Leave the counterbore out: the part holds without it."
    deep, left = say(depth, unit), say(float(f.detail["ledge"]), unit)
    return f"Counterbore {who} {_bit(f, unit)} wide, {deep} deep from the underside; {left} of board stays."


def _bit(f: Finding, unit: Unit) -> str:
    """How wide to counterbore: as the shop's bit, or at least as it must be."""
    if "bit" in f.detail:
        return say(float(f.detail["bit"]), unit)
    return f"at least {say(float(f.detail['width']), unit)} (the shop has no flat-bottomed bit for it)"


def _get_bit(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    paint = float(f.detail.get("paint", 0.0))
    nominal, who = say(float(f.detail["nominal"]) + paint, unit), names(board, f.subjects)
    if f.severity == "note":
        return f"It fits. Try the bit on scrap with the part of {who} first."
    if f.detail["cause"] == "recess":
        return f"Get a router bit of {nominal} or less for {who}."
    if f.detail["cause"] == "painted":
        return f"Cut the opening of {who} {say(-(f.margin or 0.0), unit)} wider, or leave its edges bare."
    if f.detail["cause"] == "counterbore":
        return f"Get a flat-bottomed bit of {nominal}, or counterbore {who} as wide as one the shop has."
    low, high = (say(float(f.detail[k]) + paint, unit) for k in ("smallest", "largest"))
    return f"Get a bit of {nominal}, or any from {low} to {high}, for {who}."


def _lacking(f: Finding, unit: Unit) -> str:
    return say(-(f.margin or 0.0), unit)


def _pinned(f: Finding, board: ResolvedBoard) -> str:
    """Which of the subjects may not be moved."""
    locked = [s for s in f.subjects if (placed := board.placed(s)) and placed.locked]
    return f" ({names(board, locked)} {'is' if len(locked) == 1 else 'are'} locked)" if locked else ""


REMEDIES: dict[str, Callable[[Finding, ResolvedBoard, Unit], str]] = {
    "outside-board": _move_in,
    "edge-distance": _move_from_edge,
    "edge-slot": _move_from_edge,
    "web": _move_apart,
    "flange-overlap": _move_apart,
    "flange-overhang": _move_in,
    "under-clash": _move_apart,
    "rail-clash": _clear_rail,
    "depth-below": _depth,
    "thread-reach": _hold,
    "snap-grip": _hold,
    "bit-match": _get_bit,
    **{rule: words[1] for rule, words in BELOW.items()},
    **{rule: words[1] for rule, words in STRENGTH.items()},
}
