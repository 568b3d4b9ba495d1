"""Screws of a display go into its thread far enough to hold, and not so far that they meet its bottom."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.manual_changes import COARSE
from app.fit.detail import Detail
from app.fit.features.layout import Layout, subjects_of
from app.fit.finding import FindingOf, Severity
from app.fit.judging.makings import made_by, making_of
from app.fit.limits.cut_depths import SLIGHT, inward, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options_besides
from app.fit.words.finding import both, lacking
from app.fit.words.lengths import names, off, say
from app.model.fix import Remake
from app.model.maker.display import DISPLAY
from app.model.maker.making import Making
from app.model.part import ScrewFixing
from app.model.resolved import ResolvedBoard
from app.units import Unit

_LONG, _SHORT = "long", "short"


class MountDetail(Detail, frozen=True, kw_only=True):
    """Screws that are too long or too short for a display's thread.

    Args:
        length: of the screws under the head [mm].
        thread: how deep the thread is [mm].
        least, most: lengths that will do [mm].
    """

    length: float
    thread: float
    least: float
    most: float


def find(layout: Layout) -> list[FindingOf[MountDetail]]:
    """One finding at most for each length wrong: a stop where screws bottom or do not reach, else a caution."""
    found = []
    for making in made_by(layout, DISPLAY):
        for k, placed in enumerate(layout.placed):
            fixing = placed.part.fixing
            if placed.maker == making.id and isinstance(fixing, ScrewFixing) and fixing.screw_length is not None:
                subjects = subjects_of(layout, [k])
                found += _of(layout, making, fixing, fixing.screw_length, subjects, (placed.x, placed.y))
    return found


def _of(
    layout: Layout,
    making: Making,
    fixing: ScrewFixing,
    length: float,
    subjects: tuple[str, ...],
    where: tuple[float, float],
) -> list[FindingOf[MountDetail]]:
    least, end = layout.default("mount-thread-least"), layout.default("mount-thread-end")
    thread, under = making.asked.number("thread-depth"), layout.board.thickness + making.asked.number("washer")
    into, hold = length - under, least.value * fixing.screw_diameter
    lengths = (under + hold, under + thread - end.value)
    found = []
    if thread - into < end.value - SLIGHT:
        severity: Severity = "stop" if thread - into < -SLIGHT else "caution"
        detail = MountDetail(cause=_LONG, length=length, thread=thread, least=lengths[0], most=lengths[1])
        numbers = (thread - into, 0.0 if severity == "stop" else end.value)
        found.append(FindingOf(RULE.name, severity, subjects, where, *numbers, end.source.text, detail))
    if into < hold - SLIGHT:
        severity = "stop" if into <= SLIGHT else "caution"
        detail = MountDetail(cause=_SHORT, length=length, thread=thread, least=lengths[0], most=lengths[1])
        numbers = (max(into, 0.0), hold)
        found.append(FindingOf(RULE.name, severity, subjects, where, *numbers, least.source.text, detail))
    return found


def _message(f: FindingOf[MountDetail], board: ResolvedBoard, unit: Unit) -> str:
    start, thread = f"The {say(f.detail.length, unit)} screws of {names(board, f.subjects)}", say(f.detail.thread, unit)
    measured, required = both(f, unit)
    if f.detail.cause == _SHORT:
        if f.severity == "stop":
            return f"{start} do not reach the display’s thread; {required} in it is needed."
        return f"{start} go {measured} into the display’s thread; {required} is needed."
    if f.severity == "stop":
        past = off(f.measured or 0.0, unit)
        return f"{start} meet the bottom of the display’s thread, {thread} deep, {past} before they clamp."
    return f"{start} end {measured} short of the bottom of the display’s thread, {thread} deep; {required} is needed."


def _phrase(findings: Sequence[FindingOf[MountDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    lacks = lacking(findings, unit)
    return f"screws {lacks} too {'short' if findings[0].detail.cause == _SHORT else 'long'} for the display"


def _remedy(f: FindingOf[MountDetail], advice: Advice, unit: Unit) -> str:
    if f.detail.cause == _SHORT:
        other = ("screw-length", "use longer screws"), ("", "use a thinner board")
    else:
        other = ("screw-length", "use shorter screws"), ("", "put more washers under the heads")
    return options_besides(f, advice, unit, *other)


def _tries(f: FindingOf[MountDetail], board: ResolvedBoard, _catalogue: Catalogue) -> Iterator[Maker]:
    """Screws of a length that is sold, and else of one that will do."""
    detail, making = f.detail, making_of(board, f)
    if detail.most < detail.least:
        return
    if making is not None:
        yield lambda unit, step: [
            Remake(making.id, (("screw-length", length),))
            for each in (COARSE[unit], step)
            if (length := _length(detail, each)) > 0
        ]


def _length(detail: MountDetail, step: float) -> float:
    """The length nearest to that of the screws which will do, on a step [mm]."""
    return inward(detail.most, step) if detail.cause == _LONG else rounded_up(detail.least, step)


RULE = Rule(
    name="mount-screw",
    meaning="Screws of a display go into its thread far enough, and end short of its bottom.",
    severities=("stop", "caution"),
    source="Common practice, no source: screw = plate + washer + 5 to 9 mm for a thread 10 mm deep (the flat display "
    "mounting interface), computed from the defaults of the catalogue.",
    detail=MountDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    harm="the display’s screws no longer hold",
    measures=lambda _f: ("screw_length", "screw_diameter"),
)
