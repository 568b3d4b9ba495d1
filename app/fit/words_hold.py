"""What findings about nuts, clips and the counterbores made for them say."""

from __future__ import annotations

from collections.abc import Callable

from app.fit.finding import Finding
from app.fit.words import are, least, most, names, nothing, say, say_both, span, verb, whose
from app.model.resolved import ResolvedBoard
from app.units import Unit


def _thread(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if f.detail["cause"] != "reach":
        return _bore(f, board, unit)
    # Rounded so that what is left of the thread is seen to be less than the board.
    thread = most(float(f.detail["thread"]), unit)
    taken, held = (least(float(f.detail[k]), unit) for k in ("taken", "held"))
    nuts = whose("nut", board, f.subjects)
    if f.severity == "stop":
        return (
            f"{nuts} can't reach: the thread is {thread}, nut and spare thread take {taken} of it, "
            f"and the board is {held}{_painted(f)}."
        )
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    shows = "no thread shows" if nothing(f.measured or 0.0) else f"only {measured} of thread shows"
    return f"{nuts} can go on, but {shows} beyond; {required} is needed."


def _painted(f: Finding) -> str:
    return " with its paint" if float(f.detail.get("paint", 0.0)) else ""


def _bore(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start, one = whose("counterbore", board, f.subjects), f.subjects
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    if f.detail["cause"] == "ledge":
        if not f.detail["layer"]:
            deep = say(float(f.detail["made_depth"]), unit)
            return f"{start} {are(one)} {deep} deep and {verb(one, 'go')} right through the board."
        left = "no board at all" if nothing(f.measured or 0.0) else f"{measured} of board"
        return f"{start} {verb(one, 'leave')} {left}; {f.detail['layer']} needs {required}."
    if f.severity == "stop":
        nut = f"{required} across its corners: it does not go in"
        return f"{start} {are(one)} {measured} wide, and the nut is {nut}."
    if float(f.detail["nut"]) > 0:
        return f"{start} {are(one)} {measured} wide; the nut needs {required} to be turned."
    return f"{start} {are(one)} {measured} wide; the clips need {required} to spring out."


def _snap(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if f.detail["cause"] not in ("thick", "thin"):
        return _bore(f, board, unit)
    low, high = span(float(f.detail["grip_min"]), float(f.detail["grip_max"]), unit)
    than, limit = ("thick", "grip_max") if f.detail["cause"] == "thick" else ("thin", "grip_min")
    held = say_both(float(f.detail["held"]), float(f.detail[limit]), unit)[0] + _painted(f)
    held_range = f"up to {high}" if nothing(float(f.detail["grip_min"])) else f"{low} to {high}"
    start = f"The clips of {names(board, f.subjects)} hold {held_range} of board"
    if float(f.detail["held"]) < 0 or nothing(float(f.detail["held"])):
        return f"{start}; here no board is left."
    return f"{start}; here it is {held}, which is too {than}."


HOLD: dict[str, Callable[[Finding, ResolvedBoard, Unit], str]] = {"thread-reach": _thread, "snap-grip": _snap}
"""The messages, by rule."""
