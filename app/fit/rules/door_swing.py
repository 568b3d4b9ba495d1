"""A door swings clear of its opening, with all that is on it, and of what stands before it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.fit.changes.advice import Advice
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.doors import Door, doors_of, opens_in, radius, things_on
from app.fit.limits.cut_depths import SLIGHT
from app.fit.rule import Rule
from app.fit.words.changes import sentence
from app.fit.words.finding import both, lacking, over
from app.fit.words.lengths import names
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SOURCE = "Plain geometry: a corner swings round the middle of the pins, as far off as the door's thickness sets it."
_EDGE, _PART, _ROOM = "edge", "part", "room"


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingDetail(Detail):
    """What a door swings into.

    Args:
        into: ``edge`` where its own free edge meets the opening, ``part`` where what is on it does, ``room`` where
            something stands before it.
    """

    into: str


def find(layout: Layout) -> list[FindingOf[SwingDetail]]:
    """Findings about each door with hinges, and about what on it swings into the opening."""
    found: list[FindingOf[SwingDetail]] = []
    for door in (each for each in doors_of(layout) if each.swings):
        found += _past_the_opening(layout, door)
        asked = door.making.asked
        needed, room = radius(door.pin + door.span, layout.board.thickness), asked.number("room")
        if room < needed - SLIGHT:
            found.append(_finding(door, "caution", (), _ROOM, (room, needed)))
    return found


def _past_the_opening(layout: Layout, door: Door) -> list[FindingOf[SwingDetail]]:
    """The door's free edge, and each thing on the face that it swings from."""
    free, thick = door.opening_span - door.pin - 2 * door.paint, layout.board.thickness
    corners: list[tuple[tuple[str, ...], float]] = [((), radius(door.pin + door.span, thick))]
    for placed in (layout.placed[k] for k in things_on(layout, door)):
        flange = placed.part.flange
        high = flange.height if flange else 0.0
        deep = high if opens_in(door.making) else placed.depth_below(thick, layout.board.paint)
        if deep > 0:
            corners.append(((placed.id,), radius(door.farthest(placed), thick + deep)))
    found, off = [], 2 * layout.allowance.edge
    for subjects, far in corners:
        if free - far - off < -SLIGHT:
            severity: Severity = "stop" if free - far < -SLIGHT else "caution"
            into = _PART if subjects else _EDGE
            found.append(_finding(door, severity, subjects, into, (free - far - off, 0.0)))
    return found


def _finding(
    door: Door, severity: Severity, subjects: tuple[str, ...], into: str, numbers: tuple[float, float]
) -> FindingOf[SwingDetail]:
    detail = SwingDetail(cause=f"{door.making.id} {into}", into=into)
    return FindingOf(RULE.name, severity, subjects, (door.making.x, door.making.y), *numbers, _SOURCE, detail)


def _message(f: FindingOf[SwingDetail], board: ResolvedBoard, unit: Unit) -> str:
    if f.detail.into == _PART:
        return f"{names(board, f.subjects)} swings {over(f, unit)} into the edge of the door’s opening at worst."
    if f.detail.into == _EDGE:
        return f"The free edge of the door swings {over(f, unit)} into that of its opening at worst."
    room, needed = both(f, unit)
    return f"The door needs {needed} to swing open, and has {room}."


def _phrase(findings: Sequence[FindingOf[SwingDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    if findings[0].detail.into == _ROOM:
        return f"{lacking(findings, unit)} too little room for the door to swing"
    if findings[0].detail.into == _EDGE:
        return f"free edge of the door {lacking(findings, unit)} into its opening’s"
    return f"swinging {lacking(findings, unit)} into the opening’s edge"


def _remedy(f: FindingOf[SwingDetail], _advice: Advice, _unit: Unit) -> str:
    if f.detail.into == _ROOM:
        return sentence(["hinge the door at another edge", "move what stands before it", "make it lift out"])
    if f.detail.into == _PART:
        return sentence(["move it nearer to the hinges", "use one that is less deep", "hinge the door at another edge"])
    return sentence(["widen the gap", "plane the inner corner of its free edge to a slope", "use a thinner board"])


RULE = Rule(
    name="door-swing",
    meaning="A door swings clear of its opening and of what stands before it, with all that is on it.",
    severities=("stop", "caution"),
    source=_SOURCE,
    detail=SwingDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    harm="the door no longer swings",
)
