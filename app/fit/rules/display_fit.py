"""A display goes between the sides of the cabinet, and the opening before it shows the picture and no more.

How large a display is and how far the sides are apart no machine changes; it can say how the display sits, and how
large the opening before it is cut. A bezel that shows is a matter of taste, and is left as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.manual_changes import COARSE
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.makings import made_by, making_of
from app.fit.limits.cut_depths import SLIGHT, inward, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options_besides
from app.fit.words.finding import both, lacking, meets
from app.fit.words.lengths import say
from app.model.fix import Remake
from app.model.maker.display import DISPLAY
from app.model.maker.making import Making
from app.model.resolved import ResolvedBoard
from app.units import Unit

_TIGHT, _SLACK, _LAP, _HIDES, _SHOWS = "tight", "slack", "lap", "hides", "shows"
_WAYS = (("width", "at the left and right"), ("height", "at the front and back"))
_NOTED = "The bezel then shows: a matter of taste."


class FitDetail(Detail, frozen=True, kw_only=True):
    """What is wrong between a display, the sides, and the opening before it.

    Args:
        wrong: ``tight`` or ``slack`` between the sides; of the opening, too little ``lap`` over the case, or it
            ``hides`` too much of the picture, or ``shows`` the bezel.
        side: where, in words.
    """

    wrong: str
    side: str = ""


def find(layout: Layout) -> list[FindingOf[FitDetail]]:
    """At most one finding for the sides and one for the opening each way, for each display, sawn at worst."""
    return [finding for making in made_by(layout, DISPLAY) for finding in _of(layout, making)]


def _of(layout: Layout, making: Making) -> Iterator[FindingOf[FitDetail]]:
    asked, off = making.asked, layout.allowance.edge
    free = asked.number("room") - asked.number("outer-width")
    if asked.text("fit") == "press":
        press = layout.default("display-press")
        if free - off < -SLIGHT:
            yield _finding(making, "caution", (free - off, 0.0), press.source.text, _TIGHT)
        elif free > press.value + SLIGHT:
            yield _finding(making, "caution", (press.value, free), press.source.text, _SLACK)
    else:
        room = layout.default("display-room")
        if (free - off) / 2 < room.value - SLIGHT:
            yield _finding(making, "caution", ((free - off) / 2, room.value), room.source.text, _TIGHT)
    for way, side in _WAYS:
        cut = asked.number(f"opening-{way}")
        if cut > 0:
            yield from _opening(layout, making, (cut, way, side), off)


def _opening(
    layout: Layout, making: Making, opening: tuple[float, str, str], off: float
) -> Iterator[FindingOf[FitDetail]]:
    """Both sawn edges of the opening may be off, and the display beside its place by as much."""
    (cut, way, side), asked = opening, making.asked
    case, picture = asked.number(f"outer-{way}"), asked.number(f"visible-{way}")
    lap, hidden = layout.default("display-lap"), layout.default("display-hidden")
    left = (case - cut) / 2 - off
    if left < lap.value - SLIGHT:
        severity: Severity = "stop" if cut >= case else "caution"
        numbers = (left, 0.0 if severity == "stop" else lap.value)
        yield _finding(making, severity, numbers, lap.source.text, _LAP, side)
    elif (picture - cut) / 2 > hidden.value + SLIGHT:
        yield _finding(making, "caution", (hidden.value, (picture - cut) / 2), hidden.source.text, _HIDES, side)
    elif (picture - cut) / 2 - off < -SLIGHT:
        yield _finding(making, "note", ((picture - cut) / 2 - off, 0.0), _NOTED, _SHOWS, side)


def _finding(
    making: Making, severity: Severity, numbers: tuple[float, float], source: str, wrong: str, side: str = ""
) -> FindingOf[FitDetail]:
    detail = FitDetail(cause=f"{making.id} {wrong} {side}".strip(), wrong=wrong, side=side)
    return FindingOf(RULE.name, severity, (), (making.x, making.y), *numbers, source, detail)


def _message(f: FindingOf[FitDetail], _board: ResolvedBoard, unit: Unit) -> str:
    measured, required = both(f, unit)
    wrong, side = f.detail.wrong, f.detail.side
    if wrong == _TIGHT:
        if (f.measured or 0.0) < 0 or meets(f):
            return "The display can be too wide to go between the sides, sawn at worst."
        return f"The display has {measured} beside it each side at worst; {required} is needed."
    if wrong == _SLACK:
        return f"The display has {required} of room between the sides; pressed in, it holds in up to {measured}."
    if wrong == _LAP:
        if f.severity == "stop":
            return f"The opening before the display is as large as its case or larger {side}: nothing hides the gap."
        over = "not at all" if (f.measured or 0.0) <= 0 else f"by {measured} only"
        return f"The board before the display laps {over} over its case {side} at worst; {required} is needed."
    if wrong == _HIDES:
        return f"The board before the display hides {required} of the picture {side}; up to {measured} is usual."
    return f"The opening before the display shows {say(-(f.measured or 0.0), unit)} of the bezel {side} at worst."


def _phrase(findings: Sequence[FindingOf[FitDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    lacks = lacking(findings, unit)
    return {
        _TIGHT: f"display {lacks} too wide",
        _SLACK: f"display {lacks} too loose to press in",
        _LAP: f"opening {lacks} too wide for the display",
        _HIDES: f"picture hidden by {lacks} too much",
        _SHOWS: f"bezel shows by {lacks}",
    }[findings[0].detail.wrong]


_SMALLER = ("opening", "make the opening before it smaller")
_BESIDES = {
    _TIGHT: (
        ("", "use a smaller display"),
        ("", "make the cabinet wider"),
        ("", "plane the sides where it goes through"),
    ),
    _SLACK: (("", "pack it out with strips of felt or wood"), ("fit", "screw it to the plate and leave it loose")),
    _LAP: (_SMALLER, ("", "put a mat between the board and the display")),
    _HIDES: (("opening", "make the opening before it larger"),),
    _SHOWS: (_SMALLER, ("", "paint the bezel out with a black mat")),
}


def _remedy(f: FindingOf[FitDetail], advice: Advice, unit: Unit) -> str:
    said = {"opening"} if advice.ways and f.detail.wrong in (_LAP, _HIDES) else set()
    general = (each for each in _BESIDES[f.detail.wrong] if each[0] not in said)
    return options_besides(f, advice, unit, *general)


def _tries(f: FindingOf[FitDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    """Another way to hold it, or another opening: the largest that laps enough, the smallest that hides little."""
    making = making_of(board, f)
    if making is None:
        return
    wrong, asked, off = f.detail.wrong, making.asked, board.tooling.drilling.edge
    if wrong in (_TIGHT, _SLACK):
        other = "loose" if asked.text("fit") == "press" else "press"
        yield lambda _unit, _step: [Remake(making.id, (("fit", other),))]
        return
    way = next(name for name, side in _WAYS if side == f.detail.side)
    if wrong == _LAP:
        most = asked.number(f"outer-{way}") - 2 * (catalogue.rule("display-lap") + off)
        yield lambda unit, step: [
            Remake(making.id, ((f"opening-{way}", inward(most, each)),)) for each in (COARSE[unit], step)
        ]
    elif wrong == _HIDES:
        least = asked.number(f"visible-{way}") - 2 * catalogue.rule("display-hidden")
        yield lambda unit, step: [
            Remake(making.id, ((f"opening-{way}", rounded_up(least, each)),)) for each in (COARSE[unit], step)
        ]


RULE = Rule(
    name="display-fit",
    meaning="A display goes between the sides, and the opening before it shows the picture and hides its case.",
    severities=("stop", "caution", "note"),
    source="Plain geometry; how much room, lap and hidden picture is usual is common practice, no source.",
    detail=FitDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    harm="the display no longer fits",
)
