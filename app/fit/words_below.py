"""What findings about recesses, levers, screws and the reach of bits say, and what a builder can do about them."""

from __future__ import annotations

from collections.abc import Callable

from app.fit.finding import Finding
from app.fit.words import names, say, say_both
from app.model.resolved import ResolvedBoard
from app.model.shop import kind_words
from app.units import Unit

_BOUGHT = "Screws are bought to suit: nothing that is drilled or moved on the board mends it."
_Words = Callable[[Finding, ResolvedBoard, Unit], str]


def _lever(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    low, high = say(float(f.detail["height_min"]), unit), say(float(f.detail["height_max"]), unit)
    height, _ = say_both(f.measured or 0.0, f.required or 0.0, unit)
    who = names(board, f.subjects)
    one = len(f.subjects) == 1
    return (
        f"The lever{'' if one else 's'} of {who} stand{'s' if one else ''} {height} above the top face; "
        f"{low} to {high} is wanted."
    )


def _mend_lever(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who = names(board, f.subjects)
    if "recess_depth" in f.detail:
        if float(f.detail["recess_depth"]) == 0:
            return f"Leave the recess of {who} out: the lever stands right without it."
        return f"{_recess(f, board, unit)}; {say(float(f.detail['left']), unit)} of board stays."
    if f.detail["cause"] == "high":
        return f"Pack {who} out below the board, or use a part with a shorter lever."
    return "No recess leaves enough of this board. Use a part with a longer lever, or a thinner board."


def _in_recess(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start = f"The recess of {names(board, f.subjects)}"
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    cause = f.detail["cause"]
    if cause == "ledge":
        if not f.detail["layer"]:
            return f"{start} is {say(float(f.detail['made_depth']), unit)} deep and goes right through the board."
        return f"{start} leaves {measured} of board; {f.detail['layer']} needs {required}."
    if cause == "corner":
        return f"{start} has inside corners of {measured}; the router bit makes them {required}."
    size = f"{say(float(f.detail['seat_width']), unit)} × {say(float(f.detail['seat_height']), unit)}"
    if f.severity == "stop":
        return f"{start} is too small: {size} has to go in, and a wall is {say(f.lack, unit)} in the way."
    return f"{start} leaves {measured} round what lies in it, {size}; {required} is needed."


def _mend_recess(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if "recess_depth" in f.detail:
        return f"{_recess(f, board, unit)}."
    return f"Make the recess of {names(board, f.subjects)} {say(f.lack, unit)} shallower, or the board thicker."


def _recess(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    width, height, corner, depth = (say(float(f.detail[f"recess_{k}"]), unit) for k in _SIZES)
    who = names(board, f.subjects)
    return f"Recess {who} from below, {width} × {height}, inside corners {corner}, {depth} deep"


_SIZES = ("width", "height", "corner", "depth")


def _screws(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, wood = names(board, f.subjects), say(float(f.detail["wood"]), unit)
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    if f.detail["cause"] == "hold":
        return f"The screws of {who} hold in {measured} of board; {required} is needed."
    start = f"The {say(float(f.detail['length']), unit)} screws of {who}"
    if f.severity == "stop":
        return f"{start} come through the other face by {say(abs(f.measured or 0.0), unit)}: the board is {wood} there."
    return f"{start} end {measured} short of the other face; {required} is needed."


def _mend_screws(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    lacking, who = say(-(f.margin or 0.0), unit), names(board, f.subjects)
    shallower = ""
    if "recess_depth" in f.detail:
        shallower = f"Make the recess of {who} only {say(float(f.detail['recess_depth']), unit)} deep, or use"
    if f.detail["cause"] == "through":
        other = f"screws at least {lacking} shorter"
        return f"{shallower} {other}." if shallower else f"Use {other} for {who}. {_BOUGHT}"
    if shallower:
        return f"{shallower} thinner or longer screws, or bolts right through."
    return f"Use thinner or longer screws for {who}, or bolts right through. {_BOUGHT}"


def _reach(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who = names(board, f.subjects)
    bit = f"The {say(float(f.detail['made_with']), unit)} {kind_words(str(f.detail['kind']))} bit"
    reach, depth = say_both(f.measured or 0.0, f.required or 0.0, unit)
    what = str(f.detail["cause"]).partition(" ")[0]
    return f"{bit} reaches {reach}, and the {what} of {who} is {depth} deep."


def _mend_reach(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if f.severity == "note":
        return f"Drill {names(board, f.subjects)} from both sides on the pilot: half from each face, against a board."
    return f"Get a longer bit, one that reaches {say(f.required or 0.0, unit)}."


BELOW: dict[str, tuple[_Words, _Words]] = {
    "lever-height": (_lever, _mend_lever),
    "recess": (_in_recess, _mend_recess),
    "screw-hold": (_screws, _mend_screws),
    "bit-depth": (_reach, _mend_reach),
}
"""By rule: the message, and the remedy."""
