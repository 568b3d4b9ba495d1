"""What ails a group of findings, in a few words for one line, in display units."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from app.fit.finding import Finding
from app.fit.heaps import HEAP
from app.fit.words import edge_name, off, sizes
from app.model.resolved import ResolvedBoard
from app.units import Unit


def _lacking(findings: Sequence[Finding], unit: Unit) -> str:
    """“3.05 mm”, or “up to 3.05 mm” where they differ."""
    missing = [f.lack for f in findings]
    most = off(max(missing), unit)
    return most if off(min(missing), unit) == most else f"up to {most}"


def phrase(findings: Sequence[Finding], board: ResolvedBoard, unit: Unit) -> str:
    """What ails findings of one rule on a board, about one edge where they are about an edge."""
    near = _NEAR_EDGE.get(findings[0].rule)
    if near is not None:
        return near.format(_lacking(findings, unit), edge_name(board, *findings))
    if findings[0].rule == "opening-distance":
        return _opening(findings, board, unit)
    return _PHRASES.get(findings[0].rule, _plain)(findings, unit)


def _plain(findings: Sequence[Finding], unit: Unit) -> str:
    """The rule in words, for one that has none of its own."""
    rule = findings[0].rule.replace("-", " ")
    return f"{rule}, {_lacking(findings, unit)} short" if any(f.lack for f in findings) else rule


def _near_slot(findings: Sequence[Finding], unit: Unit) -> str:
    return f"{_lacking(findings, unit)} too near the slot in the {findings[0].detail['edge']} edge"


def _outside(findings: Sequence[Finding], unit: Unit) -> str:
    return f"{_lacking(findings, unit)} over the edge"


def _said(before: str, after: str) -> Callable[[Sequence[Finding], Unit], str]:
    return lambda findings, unit: f"{before}{_lacking(findings, unit)}{after}"


def _web(findings: Sequence[Finding], unit: Unit) -> str:
    if findings[0].detail.get("cause") == HEAP:
        return "one on another" if len(findings) == 1 else f"one on another, in {len(findings)} heaps"
    return f"board between holes {_lacking(findings, unit)} too thin"


def _rail(findings: Sequence[Finding], unit: Unit) -> str:
    detail = findings[0].detail
    if detail.get("cause") == "loose":
        return f"nothing straight for the rail at the {detail['edge']} edge"
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
    wide = sorted({float(f.detail["nominal"]) for f in findings})
    said = " and ".join(sizes(size, (), unit)(size) for size in wide) if len(wide) <= 2 else f"{len(wide)} sizes"
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
    return f"{'flanges' if kinds <= {'flange'} else 'edges'} {_lacking(findings, unit)} too close"


def _opening(findings: Sequence[Finding], board: ResolvedBoard, unit: Unit) -> str:
    edge = str(findings[0].detail["edge"])
    near = {"opening": "another opening", "area": "an area to keep clear"}
    place = f"the {edge}" if edge in ("rail", "slot") else near.get(edge) or edge_name(board, *findings)
    return f"opening {_lacking(findings, unit)} too near {place}"


def _deck(findings: Sequence[Finding], unit: Unit) -> str:
    if "needed" in findings[0].detail:
        return f"deck {_lacking(findings, unit)} too thin to lean on"
    return "deck too weak to lean on, however thick" if "layer" in findings[0].detail else "nothing left to lean on"


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
    "edge-slot": _near_slot,
    "web": _web,
    "flange-overlap": _flanges,
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
    "deck-strength": _deck,
    "screw-distance": _said("board beside screws ", " too thin"),
    "lever-sweep": _sweep,
    "part-measures": _measures,
}
"""By rule."""

_NEAR_EDGE = {
    "edge-distance": "{} too near {}",
    "flange-overhang": "{} too near {}",
    "under-overhang": "{} too near {}, below the board",
}
"""By rule, for what is near an edge."""
