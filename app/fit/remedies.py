"""What a builder can do about a finding, in a sentence.

Figures are those of changes that were tried as they are said (:mod:`app.fit.proposals`). What follows them, and all
that is said where nothing was tried, or nothing helps, promises nothing: “use smaller parts”.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from app.fit.amend import LeaveOut
from app.fit.finding import Finding
from app.fit.heaps import HEAP
from app.fit.proposals import Advice
from app.fit.words import most, names, verb
from app.fit.words_below import BELOW
from app.fit.words_board import BOARD
from app.fit.words_change import clause, holds_without, needs_room, options, sentence, warning
from app.fit.words_moves import moved
from app.fit.words_strength import STRENGTH
from app.model.fix import CounterboreAt, Several
from app.model.shop import kind_words
from app.units import Unit

_Words = Callable[[Finding, Advice, Unit], str]


def _inward(f: Finding, advice: Advice, unit: Unit) -> str:
    """For what is over an edge or near one: the edge itself, or an inner opening, may give way too."""
    edge = f.detail.get("edge") or _edge_at(f, advice)
    if edge == "opening":
        return moved(f, advice, unit, "further from the opening", "make the opening smaller or move it")
    where = "further onto the board" if f.rule in ("outside-board", "flange-overhang") else "further inward"
    return moved(f, advice, unit, where, "make the board larger there")


def _edge_at(f: Finding, advice: Advice) -> str:
    """The edge a finding stands on; “opening” for an inner one."""
    x, y = (np.array([v]) for v in f.where)
    return advice.board.boundary.edges_at(x, y)[0] or "opening"


def _apart(f: Finding, advice: Advice, unit: Unit) -> str:
    if f.detail.get("cause") == HEAP:
        return "Move them apart, or take out what is there by mistake. What else they touch is told after that."
    if len(f.subjects) == 1:
        return "The part asks for these holes as they are. Drill with care and try it on scrap, or use another part."
    cut = {f.detail.get("what"), f.detail.get("other")} & {"counterbore", "recess"}
    return moved(f, advice, unit, "further apart", "cut narrower, with smaller parts" if cut else "use smaller parts")


def _rail(f: Finding, advice: Advice, unit: Unit) -> str:
    if f.detail.get("cause") == "loose":
        return "Take that rail off, or ease the corners beside it less, so that some of the edge stays straight."
    if "rail" in f.detail:
        return moved(f, advice, unit, "further inward", "stop the rail short of it")
    return moved(f, advice, unit, "further away", "move what is to be kept clear")


def _depth(f: Finding, advice: Advice, unit: Unit) -> str:
    deeper = () if advice.ways else (f"make the box deeper under {names(advice.board, f.subjects)}",)
    return options(f, advice, unit, *deeper, "use a shallower part")


def _hold(f: Finding, advice: Advice, unit: Unit) -> str:
    who, cause = names(advice.board, f.subjects), f.detail["cause"]
    nut = f.rule == "thread-reach"
    longer = "a longer thread" if nut else "clips for a thicker board"
    if cause == "thin":
        pack = () if advice.ways else (f"pack {who} out below the board",)
        return options(f, advice, unit, *pack, "use a part for thinner boards")
    if advice.ways:
        return f"{sentence([clause(advice.ways[0].said(unit), f, advice, unit)])[:-1]}{_after(f, advice, unit)}."
    if cause == "width":
        other = "use a part with a narrower nut" if nut else "use a narrower part"
        return f"{warning(f, advice, unit)}{sentence(_first_apart(advice, [f'counterbore {who} wider'], other))}"
    if "depth" not in f.detail:
        return f"No counterbore leaves enough of this board. Use a part with {longer}, or a thinner board."
    if float(f.detail["depth"]) == 0:
        see = () if advice.tried else (f"see whether {who} {verb(f.subjects, 'hold')} without a counterbore",)
        return f"{warning(f, advice, unit)}{sentence([*see, f'use a part with {longer}'])}"
    other = f"use a part with {longer}"
    cut = [f"counterbore {who} from the underside"]
    return f"{warning(f, advice, unit)}{sentence(_first_apart(advice, cut, other))}"


def _first_apart(advice: Advice, cut: list[str], other: str) -> list[str]:
    """Make room first where the cut was tried and is refused."""
    if not advice.tried:
        return [*cut, other]
    return ["make room for it first", other] if needs_room(advice) else [other]


def _after(f: Finding, advice: Advice, unit: Unit) -> str:
    """What a change leaves, behind its words."""
    change = advice.ways[0].said(unit)
    if isinstance(change, Several):
        change = change.fixes[-1]
    if isinstance(change, CounterboreAt) and f.detail.get("cause") != "width":
        return f"; {most(advice.board.thickness - change.depth, unit)} of board is left"
    return holds_without(f) if isinstance(change, LeaveOut) else ""


def _bit_for(f: Finding, advice: Advice, unit: Unit) -> str:
    who = names(advice.board, f.subjects)
    if f.severity == "note":
        parts = "the part" if len(f.subjects) == 1 else "the parts"
        return f"It fits. Try the bit on scrap with {parts} of {who} first."
    cause = f.detail["cause"]
    if cause == "painted":
        return options(f, advice, unit, *(() if advice.ways else ("cut the opening wider",)), "leave its edges bare")
    if cause == "recess":
        general = () if advice.ways else ("rout rounder corners with a bit that you have",)
        return options(f, advice, unit, *general)
    if cause == "counterbore":
        general = () if advice.ways else ("make the counterbore as wide as a flat-bottomed bit that you have",)
        return options(f, advice, unit, *general)
    other = f"use another part for {who}, one for a hole that your bits make"
    if advice.tried and not advice.ways:
        return f"{warning(f, advice, unit)}{sentence([other])}"
    return options(f, advice, unit, *(() if advice.ways else ("get a bit that makes it", other)))


def _reach(f: Finding, advice: Advice, unit: Unit) -> str:
    who = names(advice.board, f.subjects)
    if f.severity == "note":
        return f"Drill {who} from both sides on the pilot: half from each face, against a board."
    if advice.ways:
        return options(f, advice, unit)
    what, kind = str(f.detail["cause"]).partition(" ")[0], kind_words(str(f.detail["kind"]))
    if not advice.tried:
        return f"Get a bit for {who} that reaches deeper."
    if what == "hole":
        return f"No bit of that size reaches so deep, not even from both sides. Use a thinner board for {who}."
    if what == "recess":
        return f"No router bit reaches so deep. Make the recess shallower, or use another part for {who}."
    return (
        f"No {kind} bit reaches so deep, and only those leave a flat bottom. Make the counterbore shallower with a "
        f"part that has a longer thread, or use a thinner board for {who}."
    )


REMEDIES: dict[str, _Words] = {
    "outside-board": _inward,
    "edge-distance": _inward,
    "edge-slot": _inward,
    "web": _apart,
    "flange-overlap": _apart,
    "flange-overhang": _inward,
    "under-clash": _apart,
    "rail-clash": _rail,
    "depth-below": _depth,
    "thread-reach": _hold,
    "snap-grip": _hold,
    "bit-match": _bit_for,
    "bit-depth": _reach,
    **{rule: words[1] for rule, words in BELOW.items()},
    **{rule: words[1] for rule, words in STRENGTH.items()},
    **{rule: words[1] for rule, words in BOARD.items()},
}
