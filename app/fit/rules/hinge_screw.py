"""Screws of a hinge's other leaf end inside the board round the opening, and hold in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.manual_changes import COARSE
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.doors import Door, doors_of
from app.fit.judging.makings import making_of
from app.fit.limits.cut_depths import SLIGHT, inward, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options
from app.fit.words.finding import both, lacking
from app.fit.words.lengths import names, off, say
from app.model.fix import Remake
from app.model.resolved import ResolvedBoard
from app.units import Unit

_THROUGH, _HOLD = "through", "hold"
_THIN = 0.5  # mm; what the diameters of wood screws are sold by


class HingeDetail(Detail, frozen=True, kw_only=True):
    """Screws that are too long or too short for the board round the opening.

    Args:
        frame: how thick that is [mm].
        length: of the screws under the head [mm].
        through: whether they are too long; else too short.
    """

    frame: float
    length: float
    through: bool


def find(layout: Layout) -> list[FindingOf[HingeDetail]]:
    """A stop where screws come through or hold in nothing, a caution where they nearly do."""
    return [finding for door in doors_of(layout) if door.hinges for finding in _of(layout, door)]


def _of(layout: Layout, door: Door) -> list[FindingOf[HingeDetail]]:
    asked = door.making.asked
    frame, length = asked.number("frame"), asked.number("screw-length")
    floor, hold = layout.default("screw-pilot-floor"), layout.default("screw-hold")
    into = length - asked.number("leaf-thickness")
    found = []
    if frame - into < floor.value - SLIGHT:
        stop = frame - into < -SLIGHT
        numbers = (frame - into, 0.0 if stop else floor.value)
        found.append(_finding(door, "stop" if stop else "caution", numbers, floor.source.text, _THROUGH))
    held, least = min(into, max(0.0, frame - floor.value)), hold.value * asked.number("screw")
    if held < least - SLIGHT:
        numbers = (max(held, 0.0), least)
        found.append(_finding(door, "stop" if held <= SLIGHT else "caution", numbers, hold.source.text, _HOLD))
    return found


def _finding(
    door: Door, severity: Severity, numbers: tuple[float, float], source: str, cause: str
) -> FindingOf[HingeDetail]:
    asked = door.making.asked
    detail = HingeDetail(
        cause=f"{door.making.id} {cause}",
        frame=asked.number("frame"),
        length=asked.number("screw-length"),
        through=cause == _THROUGH,
    )
    return FindingOf(RULE.name, severity, door.hinges, (door.making.x, door.making.y), *numbers, source, detail)


def _message(f: FindingOf[HingeDetail], board: ResolvedBoard, unit: Unit) -> str:
    who, frame = names(board, f.subjects), say(f.detail.frame, unit)
    measured, required = both(f, unit)
    if not f.detail.through:
        return f"The screws of {who} hold in {measured} of the board round the opening; {required} is needed."
    start = f"The {say(f.detail.length, unit)} screws of {who}"
    if f.severity == "stop":
        return f"{start} come {off(f.measured or 0.0, unit)} through the board round the opening, {frame} thick."
    return f"{start} leave {measured} of the board round the opening, {frame} thick; {required} is needed."


def _phrase(findings: Sequence[FindingOf[HingeDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    lacks = lacking(findings, unit)
    return (
        f"screws {lacks} too long beside the door" if findings[0].detail.through else f"screws hold {lacks} too little"
    )


def _remedy(f: FindingOf[HingeDetail], advice: Advice, unit: Unit) -> str:
    other = "use shorter screws" if f.detail.through else "use longer or thinner screws"
    besides = () if advice.ways else (other,)
    return options(f, advice, unit, *besides, "glue a batten behind the board round the opening")


def _tries(f: FindingOf[HingeDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """Screws of another length, as they are sold or else as long as they may be; where none will hold, thinner ones."""
    making = making_of(board, f)
    if making is None:
        return
    leaf, most = making.asked.number("leaf-thickness"), f.detail.frame - catalogue.rule("screw-pilot-floor")
    if f.detail.through:
        yield lambda unit, step: [
            Remake(making.id, (("screw-length", inward(most + leaf, each)),)) for each in (COARSE[unit], step)
        ]
        return
    hold = catalogue.rule("screw-hold")
    least = leaf + hold * making.asked.number("screw")
    yield lambda unit, step: [
        Remake(making.id, (("screw-length", rounded_up(least, each)),)) for each in (COARSE[unit], step)
    ]
    there = min(most, f.detail.length - leaf)
    yield lambda unit, step: [
        Remake(making.id, (("screw", inward(there / hold, each)),))
        for each in ((_THIN, step) if unit is Unit.MM else (step,))
    ]


RULE = Rule(
    name="hinge-screw",
    meaning="The screws of a hinge end inside the board round the opening, and hold in it.",
    severities=("stop", "caution"),
    source="Common practice, no source: the wood beyond a screw and the length that holds are defaults of the "
    "catalogue. Those in the door itself are judged as all screws are.",
    detail=HingeDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    harm="hinges no longer hold",
)
