"""The bit for each hole, counterbore and recess reaches as deep as it has to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.fit.bored import spot
from app.fit.depth import SLIGHT, TINY
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.model.making import drilled_depth
from app.model.resolved import Counterbore, Placed
from app.model.shop import Bit

_SOURCE = "How deep the bits of the shop reach."


def find(layout: Layout) -> list[Finding]:
    """A stop where a bit is too short, a note where it does it from both sides; shared by placements of one part."""
    found: list[Finding] = []
    for (_, bore, recess), owners in layout.seats.items():
        found += _holes(layout, layout.placed[owners[0]], owners)
        if bore:
            found += _cut(layout, "counterbore", _flat(layout, bore), bore.depth, bore.diameter, owners)
        if recess:
            router = layout.board.shop.router_for(recess.corner, recess.depth)
            found += _cut(layout, "recess", router, recess.depth, 2 * recess.corner, owners)
    return found


def _holes(layout: Layout, placed: Placed, owners: Sequence[int]) -> Iterator[Finding]:
    """Findings of each different hole of a part, by its bit."""
    told: set[tuple[float, float, str]] = set()
    paint = layout.board.paint
    for hole in placed.holes:
        bit, cutout = hole.bit, hole.cutout
        depth = drilled_depth(cutout, layout.board.thickness, placed.counterbore, placed.recess)
        if bit is None or bit.reach >= depth - SLIGHT or (bit.diameter, depth, bit.kind) in told:
            continue
        told.add((bit.diameter, depth, bit.kind))
        severity: Severity = "note" if bit.both_sides >= depth - SLIGHT else "stop"
        detail: dict[str, float | str] = {
            "cause": f"hole {bit.diameter:g}",
            "nominal": cutout.width + 2 * paint,
            "smallest": cutout.smallest + 2 * paint,
            "largest": cutout.largest + 2 * paint,
            "depth": depth,
        }
        yield _finding(layout, severity, bit, depth, owners, detail)


def _flat(layout: Layout, bore: Counterbore) -> Bit | None:
    flat = [b for b in layout.board.shop.bits if b.kind == "forstner" and abs(b.diameter - bore.diameter) <= TINY]
    return max(flat, key=lambda b: b.reach, default=None)


def _cut(
    layout: Layout, cause: str, bit: Bit | None, depth: float, width: float, owners: Sequence[int]
) -> Iterator[Finding]:
    """What is cut to a depth cannot be cut from the other side."""
    if bit is not None and bit.reach < depth - SLIGHT:
        detail: dict[str, float | str] = {"cause": cause, "nominal": width, "depth": depth}
        yield _finding(layout, "stop", bit, depth, owners, detail)


def _finding(
    layout: Layout, severity: Severity, bit: Bit, depth: float, owners: Sequence[int], detail: dict[str, float | str]
) -> Finding:
    subjects, where = spot(layout, owners)
    about: dict[str, float | str] = {"made_with": bit.diameter, "kind": bit.kind}
    return Finding(RULE.name, severity, subjects, where, bit.reach, depth, _SOURCE, detail={**detail, **about})


RULE = Rule(
    "bit-depth",
    "The bit for each hole, counterbore and recess reaches as deep as it has to.",
    ("stop", "note"),
    _SOURCE,
    find,
)
