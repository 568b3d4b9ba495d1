"""Old cuts that stay open, as the rules see them: placements of bare holes and pockets, held by nothing."""

from __future__ import annotations

from typing import Final

from app.fit.finding import Finding
from app.fit.report.acceptance import cause_of
from app.fit.rules.flange_overlap import RULE as FLANGE_OVERLAP
from app.geometry.shapes import Shape
from app.model.cuts import Counterbore, Recess
from app.model.part import Body, Cutout, Part
from app.model.resolved import Hole, Placed
from app.model.source import Source
from app.model.tooling import Bit
from app.retrofit.cut import DrilledCut
from app.values import replace

OLD: Final = "~old/"
"""What the ids of such placements begin with, before that of the cut."""

_BY_FLANGES: Final = FLANGE_OVERLAP.name
_WIDEST_BIT: Final = 200.0  # mm, that there is


def left_open(cut: DrilledCut) -> Placed:
    """An old cut as a placement of its own. One that does not come through, and is no pocket, counts as if it did."""
    name, (x, y) = f"old hole {cut.name}", cut.shape.centre
    pocket = cut.depth is not None and cut.work in ("counterbore", "recess")
    centred = cut.shape.shifted(-x, -y)
    cutout = Cutout(centred, 0.01, 2 * cut.width + 1.0)
    part = Part(
        id=OLD + cut.ident,
        name=name,
        kind="bracket",
        mount="top",
        cutouts=() if pocket else (cutout,),
        flange=None,
        fixing=None,
        body=Body(centred, 0.0),
        lever=None,
        wiring=None,
        source=Source("As drilled.", "measured"),
    )
    bit = Bit("hole-saw", min(cut.width, _WIDEST_BIT), reach=1000.0)  # no rule asks for another: it is there
    holes = () if pocket else (Hole(cutout, cut.shape, bit if cut.shape.is_circle else None),)
    bore, recess = _pocket(centred, cut.depth or 0.0) if pocket else (None, None)
    return Placed(
        part.id, part, x, y, 0.0, name, "", drill=True, holes=holes, counterbore=bore, recess=recess, locked=True,
        begun=True,
    )  # fmt: skip


def with_pocket(placed: Placed, cut: DrilledCut) -> Placed:
    """A part that stands in the hole of an old counterbore, which is its own then."""
    return replace(placed, counterbore=Counterbore(cut.width, cut.depth or 0.0))


def _pocket(shape: Shape, depth: float) -> tuple[Counterbore | None, Recess | None]:
    if shape.is_circle:
        return Counterbore(2 * shape.radius, depth), None
    width, height = shape.size
    return None, Recess(width, height, max(shape.radius, 0.5), depth)


def key_of(finding: Finding) -> tuple[str, str, tuple[str, ...], str]:
    """What two findings share that are the same, though their figures may not be."""
    return finding.rule, finding.severity, tuple(sorted(finding.subjects)), cause_of(finding)


def is_hidden_by_it(finding: Finding, cut: DrilledCut, hidden: str) -> bool:
    """Whether a finding only says that something lies over an old cut, which is what shall hide it."""
    if finding.rule != _BY_FLANGES:
        return False
    return not cut.is_seen or hidden in finding.subjects
