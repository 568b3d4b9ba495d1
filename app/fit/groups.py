"""Findings grouped by cause: one line for what ails many parts in the same way, the most severe first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from app.fit.accept import cause_of
from app.fit.finding import SEVERITIES, Finding, Severity
from app.fit.words import edge_name, names, off, say
from app.model.resolved import ResolvedBoard
from app.units import Unit


@dataclass(frozen=True, slots=True)
class Group:
    """Findings with one cause.

    Args:
        name: stays the same while the cause does; a fix for all is asked for by it.
        severity: of all of them.
        rule: of all of them.
        title: what ails whom, and what to do where that is known to work, in one line, in display units.
        findings: in the report's order; never empty.
        subjects: ids of every placement concerned, each once.
        folded: whether it is only worth knowing, and stays folded until asked for.
    """

    name: str
    severity: Severity
    rule: str
    title: str
    findings: tuple[Finding, ...]
    subjects: tuple[str, ...]
    folded: bool


def grouped(
    findings: Iterable[Finding], board: ResolvedBoard, unit: Unit, mends: Callable[[Finding], bool] | None = None
) -> tuple[Group, ...]:
    """The findings by cause: stops, then cautions, then notes, each in the order of the rules.

    Args:
        findings: what is to be grouped.
        board: the board they are about.
        unit: to say them in.
        mends: whether a way out of a finding was tried and works; titles say what to do only where that is so.
    """
    found: dict[tuple[Severity, str, str], list[Finding]] = {}
    for finding in findings:
        found.setdefault((finding.severity, finding.rule, _kin(finding)), []).append(finding)
    order = sorted(found, key=lambda key: SEVERITIES.index(key[0]))
    groups = (_group(board, unit, *key, tuple(found[key])) for key in order)
    if mends is None:
        return tuple(groups)
    return tuple(replace(g, title=f"{g.title}{_what_to_do(g)}") if all(map(mends, g.findings)) else g for g in groups)


def _what_to_do(group: Group) -> str:
    """“, move all”; empty where a line is no place to say it."""
    every = "all" if len(group.subjects) > 1 else "it"
    cause = str(group.findings[0].detail.get("cause", ""))
    if group.rule in _MOVED:
        return f", move {every}"
    if group.rule in ("thread-reach", "snap-grip") and cause in ("reach", "thick", "width"):
        return f", counterbore {every}{' wider' if cause == 'width' else ''}"
    return f", recess {every}" if group.rule == "lever-height" and cause == "low" else ""


_MOVED = ("outside-board", "edge-distance", "edge-slot", "flange-overhang", "under-overhang")


def _group(
    board: ResolvedBoard, unit: Unit, severity: Severity, rule: str, kin: str, findings: tuple[Finding, ...]
) -> Group:
    subjects = tuple(dict.fromkeys(s for finding in findings for s in finding.subjects))
    title = _title(findings, subjects, board, unit)
    name = f"{severity}:{rule}:{kin.replace(' ', '-')}"
    return Group(name, severity, rule, title, findings, subjects, severity == "note")


def _kin(finding: Finding) -> str:
    """The cause, and for what is near an edge the edge: what one builder's reason would explain."""
    return cause_of(finding) or str(finding.detail.get("edge", "")) or ("own" if "own" in finding.detail else "")


def _title(findings: tuple[Finding, ...], subjects: tuple[str, ...], board: ResolvedBoard, unit: Unit) -> str:
    what = _PHRASES.get(findings[0].rule, _plain)(findings, unit)
    return f"{_who(board, subjects)}: {what}" if subjects else f"The board: {what}"


_KINDS = {
    "rotary": ("rotary control", "rotary controls"),
    "bracket": ("bracket", "brackets"),
}


def _who(board: ResolvedBoard, subjects: Sequence[str]) -> str:
    """“A”, “A and B”, “6 buttons”, “4 buttons and 2 sticks”, “7 parts”."""
    if len(subjects) <= 2:
        return names(board, subjects)
    placed = [board.placed(s) for s in subjects]
    kinds = Counter(p.part.kind for p in placed if p is not None)
    if not 1 <= len(kinds) <= 2:
        return f"{len(subjects)} parts"
    return " and ".join(_counted(count, kind) for kind, count in kinds.most_common())


def _counted(count: int, kind: str) -> str:
    one, many = _KINDS.get(kind, (kind, f"{kind}s"))
    return f"{count} {one if count == 1 else many}"


def _lacking(findings: Sequence[Finding], unit: Unit) -> str:
    """“3.05 mm”, or “up to 3.05 mm” where they differ."""
    missing = [f.lack for f in findings]
    most = off(max(missing), unit)
    return most if off(min(missing), unit) == most else f"up to {most}"


def _plain(findings: Sequence[Finding], unit: Unit) -> str:
    rule = findings[0].rule.replace("-", " ")
    return f"{rule}, {_lacking(findings, unit)} short" if any(f.lack for f in findings) else rule


def _near_edge(what: str) -> Callable[[Sequence[Finding], Unit], str]:
    def phrase(findings: Sequence[Finding], unit: Unit) -> str:
        place = edge_name(findings[0].detail["edge"]) if "edge" in findings[0].detail else "the edge"
        return f"{_lacking(findings, unit)} too near {what.format(place)}"

    return phrase


def _outside(findings: Sequence[Finding], unit: Unit) -> str:
    return f"{_lacking(findings, unit)} over the edge of the board"


def _said(before: str, after: str) -> Callable[[Sequence[Finding], Unit], str]:
    return lambda findings, unit: f"{before}{_lacking(findings, unit)}{after}"


def _rail(findings: Sequence[Finding], unit: Unit) -> str:
    detail = findings[0].detail
    if "rail" in detail:
        return f"{_lacking(findings, unit)} too near the rail at the {detail['edge']} edge"
    label = f"“{detail['area']}”" if detail["area"] else "an area to keep clear"
    return f"{_lacking(findings, unit)} too near {label}"


def _hold(findings: Sequence[Finding], unit: Unit) -> str:
    first = findings[0]
    cause = first.detail["cause"]
    return {
        "reach": "thread {} short",
        "thick": "board {} too thick for the clips",
        "thin": "board {} too thin for the clips",
        "width": "counterbore {} too narrow",
        "ledge": "ledge {} too thin",
    }[str(cause)].format(_lacking(findings, unit))


def _bit(findings: Sequence[Finding], unit: Unit) -> str:
    sizes = sorted({float(f.detail["nominal"]) for f in findings})
    said = " and ".join(say(size, unit) for size in sizes) if len(sizes) <= 2 else f"{len(sizes)} sizes"
    if findings[0].severity == "note":
        return f"made with the nearest bit to {said}"
    if findings[0].detail["cause"] == "painted":
        return f"opening {_lacking(findings, unit)} too narrow when painted"
    if findings[0].detail["cause"] == "recess":
        return "no router bit in the shop for the recess"
    what = "flat-bottomed bit" if findings[0].detail["cause"] == "counterbore" else "bit"
    return f"no {what} of {said} in the shop"


def _lever(findings: Sequence[Finding], unit: Unit) -> str:
    return f"lever {_lacking(findings, unit)} too {findings[0].detail['cause']}"


def _recess(findings: Sequence[Finding], unit: Unit) -> str:
    what = {"ledge": "ledge above the recess {} too thin", "corner": "recess corners {} too tight"}
    return what.get(str(findings[0].detail["cause"]), "recess {} too small").format(_lacking(findings, unit))


def _screws(findings: Sequence[Finding], unit: Unit) -> str:
    if findings[0].detail["cause"] == "hold":
        return f"screws {_lacking(findings, unit)} short of hold"
    return f"screws {_lacking(findings, unit)} too long"


def _reach(findings: Sequence[Finding], unit: Unit) -> str:
    if findings[0].severity == "note":
        return "drilled from both sides on the pilot"
    return f"bit reaches {_lacking(findings, unit)} too little"


def _flanges(findings: Sequence[Finding], unit: Unit) -> str:
    kinds = {str(f.detail[k]) for f in findings for k in ("what", "other") if k in f.detail}
    return f"{'flanges' if kinds <= {'flange'} else 'rims'} {_lacking(findings, unit)} too close"


def _opening(findings: Sequence[Finding], unit: Unit) -> str:
    edge = str(findings[0].detail["edge"])
    near = {"opening": "another opening", "area": "an area to keep clear"}
    place = f"the {edge}" if edge in ("rail", "slot") else near.get(edge) or edge_name(edge)
    return f"opening {_lacking(findings, unit)} too near {place}"


def _sweep(findings: Sequence[Finding], unit: Unit) -> str:
    return f"{_lacking(findings, unit)} too close for {'the lever' if _one(findings) else 'levers'} to lean"


def _one(findings: Sequence[Finding]) -> bool:
    return all(f.detail["what"] != f.detail["other"] for f in findings) and len(findings) == 1


def _measures(findings: Sequence[Finding], unit: Unit) -> str:
    lacking = _lacking(findings, unit)
    return {
        "flange": f"flange {lacking} too small for the hole",
        "body": f"body {lacking} too wide for the hole",
        "nut": f"nut {lacking} too narrow for the hole",
        "head": f"bolt head {lacking} too narrow for its hole",
        "screw": f"screw {lacking} outside what it holds",
    }.get(str(findings[0].detail["cause"]), "falls through the hole")


_PHRASES: dict[str, Callable[[Sequence[Finding], Unit], str]] = {
    "outside-board": _outside,
    "edge-distance": _near_edge("{}"),
    "edge-slot": _near_edge("the slot in {}"),
    "web": _said("board between holes ", " too thin"),
    "flange-overlap": _flanges,
    "flange-overhang": _near_edge("{}"),
    "under-clash": _said("", " too close below the board"),
    "rail-clash": _rail,
    "depth-below": _said("box ", " too shallow"),
    "thread-reach": _hold,
    "snap-grip": _hold,
    "bit-match": _bit,
    "lever-height": _lever,
    "recess": _recess,
    "screw-hold": _screws,
    "bit-depth": _reach,
    "ledge": _said("ledge ", " too thin to bear a slap"),
    "deck-strength": _said("deck ", " too thin to lean on"),
    "opening-distance": _opening,
    "under-overhang": _near_edge("{}, below the board"),
    "screw-distance": _said("board beside screws ", " too thin"),
    "lever-sweep": _sweep,
    "part-measures": _measures,
}
