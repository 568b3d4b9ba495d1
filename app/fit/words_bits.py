"""What is said of the bits a shop has, and of those it lacks."""

from __future__ import annotations

from collections.abc import Callable

from app.fit.finding import Finding
from app.fit.words import are, names, off, say, say_both, sizes, whose
from app.model.resolved import ResolvedBoard
from app.model.shop import kind_words
from app.units import Unit


def bit_message(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    """That no bit of the shop is as wide as a hole, a counterbore or the corners of a recess; or which one is used."""
    who, write = names(board, f.subjects), _writer(f, unit)
    nominal = write(float(f.detail["nominal"]))
    cause = f.detail["cause"]
    if cause == "counterbore":
        bit = f"flat-bottomed bit of {nominal}"
        return f"The shop has no {bit} for {_cuts(f, board, 'counterbore')}{_nearest(f, unit, write)}."
    if cause == "recess":
        corners = f"whose inside corners are {nominal} wide"
        return f"The shop has no router bit for {_cuts(f, board, 'recess')}, {corners}."
    film = float(f.detail.get("paint", 0.0))
    painted = f"; paint takes {say(film, unit)} of it" if film else ""
    if cause == "painted":
        left, least = say_both(f.measured or 0.0, f.required or 0.0, unit)
        return f"The {nominal} opening of {who} is {left} when painted; the part needs {least}."
    span = _span(f, write)
    if f.severity == "note":
        made = float(f.detail["bit"])
        over = made - float(f.detail["nominal"])
        wide = f"{off(over, unit)} {'over' if over > 0 else 'under'}"
        start = whose(f"{nominal} hole", board, f.subjects)
        return f"{start} {are(f.subjects)} made with the {write(made)} bit, {wide}; it may be {span}{painted}."
    may = f"which may be {span}{painted}"
    start = whose(f"{nominal} hole", board, f.subjects).replace("The ", "the ", 1)
    return f"No bit in the shop makes {start}, {may}{_nearest(f, unit, write)}."


def _cuts(f: Finding, board: ResolvedBoard, what: str) -> str:
    return whose(what, board, f.subjects).replace("The ", "the ", 1)


def _writer(f: Finding, unit: Unit) -> Callable[[float], str]:
    """How the sizes of a finding are written, so that its bit is seen to be none of those it is not."""
    sized = [float(f.detail[k]) for k in ("nominal", "smallest", "largest") if k in f.detail]
    return sizes(float(f.detail.get("bit", 0.0)), sized, unit)


def _span(f: Finding, write: Callable[[float], str]) -> str:
    """“25.5 mm to 27 mm”; the one width where there is only one."""
    low, high = (write(float(f.detail[k])) for k in ("smallest", "largest"))
    return low if low == high else f"{low} to {high}"


def _nearest(f: Finding, unit: Unit, write: Callable[[float], str]) -> str:
    """Which bit comes nearest, and why it will not do."""
    if "bit" not in f.detail:
        return ""
    film = float(f.detail.get("paint", 0.0))
    bit, nominal = float(f.detail["bit"]), float(f.detail["nominal"])
    low, high = (float(f.detail.get(k, nominal)) for k in ("smallest", "largest"))
    kind = f"{kind_words(str(f.detail['kind']))} " if "kind" in f.detail else ""
    size = f"{write(bit)} {kind}bit"
    if bit - film > high:
        return f"; the nearest, the {size}, is {off(bit - film - high, unit)} too wide"
    if bit - film < low:
        return f"; the nearest, the {size}, is {off(low + film - bit, unit)} too narrow"
    return ""
