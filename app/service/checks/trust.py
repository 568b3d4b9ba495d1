"""How far to trust the measures of hardware that a finding rests on."""

from __future__ import annotations

from collections.abc import Iterator

from app.arrange.hardware.measures import ORDER, measure_words
from app.arrange.hardware.provenance import provenance_in
from app.fit.finding import Finding
from app.fit.judging.hardware_sizes import HOLE_SIZES
from app.fit.registry import rule_named
from app.geometry.shapes import Shape
from app.model.part import NutFixing, Part, ScrewFixing, SnapFixing
from app.model.resolved import ResolvedBoard
from app.model.source import Basis

_LEAST: tuple[Basis, ...] = ("typical", "data sheet", "measured")
_NOUNS = {  # what a builder calls them together
    "hole_smallest": "hole limits",
    "hole_largest": "hole limits",
    "flange": "flange size",
    "flange_width": "flange size",
    "flange_height": "flange size",
    "plate_width": "plate size",
    "plate_height": "plate size",
    "body": "body size",
    "body_width": "body size",
    "body_height": "body size",
    "screw_across": "screw positions",
    "screw_along": "screw positions",
    "grip_min": "clip sizes",
    "grip_max": "clip sizes",
}
_BASED: dict[Basis, str] = {
    "typical": "typical {}, not measured",
    "data sheet": "{} from a data sheet",
    "measured": "measured {}",
}


def rests_on(finding: Finding, board: ResolvedBoard) -> tuple[tuple[str, Basis], ...]:
    """The measures a finding rests on, in the order of the form, each with how far to trust it.

    Where several parts are concerned, a measure is trusted no more than in the part where it is trusted least.
    """
    found = _found(finding, board)
    return tuple((measure_words(name), found[name]) for name in ORDER if name in found)


def rest_words(finding: Finding, board: ResolvedBoard) -> str:
    """The same as a line: ``Based on typical clip sizes, not measured``; empty if it rests on no hardware."""
    found = _found(finding, board)
    said = []
    for basis in _LEAST:
        names = [_NOUNS.get(name, measure_words(name)) for name in ORDER if found.get(name) == basis]
        if names:
            words = _and([name[:1].lower() + name[1:] for name in dict.fromkeys(names)])
            said.append(_BASED[basis].format(words))
    return f"Based on {'; '.join(said)}" if said else ""


def _found(finding: Finding, board: ResolvedBoard) -> dict[str, Basis]:
    """How far to trust each measure a finding rests on."""
    found: dict[str, Basis] = {}
    for part in {p.part for p in map(board.placed, finding.subjects) if p is not None}:
        names = set(rule_named(finding.rule).measures(finding)) & set(_names(part))
        provenance = provenance_in(part.source, names)
        for name in names:
            found[name] = min(provenance.of(name), found.get(name, "measured"), key=_LEAST.index)
    return found


def _and(names: list[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _names(part: Part) -> Iterator[str]:
    """Names of the measures a part has, but for those no finding rests on."""
    yield from HOLE_SIZES
    if part.flange:
        yield from _sides("flange", part.flange.shape)
    yield from _sides("body", part.body.shape)
    yield "body_depth"
    fixing = part.fixing
    if isinstance(fixing, NutFixing):
        yield from ("thread_length", "nut_height", "nut_width", *(("washer",) if fixing.washer else ()))
    elif isinstance(fixing, SnapFixing):
        yield from ("grip_min", "grip_max")
    elif isinstance(fixing, ScrewFixing):
        yield from ("screw_diameter", "screw_across", "screw_along")
        if fixing.screw_length is not None:
            yield "screw_length"
        if fixing.plate:
            yield from (*_sides("plate", fixing.plate), "plate_thickness")
    if part.lever:
        yield "lever_length"


def _sides(name: str, shape: Shape) -> tuple[str, ...]:
    return (name,) if shape.is_circle else (f"{name}_width", f"{name}_height")
