"""What findings about the board itself, the measures of a part, its screws and its lever say, and what to do.

What a finding's ``detail`` has to carry, besides ``toward_x`` and ``toward_y`` where a part may be moved:

- ``opening-distance``, without subjects: ``index`` of the opening, from 0; ``edge`` with what it is too near: the name
  of an edge (or ``corner``), ``opening``, ``rail``, ``slot`` or ``area``; with a rail or slot ``side``, the edge it is
  at; with an area ``area``, its label; with an edge or opening ``layer``, the name of the material that asks.
- ``under-overhang``: ``what`` hangs over, ``edge`` as for ``flange-overhang``.
- ``screw-distance``: between two parts ``what`` and ``other``, the kinds in the order of the subjects (``screw`` one of
  them), and ``layer``; in one part by itself ``what``, ``other``, ``layer`` and ``own`` = ``yes``.
- ``lever-sweep``: between two parts ``what`` = ``lever`` and ``other`` = ``lever`` or ``flange``, in the order of the
  subjects.
- ``part-measures``: ``cause``, one of ``flange``, ``body``, ``nut``, ``head``, ``screw`` and ``drop``; ``hole``, the
  width of the hole it is about [mm], where it is about one.
"""

from __future__ import annotations

from collections.abc import Callable

from app.fit.finding import Finding
from app.fit.proposals import Advice
from app.fit.words import are, edge_name, names, nothing, off, say, say_both, verb, whose
from app.fit.words_moves import moved
from app.model.resolved import ResolvedBoard
from app.units import Unit

_Message = Callable[[Finding, ResolvedBoard, Unit], str]
_Remedy = Callable[[Finding, Advice, Unit], str]


def _opening(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start, place = _which(f, board), _place(f, board)
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    why = f"{f.detail['layer']} needs {required}" if "layer" in f.detail else f"{required} is needed"
    if nothing(f.measured or 0.0):
        return f"{start} can reach {place} at worst{f'; {why}' if f.required else ''}."
    if (f.measured or 0.0) < 0:
        return f"{start} runs {off(f.measured or 0.0, unit)} into {place} at worst."
    return f"{start} comes within {measured} of {place} at worst; {why}."


def _mend_opening(f: Finding, advice: Advice, _unit: Unit) -> str:
    start, place = _which(f, advice.board), _place(f, advice.board)
    other = {"rail": "stop the rail short of it", "slot": "make the slot less deep", "area": "move what stands there"}
    last = other.get(str(f.detail["edge"]), "make the board larger there")
    last = "make the other one smaller" if f.detail["edge"] == "opening" else last
    return f"Make {start.lower()} smaller, move it further from {place}, or {last}."


def _which(f: Finding, board: ResolvedBoard) -> str:
    """“The opening”, or which of several, counted as they stand in the design."""
    return "The opening" if len(board.openings) < 2 else f"Opening {int(float(f.detail['index'])) + 1}"


def _place(f: Finding, board: ResolvedBoard) -> str:
    edge = str(f.detail["edge"])
    if edge == "opening":
        return "another opening"
    if edge in ("rail", "slot"):
        return f"the {edge} {'at' if edge == 'rail' else 'in'} the {f.detail['side']} edge"
    if edge == "area":
        return f"“{f.detail['area']}”" if f.detail.get("area") else "an area to keep clear"
    return edge_name(board, f)


def _hangs(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    start, edge = f"Below the board, the {f.detail['what']} of {names(board, f.subjects)}", edge_name(board, f)
    if f.severity == "stop":
        return f"{start} reaches {off(f.measured or 0.0, unit)} past {edge} at worst."
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    if (f.measured or 0.0) < 0 and not nothing(f.measured or 0.0):
        return f"{start} reaches {off(f.measured or 0.0, unit)} under {edge} at worst; {required} of board is needed."
    comes = "can reach" if nothing(f.measured or 0.0) else f"comes within {measured} of"
    return f"{start} {comes} {edge} at worst; {required} is needed."


def _mend_hangs(f: Finding, advice: Advice, unit: Unit) -> str:
    if f.detail["edge"] == "opening":
        return moved(f, advice, unit, "further from the opening", "make the opening smaller or move it")
    return moved(f, advice, unit, "further inward", "make the board larger there")


def _screws(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    what, other, layer = f.detail["what"], f.detail["other"], f.detail["layer"]
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    if len(f.subjects) == 1:
        both = f"a screw of {names(board, f.subjects)} and its own {other if what == 'screw' else what}"
    else:
        one, two = (_the(kind, names(board, [s])) for kind, s in zip((what, other), f.subjects, strict=True))
        both = f"{one} and {two}"
    if (f.measured or 0.0) < 0 and not nothing(f.measured or 0.0):
        return f"{both[:1].upper()}{both[1:]} run {off(f.measured or 0.0, unit)} into each other at worst."
    left = "No board" if nothing(f.measured or 0.0) else f"Only {measured} of board"
    return f"{left} is left between {both} at worst; {layer} needs {required}."


def _the(kind: object, who: str) -> str:
    return f"a screw of {who}" if kind == "screw" else f"the {kind} of {who}"


def _mend_screws(f: Finding, advice: Advice, unit: Unit) -> str:
    if len(f.subjects) == 1:
        who = names(advice.board, f.subjects)
        if {f.detail["what"], f.detail["other"]} & {"counterbore", "recess"}:
            return f"Cut narrower or shallower below {who}, or use shorter screws."
        return "The part asks for these holes as they are. Drill the pilots with care, or use another part."
    return moved(f, advice, unit, "further apart", "use shorter screws or smaller parts")


def _sweep(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    swept = off(f.measured or 0.0, unit)
    if f.detail["what"] == f.detail["other"]:
        who = names(board, f.subjects)
        if f.severity == "stop":
            return f"The knobs of {who} meet even where both levers are at rest: they overlap by {swept} when leant."
        return f"The levers of {who}, leant toward each other, meet: their knobs overlap by {swept} at worst."
    lever, flange = f.subjects if f.detail["what"] == "lever" else f.subjects[::-1]
    one, two = names(board, [lever]), names(board, [flange])
    rest = " even at rest" if f.severity == "stop" else ", leant over,"
    return f"The lever of {one}{rest} meets the flange of {two}: its knob reaches {swept} over it at worst."


def _mend_sweep(f: Finding, advice: Advice, unit: Unit) -> str:
    return moved(f, advice, unit, "further apart", "use a part with a smaller knob or a shorter lever")


def _measures(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    ids, cause = f.subjects, str(f.detail["cause"])
    measured, required = say_both(f.measured or 0.0, f.required or 0.0, unit)
    hole = f"the {say(float(f.detail['hole']), unit)} hole" if "hole" in f.detail else "the hole"
    if cause == "screw":
        return f"A screw of {names(board, ids)} goes {off(f.lack, unit)} outside what it should hold."
    if cause == "flange":
        cover, open_ = verb(ids, "do"), f"{off(f.lack, unit)} of it stays open"
        return f"{whose('flange', board, ids)} {cover} not cover {hole}: {open_}."
    if cause == "body":
        much = off(f.lack, unit)
        return f"{whose('body', board, ids)} {verb(ids, 'do')} not go through {hole}: {much} too wide on each side."
    if cause == "drop":
        return f"{names(board, ids)} {verb(ids, 'fit')} through {hole} from below: nothing rests on the board."
    size = "" if measured == required else f", {measured}," if f.measured else ""
    what = {"nut": "nut", "head": "bolt head"}[cause]
    bolts = whose(what, board, ids)
    return f"{bolts}{size} {are(ids)} no wider than {hole}, and {verb(ids, 'pull')} through."


def _mend_measures(f: Finding, advice: Advice, _unit: Unit) -> str:
    cause, who = str(f.detail["cause"]), names(advice.board, f.subjects)
    if cause == "body" and f.severity == "caution":
        return f"See whether the body of {who} comes apart to go through, or correct the part's sizes."
    washer = "Put a wide washer under it, or m" if cause in ("nut", "head") else "M"
    many = "the part" if len(f.subjects) == 1 else "the parts"
    return f"{washer}easure {many} of {who} again and correct its sizes, or use another part."


BOARD: dict[str, tuple[_Message, _Remedy]] = {
    "opening-distance": (_opening, _mend_opening),
    "under-overhang": (_hangs, _mend_hangs),
    "screw-distance": (_screws, _mend_screws),
    "lever-sweep": (_sweep, _mend_sweep),
    "part-measures": (_measures, _mend_measures),
}
"""By rule: the message, and the remedy."""
