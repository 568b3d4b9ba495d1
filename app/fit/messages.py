"""What a finding says, in sentences a builder would say, in display units."""

from __future__ import annotations

from collections.abc import Callable

from app.catalogue.load import Catalogue
from app.fit.finding import Finding
from app.fit.remedies import REMEDIES
from app.fit.words import edge_name, names, say, say_both, side_words
from app.fit.words_below import BELOW
from app.fit.words_strength import STRENGTH
from app.model.fix import BuyBit, CounterboreAt, Fix, MoveBy, RecessAt, Several
from app.model.resolved import ResolvedBoard
from app.model.shop import kind_words
from app.units import Unit

_STEPS_SAID = 3  # changes of one fix that are named before “2 more”


def message(finding: Finding, board: ResolvedBoard, unit: Unit) -> str:
    """What is wrong, with what there is and what is needed."""
    return MESSAGES[finding.rule](finding, board, unit)


def remedy(finding: Finding, board: ResolvedBoard, unit: Unit) -> str:
    """What the builder can do about it."""
    return REMEDIES[finding.rule](finding, board, unit)


def fix_label(fix: Fix, board: ResolvedBoard, unit: Unit, catalogue: Catalogue | None = None) -> str:
    """What a fix does, for the button that does it; with the catalogue, another part is called by its name."""
    if isinstance(fix, Several):
        said = [fix_label(step, board, unit, catalogue) for step in fix.fixes[:_STEPS_SAID]]
        more = len(fix.fixes) - len(said)
        return "; ".join([*said, f"{more} more" if more else ""][: len(said) + bool(more)])
    if isinstance(fix, MoveBy):
        return f"Move {names(board, [fix.placement])} {side_words(fix.dx, fix.dy, unit)}"
    if isinstance(fix, CounterboreAt):
        size = f"{say(fix.diameter, unit)} wide, {say(fix.depth, unit)} deep"
        return f"Counterbore {names(board, fix.placements)}: {size}"
    if isinstance(fix, RecessAt):
        size = f"{say(fix.width, unit)} × {say(fix.height, unit)}, {say(fix.depth, unit)} deep"
        return f"Recess {names(board, fix.placements)}: {size}"
    if isinstance(fix, BuyBit):
        return f"Add a {say(fix.diameter, unit)} {kind_words(fix.kind)} bit to the shop"
    part = catalogue.parts.get(fix.part) if catalogue else None
    return f"Use “{part.name if part else fix.part}” for {names(board, fix.placements)}"


def _outside(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    return f"The {f.detail['what']} of {names(board, f.subjects)} reaches {_over(f, unit)} over the edge of the board."


def _edge(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, edge = names(board, f.subjects), edge_name(f.detail["edge"])
    what = "A screw" if f.detail["what"] == "screw" else f"The {f.detail['what']}"
    if (f.measured or 0.0) < 0:
        needed = say(f.required or 0.0, unit)
        return f"{what} of {who} can run {_over(f, unit)} over {edge} at worst; {f.detail['layer']} needs {needed}."
    measured, required = _both(f, unit)
    return f"{what} of {who} comes within {measured} of {edge} at worst; {f.detail['layer']} needs {required}."


def _slot(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start = f"The {f.detail['what']} of {names(board, f.subjects)}"
    slot = f"the {say(float(f.detail['slot']), unit)} deep slot in the {f.detail['edge']} edge"
    if f.severity == "stop":
        return f"{start} breaks {_over(f, unit)} into {slot} at worst."
    measured, required = _both(f, unit)
    return f"{start} comes within {measured} of {slot} at worst; {required} should be left."


def _web(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, layer = names(board, f.subjects), f.detail["layer"]
    if (f.measured or 0.0) < 0:
        needed = say(f.required or 0.0, unit)
        return f"The holes of {who} run {_over(f, unit)} into each other at worst; {layer} needs {needed} between them."
    measured, required = _both(f, unit)
    if len(f.subjects) == 1:
        return f"Only {measured} of board stays between the holes of {who} itself; {layer} needs {required}."
    return f"Only {measured} of board stays between {who} at worst; {layer} needs {required}."


def _flanges(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, what = names(board, f.subjects), f"{f.detail['what']}s"
    if f.severity == "stop":
        return f"The {what} of {who} overlap by {_over(f, unit)} at worst."
    measured, required = _both(f, unit)
    return f"The {what} of {who} are {measured} apart at worst; {required} is needed."


def _overhang(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start = f"The {f.detail['what']} of {names(board, f.subjects)}"
    edge = edge_name(f.detail["edge"])
    if f.severity == "stop":
        return f"{start} hangs {_over(f, unit)} over {edge} at worst."
    measured, required = _both(f, unit)
    return f"{start} comes within {measured} of {edge} at worst; {required} is needed."


def _under(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    what, other = f.detail["what"], f.detail["other"]
    one, two = (f"the {kind} of {names(board, [who])}" for kind, who in zip((what, other), f.subjects, strict=True))
    if (f.measured or 0.0) < 0:
        return f"Below the board, {one} runs {_over(f, unit)} into {two} at worst."
    measured, required = _both(f, unit)
    if {what, other} & {"counterbore", "recess"} and {what, other} <= {"counterbore", "recess", "hole"}:
        return f"Only {measured} of board stays between {one} and {two} at worst; {required} is needed."
    turning = " to turn the nut" if "nut" in (what, other) else ""
    return f"Below the board, {one} and {two} are {measured} apart at worst; {required} is needed{turning}."


def _rail(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start = f"The {f.detail['what']} of {names(board, f.subjects)}"
    if "rail" in f.detail:
        place = f"the rail at the {f.detail['edge']} edge"
    else:
        face = "top face" if f.detail["face"] == "top" else "underside"
        label = f"“{f.detail['area']}”" if f.detail["area"] else "the area"
        place = f"{label} to be kept clear on the {face}"
    if f.severity == "stop":
        return f"{start} runs {_over(f, unit)} into {place} at worst."
    measured, required = _both(f, unit)
    turning = " to turn it" if f.detail["what"] == "nut" else ""
    return f"{start} comes within {measured} of {place} at worst; {required} is needed{turning}."


def _depth(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who = names(board, f.subjects)
    depth, free = say(float(f.detail["depth"]), unit), say(float(f.detail["free"]), unit)
    if f.severity == "stop":
        return f"{who} hangs {depth} below the board, and only {free} is free there: {_over(f, unit)} too deep."
    measured, required = _both(f, unit)
    return f"{who} hangs {depth} below the board, and {free} is free: {measured} is left, and wires need {required}."


def _thread(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if f.detail["cause"] != "reach":
        return _bore(f, board, unit)
    who = names(board, f.subjects)
    thread, taken, held = (say(float(f.detail[k]), unit) for k in ("thread", "taken", "held"))
    nuts = "The nut of" if len(f.subjects) == 1 else "The nuts of"
    if f.severity == "stop":
        return (
            f"{nuts} {who} can't reach: the thread is {thread}, nut and spare thread take {taken} of it, "
            f"and the board is {held}{_painted(f)}."
        )
    measured, required = _both(f, unit)
    return f"{nuts} {who} can go on, but only {measured} of thread shows beyond; {required} is needed."


def _painted(f: Finding) -> str:
    return " with its paint" if float(f.detail.get("paint", 0.0)) else ""


def _bore(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start = f"The counterbore of {names(board, f.subjects)}"
    if f.detail["cause"] == "ledge":
        if not f.detail["layer"]:
            return f"{start} is {say(float(f.detail['made_depth']), unit)} deep and goes right through the board."
        measured, required = _both(f, unit)
        return f"{start} leaves {measured} of board; {f.detail['layer']} needs {required}."
    measured, required = _both(f, unit)
    if f.severity == "stop":
        return f"{start} is {measured} wide, and the nut is {required} across its corners: it does not go in."
    if float(f.detail["nut"]) > 0:
        return f"{start} is {measured} wide; the nut needs {required} to be turned."
    return f"{start} is {measured} wide; the clips need {required} to spring out."


def _snap(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    if f.detail["cause"] not in ("thick", "thin"):
        return _bore(f, board, unit)
    low, high = say(float(f.detail["grip_min"]), unit), say(float(f.detail["grip_max"]), unit)
    than, limit = ("more", "grip_max") if f.detail["cause"] == "thick" else ("less", "grip_min")
    held = say_both(float(f.detail["held"]), float(f.detail[limit]), unit)[0] + _painted(f)
    return (
        f"The clips of {names(board, f.subjects)} hold {low} to {high} of board; here it is {held}, {than} than that."
    )


def _bit(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    who, nominal = names(board, f.subjects), say(float(f.detail["nominal"]), unit)
    off = _off(f, unit)
    if f.detail["cause"] == "counterbore":
        return f"The shop has no flat-bottomed bit of {nominal} for the counterbore of {who}{off}."
    if f.detail["cause"] == "recess":
        return f"The shop has no router bit for the recess of {who}, whose inside corners are {nominal} wide."
    low, high = say(float(f.detail["smallest"]), unit), say(float(f.detail["largest"]), unit)
    paint = float(f.detail.get("paint", 0.0))
    film = f"; paint takes {say(paint, unit)} of it" if paint else ""
    if f.detail["cause"] == "painted":
        left, least = _both(f, unit)
        return f"The {nominal} opening of {who} is {left} when painted; the part needs {least}."
    if f.severity == "note":
        bit, over = float(f.detail["bit"]), float(f.detail["bit"]) - float(f.detail["nominal"])
        wide = f"{say(abs(over), unit)} {'over' if over > 0 else 'under'}"
        made = f"is made with the {say(bit, unit)} bit, {wide}"
        return f"The {nominal} hole of {who} {made}; it may be {low} to {high}{film}."
    return f"No bit in the shop makes the {nominal} hole of {who}, which may be {low} to {high}{film}{off}."


def _off(f: Finding, unit: Unit) -> str:
    """How far the nearest bit is off, in words."""
    if "bit" not in f.detail:
        return ""
    paint = float(f.detail.get("paint", 0.0))
    bit, nominal = float(f.detail["bit"]) - paint, float(f.detail["nominal"])
    wrong = "too wide" if bit > nominal else "too narrow"
    limit = float(f.detail.get("largest" if bit > nominal else "smallest", nominal))
    return f"; the nearest is {say(bit + paint, unit)}, {say(abs(bit - limit), unit)} {wrong}"


def _over(f: Finding, unit: Unit) -> str:
    return say(abs(f.measured or 0.0), unit)


def _both(f: Finding, unit: Unit) -> tuple[str, str]:
    return say_both(f.measured or 0.0, f.required or 0.0, unit)


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
    "thread-reach": _thread,
    "snap-grip": _snap,
    "bit-match": _bit,
    **{rule: words[0] for rule, words in BELOW.items()},
    **{rule: words[0] for rule, words in STRENGTH.items()},
}
