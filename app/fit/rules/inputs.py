"""Every switch and turning control has a pin of an encoder board; pins that were chosen are there, and free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker, Single
from app.fit.detail import Detail
from app.fit.features.layout import Layout, natural
from app.fit.finding import FindingOf
from app.fit.judging.pins import SORTS, Wrong, pinned, pins_of, tabs_of
from app.fit.judging.wired_face import WiredFace, wired_face
from app.fit.rule import Rule
from app.fit.words.changes import options
from app.fit.words.lengths import names
from app.model.fix import Rewire, SwapPart
from app.model.part import Signal
from app.model.resolved import ResolvedBoard
from app.model.wiring import FixedPin
from app.units import Unit

_SOURCE = "Pins as the encoder boards have them, tabs as the parts have them: count yours."
_SWAPS = 6


class InputsDetail(Detail, frozen=True, kw_only=True):
    """What has no pin.

    Args:
        tabs, pins: how many of one sort there are, where tabs are left over.
        turning: whether they are those of turning controls.
        pin: the number of a pin that was chosen and cannot be had; 0 where tabs are left over.
        encoder: the placement it was chosen on.
    """

    tabs: int = 0
    pins: int = 0
    turning: bool = False
    pin: int = 0
    encoder: str = ""


def find(layout: Layout) -> list[FindingOf[InputsDetail]]:
    """A stop for tabs without a pin, one for switches and one for turning controls, and for each wrong pin."""
    plan, face = layout.board.wiring, wired_face(layout.board)
    if plan is None or not plan.encoders or len(face.encoders) < len(plan.encoders):
        return []  # nobody chose an encoder, or only a few parts are looked at
    result = pinned(face, plan.pins)
    return [*_left_over(face, {sort for _, _, sort in result.left}), *_wrong(face, result.wrong)]


def _left_over(face: WiredFace, sorts: set[str]) -> Iterator[FindingOf[InputsDetail]]:
    for sort in SORTS:
        if sort not in sorts:
            continue
        tabs = tabs_of(face.parts, sort)
        pins = sum(pins_of(p.part.encoder, sort) for p in face.encoders if p.part.encoder)
        subjects = tuple(sorted((p.id for p in face.encoders), key=natural))
        first = next(p for p in face.encoders if p.id == subjects[0])
        detail = InputsDetail(cause=sort, tabs=tabs, pins=pins, turning=sort == "turning")
        yield FindingOf(RULE.name, "stop", subjects, (first.x, first.y), None, None, _SOURCE, detail)


def _wrong(face: WiredFace, wrong: Sequence[tuple[FixedPin, Wrong]]) -> Iterator[FindingOf[InputsDetail]]:
    parts = {p.id: p for p in face.parts}
    for fixed, why in wrong:
        part = parts[fixed.placement]
        detail = InputsDetail(cause=f"{why}-{fixed.tab}", pin=fixed.pin, encoder=fixed.encoder)
        yield FindingOf(RULE.name, "stop", (part.id,), (part.x, part.y), None, None, _SOURCE, detail)


def _message(f: FindingOf[InputsDetail], board: ResolvedBoard, _unit: Unit) -> str:
    who = names(board, f.subjects)
    if f.detail.pin:
        why, _, tab = f.detail.cause.partition("-")
        if why == "encoder":
            return f"Tab {tab} of {who} was put on pin {f.detail.pin} of an encoder board that is not there any more."
        on = names(board, (f.detail.encoder,))
        if why == "pin":
            return f"Tab {tab} of {who} was put on pin {f.detail.pin} of {on}, which has no such pin."
        return f"Tab {tab} of {who} was put on pin {f.detail.pin} of {on}, where another wire is."
    what = "pins for turning controls" if f.detail.turning else "pins for switches"
    has = "has" if len(f.subjects) == 1 else "have"
    return f"Wires need {f.detail.tabs} {what}; {who} {has} {f.detail.pins or 'none'}."


def _phrase(findings: Sequence[FindingOf[InputsDetail]], _board: ResolvedBoard, _unit: Unit) -> str:
    if findings[0].detail.pin:
        return "on a pin that cannot be had"
    return f"too few pins for {'turning controls' if findings[0].detail.turning else 'switches'}"


def _remedy(f: FindingOf[InputsDetail], advice: Advice, unit: Unit) -> str:
    if f.detail.pin:
        return options(f, advice, unit, "choose another pin on the page Wiring")
    general = ["add another encoder board", "leave parts out of the wiring, on the page Wiring"]
    return options(f, advice, unit, *general)


def _fixes(f: FindingOf[InputsDetail], board: ResolvedBoard, catalogue: Catalogue, _unit: Unit) -> Iterator[Single]:
    if f.detail.pin:
        yield Rewire(f.subjects)
        return
    sort: Signal = "turning" if f.detail.turning else "switch"
    found = []
    for ident in f.subjects:
        placed = board.placed(ident)
        own = placed.part.encoder if placed is not None else None
        if placed is None or own is None:
            continue
        lack = f.detail.tabs - f.detail.pins + pins_of(own, sort)
        for other in catalogue.parts.values():
            new = other.encoder
            if (
                new is not None
                and pins_of(new, sort) >= lack
                and all(pins_of(new, s) >= pins_of(own, s) for s in SORTS)
            ):
                found.append((sum(pins_of(new, s) for s in SORTS), ident, other.id))
    yield from (SwapPart((ident,), part) for _, ident, part in sorted(found)[:_SWAPS])


def _tries(f: FindingOf[InputsDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    yield lambda unit, _step: _fixes(f, board, catalogue, unit)


RULE = Rule(
    name="inputs",
    meaning="Every switch and turning control has a pin of an encoder board, none of them twice.",
    severities=("stop",),
    source=_SOURCE,
    detail=InputsDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    whole=True,
    tries=_tries,
    fixes=_fixes,
    harm="inputs have no pin",
)
