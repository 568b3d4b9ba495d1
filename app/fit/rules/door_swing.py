"""A door swings clear of its opening, with all that is on it, and of what stands before it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.doors import Door, doors_of, opens_in, radius, things_on
from app.fit.judging.makings import making_of
from app.fit.limits.cut_depths import SLIGHT
from app.fit.rule import Rule
from app.fit.words.changes import options_besides
from app.fit.words.finding import both, lacking, over
from app.fit.words.lengths import names
from app.geometry.shapes import Point, rotate
from app.model.fix import Remake
from app.model.maker.door import door_sides, hinge_turn, opening_sides, pin_gap, upright
from app.model.maker.measure import Asked
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SOURCE = "Plain geometry: a corner swings round the middle of the pins, as far off as the door's thickness sets it."
_EDGE, _PART, _ROOM = "edge", "part", "room"
_EDGES = ("left", "right", "front", "back")
_WIDEST = 20.0  # mm; of a gap that can be asked for
_OTHER_EDGE = ("hinged", "hinge the door at another edge")


class SwingDetail(Detail, frozen=True, kw_only=True):
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
            toward = _to_hinges(door) if subjects else None
            found.append(_finding(door, severity, subjects, into, (free - far - off, 0.0), toward))
    return found


def _to_hinges(door: Door) -> Point:
    """The way from the free edge of a door to its hinges."""
    return rotate((-1.0, 0.0), door.making.angle + hinge_turn(door.making.asked))


def _finding(
    door: Door,
    severity: Severity,
    subjects: tuple[str, ...],
    into: str,
    numbers: tuple[float, float],
    toward: Point | None = None,
) -> FindingOf[SwingDetail]:
    detail = SwingDetail(cause=f"{door.making.id} {into}", into=into, toward=toward)
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


def _remedy(f: FindingOf[SwingDetail], advice: Advice, unit: Unit) -> str:
    if f.detail.into == _ROOM:
        before = ("", "move what stands before it"), ("", "make it lift out")
        return options_besides(f, advice, unit, *(() if advice.tried else (_OTHER_EDGE,)), *before)
    if f.detail.into == _PART:
        nearer = () if advice.tried else (("", "move it nearer to the hinges"),)
        return options_besides(f, advice, unit, *nearer, ("", "use one that is less deep"))
    wider = () if advice.ways else (("", "widen the gap"),)
    plane = ("", "plane the inner corner of its free edge to a slope")
    return options_besides(f, advice, unit, *wider, plane, ("", "use a thinner board"))


def _tries(f: FindingOf[SwingDetail], board: ResolvedBoard, _catalogue: Catalogue) -> Iterator[Maker]:
    """A gap that the free edge swings through, or hinges at the edge along which the door is shorter."""
    making = making_of(board, f)
    if making is None:
        return
    if f.detail.into != _EDGE:
        others = [edge for edge in _EDGES if edge != making.asked.text("hinged")]
        yield lambda _unit, _step: [Remake(making.id, (("hinged", edge),)) for edge in others]
    elif making.asked.text("sized") != "both":
        yield lambda _unit, step: [Remake(making.id, (("gap", _gap(making.asked, board, step)),))]


def _gap(asked: Asked, board: ResolvedBoard, step: float) -> float:
    """The narrowest gap on a step with which the free edge of a door swings clear, sawn at worst [mm].

    A wider gap frees the edge on the far side by more than it sets the pins off, so halving finds it.
    """
    off, paint = 2 * board.tooling.drilling.edge, max(board.paint, asked.number("paint"))
    side = 0 if upright(asked) else 1

    def clear(steps: int) -> bool:
        as_wide = asked.changed({"gap": steps * step})
        wide, door, pin = opening_sides(as_wide)[side], door_sides(as_wide)[side], pin_gap(as_wide)
        return wide - pin - 2 * paint - radius(pin + door, board.thickness) - off >= 0

    low, high = int(asked.number("gap") / step), int(_WIDEST / step)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if clear(middle) else (middle, high)
    return round(high * step, 9)


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
    tries=_tries,
    moved=True,
    harm="the door no longer swings",
)
