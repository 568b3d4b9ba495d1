"""Screws end inside the board, and hold in what is left of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.manual_changes import COARSE, ScrewsOf
from app.fit.changes.proposed_cuts import recess_fixes, recess_tries
from app.fit.detail import RecessDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import subjects_and_place
from app.fit.judging.recess_check import step_of
from app.fit.judging.wood_screws import drive_of, is_screwed, is_wood
from app.fit.limits.cut_depths import SLIGHT, TINY, inward, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options, warning
from app.fit.words.finding import both, lacking
from app.fit.words.lengths import names, nothing, off, say
from app.model.part import ScrewFixing
from app.model.resolved import Recess, ResolvedBoard
from app.units import Unit
from app.values import replace


class DriveDetail(RecessDetail, frozen=True, kw_only=True):
    """Screws that go in too far, or not far enough.

    Args:
        wood: board from where they enter to the other face [mm].
        length: of the screws under the head [mm]; 0 where that is not what is judged.
    """

    wood: float
    length: float = 0.0


def find(layout: Layout) -> list[FindingOf[DriveDetail]]:
    """A stop where screws come through the other face or hold in nothing, a caution where they nearly do.

    Screws whose length is not known are bought as long as the board allows.
    """
    found: list[FindingOf[DriveDetail]] = []
    board, parts = layout.board, layout.parts[0]
    floor, diameters = layout.default("screw-pilot-floor"), layout.default("screw-hold")
    for (index, _, recess), owners in layout.seats.items():
        part, fixing = parts[index], parts[index].fixing
        if not isinstance(fixing, ScrewFixing) or not is_screwed(part):
            continue
        drive = drive_of(part, fixing, board.thickness, recess)
        if drive.left is not None and drive.left < floor.value - SLIGHT:
            severity: Severity = "stop" if drive.left < -SLIGHT else "caution"
            wanted = _shallower(layout, fixing, recess, floor.value - drive.left)
            detail = DriveDetail(
                cause="through", wood=drive.wood, length=fixing.screw_length or 0.0, wanted_recess=wanted
            )
            numbers = (drive.left, 0.0 if severity == "stop" else floor.value)
            found.append(
                FindingOf(RULE.name, severity, *subjects_and_place(layout, owners), *numbers, floor.source.text, detail)
            )
        layer = board.layers[-1 if fixing.side == "under" else 0]
        held, least = drive.held(floor.value), diameters.value * fixing.screw_diameter
        if is_wood(layer.material.family) and held < least - SLIGHT:
            severity = "stop" if held <= SLIGHT else "caution"
            wanted = _shallower(layout, fixing, recess, least - held)
            detail = DriveDetail(cause="hold", wood=drive.wood, wanted_recess=wanted)
            numbers = (held, least)
            found.append(
                FindingOf(
                    RULE.name, severity, *subjects_and_place(layout, owners), *numbers, diameters.source.text, detail
                )
            )
    return found


def _shallower(layout: Layout, fixing: ScrewFixing, recess: Recess | None, lacking: float) -> Recess | None:
    """The recess by so much shallower, down to a step of a depth stop; None where no recess is left, or is to blame.

    Where there is none, other screws are bought: the board has nothing to change but its thickness.
    """
    if recess is None or fixing.side != "under":
        return None
    step = step_of(layout)
    depth = math.floor((recess.depth - lacking) / step + TINY) * step
    return replace(recess, depth=depth) if depth > TINY else None


def _message(f: FindingOf[DriveDetail], board: ResolvedBoard, unit: Unit) -> str:
    detail, who, (measured, required) = f.detail, names(board, f.subjects), both(f, unit)
    if detail.cause == "hold":
        hold = "no board at all" if nothing(f.measured or 0.0) else f"{measured} of board"
        return f"The screws of {who} hold in {hold}; {required} is needed."
    start = f"The {say(detail.length, unit)} screws of {who}"
    if f.severity == "stop":
        there = f"the board is {say(detail.wood, unit)} there"
        there = there if detail.wood > 0 else "no board is left there"
        return f"{start} come through the other face by {off(f.measured or 0.0, unit)}: {there}."
    if nothing(f.measured or 0.0):
        return f"{start} end at the other face; {required} of board is needed beyond them."
    return f"{start} end {measured} short of the other face; {required} is needed."


def _phrase(findings: Sequence[FindingOf[DriveDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    lacks = lacking(findings, unit)
    return f"screws hold {lacks} too little" if findings[0].detail.cause == "hold" else f"screws {lacks} too long"


def _remedy(f: FindingOf[DriveDetail], advice: Advice, unit: Unit) -> str:
    who = names(advice.board, f.subjects)
    other = ("use bolts right through",) if f.detail.cause == "hold" else ()
    if advice.ways:
        return options(f, advice, unit, *other)
    if not advice.tried and f.detail.cause == "through":
        return f"Use shorter screws for {who}. {_BOUGHT}"
    return f"{warning(f, advice, unit)}Use thinner screws for {who}, or bolts right through. {_BOUGHT}"


_BOUGHT = "It needs different screws: nothing you drill or move will cure it."


def _tries(f: FindingOf[DriveDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    yield from _screws(f, board, catalogue)
    yield from recess_tries(f, board, catalogue)


def _screws(f: FindingOf[DriveDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """Screws as long as the board bears, or as it takes for them to hold; none where their length is not known."""
    placed = board.placed(f.subjects[0])
    fixing = placed.part.fixing if placed else None
    if not isinstance(fixing, ScrewFixing) or fixing.screw_length is None:
        return
    length = fixing.screw_length
    if f.detail.cause == "through":
        most = length - (catalogue.rule("screw-pilot-floor") - (f.measured or 0.0))
        yield lambda unit, step: [
            ScrewsOf(f.subjects, down) for s in (COARSE[unit], step) if (down := inward(most, s)) > 0
        ]
    else:
        yield lambda unit, step: [ScrewsOf(f.subjects, rounded_up(length + f.lack, s)) for s in (COARSE[unit], step)]


def _measures(_finding: FindingOf[DriveDetail]) -> tuple[str, ...]:
    return ("screw_length", "screw_diameter", "plate_thickness")


RULE = Rule(
    name="screw-hold",
    meaning="Screws end inside the board, short of its other face, and hold in what is left of it.",
    severities=("stop", "caution"),
    source="Common practice, no source: the wood beyond a screw and the length that holds are defaults of the "
    "catalogue.",
    detail=DriveDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    thickened=True,
    tries=_tries,
    fixes=recess_fixes,
    harm="screws no longer hold",
    measures=_measures,
)
