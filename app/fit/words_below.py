"""What findings about recesses, levers, screws and the reach of bits say, and what a builder can do about them."""

from __future__ import annotations

from collections.abc import Callable

from app.fit.amend import LeaveOut
from app.fit.finding import Finding
from app.fit.proposals import Advice
from app.fit.words import are, most, names, nothing, off, say, say_both, span, verb, whose
from app.fit.words_change import clause, needs_room, options, sentence, warning
from app.model.fix import RecessAt, Several
from app.model.resolved import ResolvedBoard
from app.model.shop import kind_words
from app.units import Unit

_BOUGHT = "It takes other screws: nothing you drill or move on the board cures it."
_Message = Callable[[Finding, ResolvedBoard, Unit], str]
_Remedy = Callable[[Finding, Advice, Unit], str]


def _lever(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    low, high = span(float(f.detail["height_min"]), float(f.detail["height_max"]), unit)
    height, _ = say_both(f.measured or 0.0, f.required or 0.0, unit)
    start = whose("lever", board, f.subjects)
    if (f.measured or 0.0) < 0 or nothing(f.measured or 0.0):
        return (
            f"{start} {verb(f.subjects, 'do')} not come above the top face; it should stand {low} to {high} above it."
        )
    return f"{start} {verb(f.subjects, 'stand')} {height} above the top face; it should be {low} to {high}."


def _mend_lever(f: Finding, advice: Advice, unit: Unit) -> str:
    who = names(advice.board, f.subjects)
    if advice.ways:
        change = advice.ways[0].said(unit)
        said = sentence([clause(change, f, advice, unit)])[:-1]
        if isinstance(change, LeaveOut):
            return f"{said}: the lever{_s(f)} {verb(f.subjects, 'stand')} right without {_it(f)}."
        recess = change.fixes[-1] if isinstance(change, Several) else change
        if isinstance(recess, RecessAt):
            return f"{said}; {most(advice.board.thickness - recess.depth, unit)} of board is left."
        return f"{said}."
    if "recess_depth" in f.detail and not advice.tried:
        return f"Recess {who} from below, or use a part with a longer lever."
    if f.detail["cause"] == "high":
        return f"{warning(f, advice, unit)}Pack {who} out below the board, or use a part with a shorter lever."
    if "recess_depth" in f.detail:
        return f"{warning(f, advice, unit)}{_room(advice)}se a part with a longer lever."
    return "No recess leaves enough of this board. Use a part with a longer lever, or a thinner board."


def _in_recess(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start, one = whose("recess", board, f.subjects), f.subjects
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    cause = f.detail["cause"]
    if cause == "ledge":
        if not f.detail["layer"]:
            deep = say(float(f.detail["made_depth"]), unit)
            return f"{start} {are(one)} {deep} deep and {verb(one, 'go')} right through the board."
        left = "no board at all" if nothing(f.measured or 0.0) else f"{measured} of board"
        return f"{start} {verb(one, 'leave')} {left}; {f.detail['layer']} needs {required}."
    if cause == "corner":
        inside = "sharp inside corners" if nothing(f.measured or 0.0) else f"inside corners of {measured}"
        return f"{start} {verb(one, 'have')} {inside}; the router bit makes them {required}."
    size = f"{say(float(f.detail['seat_width']), unit)} × {say(float(f.detail['seat_height']), unit)}"
    if f.severity == "stop":
        return f"{start} {are(one)} too small: {size} has to go in, and a wall is {off(f.lack, unit)} in the way."
    room = "no room" if nothing(f.measured or 0.0) else measured
    return f"{start} {verb(one, 'leave')} {room} round what lies in {_it(f)}, {size}; {required} is needed."


def _mend_recess(f: Finding, advice: Advice, unit: Unit) -> str:
    if advice.ways:
        return options(f, advice, unit)
    what = "shallower" if f.detail["cause"] == "ledge" else "larger, with rounder corners"
    who = names(advice.board, f.subjects)
    if advice.tried and "recess_depth" in f.detail:
        return f"{warning(f, advice, unit)}{_room(advice)}se another part for {who}."
    other = ", or the board thicker" if what == "shallower" else ", or use a smaller part"
    return f"Make the recess{'' if len(f.subjects) == 1 else 'es'} of {who} {what}{other}."


def _screws(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, wood = names(board, f.subjects), say(float(f.detail["wood"]), unit)
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    if f.detail["cause"] == "hold":
        hold = "no board at all" if nothing(f.measured or 0.0) else f"{measured} of board"
        return f"The screws of {who} hold in {hold}; {required} is needed."
    start = f"The {say(float(f.detail['length']), unit)} screws of {who}"
    if f.severity == "stop":
        there = f"the board is {wood} there" if float(f.detail["wood"]) > 0 else "nothing is left of the board there"
        return f"{start} come through the other face by {off(f.measured or 0.0, unit)}: {there}."
    if nothing(f.measured or 0.0):
        return f"{start} end at the other face; {required} of board is needed beyond them."
    return f"{start} end {measured} short of the other face; {required} is needed."


def _mend_screws(f: Finding, advice: Advice, unit: Unit) -> str:
    who = names(advice.board, f.subjects)
    other = ("use bolts right through",) if f.detail["cause"] == "hold" else ()
    if advice.ways:
        return options(f, advice, unit, *other)
    if not advice.tried and f.detail["cause"] == "through":
        return f"Use shorter screws for {who}. {_BOUGHT}"
    return f"{warning(f, advice, unit)}Use thinner screws for {who}, or bolts right through. {_BOUGHT}"


def _reach(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    bit = f"The {say(float(f.detail['made_with']), unit)} {kind_words(str(f.detail['kind']))} bit"
    reach, depth = say_both(f.measured or 0.0, f.required or 0.0, unit)
    cut = whose(str(f.detail["cause"]).partition(" ")[0], board, f.subjects).replace("The ", "the ", 1)
    return f"{bit} reaches {reach}, and {cut} {are(f.subjects)} {depth} deep."


def _room(advice: Advice) -> str:
    return "Make room for it first, or u" if needs_room(advice) else "U"


def _s(f: Finding) -> str:
    return "" if len(f.subjects) == 1 else "s"


def _it(f: Finding) -> str:
    return "it" if len(f.subjects) == 1 else "them"


BELOW: dict[str, tuple[_Message, _Remedy]] = {
    "lever-height": (_lever, _mend_lever),
    "recess": (_in_recess, _mend_recess),
    "screw-hold": (_screws, _mend_screws),
}
"""By rule: the message, and the remedy."""

REACH: _Message = _reach
"""The message of the rule about how deep bits reach."""
