"""What a counterbore or recess leaves of the board bears a hard slap on the part; the floor is judged elsewhere.

A ledge thinner than its material's floor is a stop of the rule about the thread, the clips or the recess that cut it;
here the estimate of strength is judged, which matters above wide cuts and below small parts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker, Single
from app.fit.changes.manual_changes import LeaveOut
from app.fit.changes.proposed_cuts import bore_fixes, bore_tries, recess_fixes, recess_tries
from app.fit.detail import BoreDetail, Proposal
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import propose, subjects_and_place
from app.fit.judging.recess_check import step_of
from app.fit.limits.cut_depths import TINY, ledge_below
from app.fit.rule import Rule
from app.fit.strength.ledge import ledge_needed, stack_strength
from app.fit.words.changes import clause, holds_without, sentence, warning
from app.fit.words.finding import both, phrased
from app.fit.words.lengths import nothing, verb, whose
from app.fit.words.strength import ESTIMATE, factor_words, stress_words
from app.model.fix import CounterboreAt
from app.model.part import Part
from app.model.resolved import Counterbore, Recess, ResolvedBoard
from app.units import Unit
from app.values import replace


class LedgeDetail(BoreDetail, frozen=True, kw_only=True):
    """How much a ledge bears, by an estimate.

    Args:
        cut: what was cut from below, ``counterbore`` or ``recess``.
        wanted_recess: the recess as deep as leaves enough; None for a counterbore, or where none does.
        load: on the part [N].
        wanted: how many times that the ledge should bear.
        enough: whether any ledge of this board does.
        factor: how many times the load it bears.
        governed_by: ``bending`` or ``shear``.
        stress, strength: of its layer [MPa].
        in_plate_range: whether it bends as a plate.
    """

    cut: str
    wanted_recess: Recess | None
    load: float
    wanted: float
    enough: bool
    factor: float
    governed_by: str
    stress: float
    strength: float
    in_plate_range: bool

    @property
    def recess(self) -> Recess | None:
        """The recess as deep as leaves enough."""
        return self.wanted_recess


def find(layout: Layout) -> list[FindingOf[LedgeDetail]]:
    """A stop where the estimate says it breaks, a caution where it bears less than the factor of safety asks."""
    found: list[FindingOf[LedgeDetail]] = []
    parts = layout.parts[0]
    for (index, bore, recess), owners in layout.seats.items():
        holes = layout.placed[owners[0]].holes
        for cut in (bore, recess):
            if cut and holes:
                found += _judged(layout, parts[index], cut, holes[0].diameter / 2, owners)
    return found


def _radius(cut: Counterbore | Recess) -> float:
    """Radius of what is cut from below [mm]; a recess counts as the circle through its corners."""
    return cut.diameter / 2 if isinstance(cut, Counterbore) else math.hypot(cut.width, cut.height) / 2


def _judged(
    layout: Layout, part: Part, cut: Counterbore | Recess, hole: float, owners: Sequence[int]
) -> list[FindingOf[LedgeDetail]]:
    layers, load = layout.board.layers, layout.default("slap-load")
    ledge, radius = ledge_below(layers, cut.depth), _radius(cut)
    slender, safety = layout.default("plate-slender").value, layout.default("ledge-safety")
    if not ledge.carries:
        return []
    strength = stack_strength(layers, hole, radius, ledge.thickness, load.value, slender)
    if strength is None or strength.factor >= safety.value - TINY:
        return []
    severity: Severity = "stop" if strength.factor < 1 else "caution"
    wanted = 1.0 if severity == "stop" else safety.value
    needed = ledge_needed(layers, hole, radius, load.value, slender, wanted, ledge.thickness)
    safe = ledge_needed(layers, hole, radius, load.value, slender, safety.value, ledge.thickness)
    subjects, where = subjects_and_place(layout, owners)
    bore, shallower = _mend(layout, part, cut, safe)
    sheared = strength.governed_by == "shear"
    detail = LedgeDetail(
        cause="strength",
        cut="recess" if isinstance(cut, Recess) else "counterbore",
        made_depth=cut.depth,
        load=load.value,
        wanted=wanted,
        enough=needed is not None,
        layer=strength.layer.material.name,
        factor=strength.factor,
        governed_by=strength.governed_by,
        stress=strength.shear if sheared else strength.stress,
        strength=strength.shear_strength if sheared else strength.bending,
        in_plate_range=strength.in_plate_range,
        wanted_bore=bore,
        wanted_recess=shallower,
    )
    required = layout.board.thickness if needed is None else needed
    return [FindingOf(RULE.name, severity, subjects, where, ledge.thickness, required, safety.source.text, detail)]


def _mend(
    layout: Layout, part: Part, cut: Counterbore | Recess, needed: float | None
) -> tuple[Proposal | None, Recess | None]:
    """A counterbore that the part holds with, or the recess as shallow as leaves a ledge ``needed`` mm thick."""
    if isinstance(cut, Counterbore):
        return propose(layout, part), None
    step = step_of(layout)
    depth = math.floor((layout.board.thickness - needed) / step) * step if needed else 0.0
    return None, replace(cut, depth=depth) if depth > 0 else None


def _message(f: FindingOf[LedgeDetail], board: ResolvedBoard, unit: Unit) -> str:
    detail, (left, needed) = f.detail, both(f, unit)
    cuts = whose(detail.cut, board, f.subjects).replace("The ", "the ", 1)
    just, enough = ("just ", "bear it") if detail.wanted == 1 else ("", f"bear {factor_words(detail.wanted)} as much")
    asked = f"{needed} would {just}{enough}"
    if nothing(f.lack):  # at the least width in thicknesses that bends as a plate, a shade more is none
        asked = f"a shade more would {just}{enough}"
    elif not detail.enough:
        asked = f"even the whole board, {needed}, would not {enough}"
    plate = "" if detail.in_plate_range else " It is too short to bend as a plate: only shear is checked."
    return (
        f"The {left} of board above {cuts} bears "
        f"{factor_words(detail.factor)} a slap of {detail.load:g} N in {detail.governed_by} "
        f"({detail.layer}: {stress_words(detail.stress, detail.strength)}); {asked}.{plate} {ESTIMATE}"
    )


def _remedy(f: FindingOf[LedgeDetail], advice: Advice, unit: Unit) -> str:
    if advice.ways:
        change = advice.ways[0].said(unit)
        holds = f": the part{'' if len(f.subjects) == 1 else 's'} {verb(f.subjects, 'hold')} with that"
        after = {CounterboreAt: holds, LeaveOut: holds_without(f)}.get(type(change), "")
        return f"{sentence([clause(change, f, advice, unit)])[:-1]}{after}."
    general = "Cut narrower or shallower, with a part that holds so, or use a thicker board."
    return f"{warning(f, advice, unit)}{general}"


def _tries(f: FindingOf[LedgeDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    bore = f.detail.bore
    if bore is not None and (bore.depth or 0.0) < f.detail.made_depth:
        yield from bore_tries(f, board, catalogue)
    yield from recess_tries(f, board, catalogue)


def _fixes(f: FindingOf[LedgeDetail], board: ResolvedBoard, catalogue: Catalogue, unit: Unit) -> Iterator[Single]:
    yield from recess_fixes(f, board, catalogue, unit)
    yield from bore_fixes(f)


def _factor(finding: FindingOf[LedgeDetail]) -> float:
    return finding.detail.factor


RULE = Rule(
    name="ledge",
    meaning="What a counterbore or recess leaves of the board bears a hard slap; an estimate for choosing a depth.",
    severities=("stop", "caution"),
    source="Plates of Roark, 7th ed., table 11.2, and ring shear; load and factor are defaults of the catalogue.",
    detail=LedgeDetail,
    find=find,
    message=_message,
    phrase=phrased("ledge ", " too thin to bear a slap"),
    remedy=_remedy,
    tries=_tries,
    fixes=_fixes,
    harm="too little board is left",
    factor=_factor,
)
