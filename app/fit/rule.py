"""What a rule is: all that is known of it, declared once in its own module."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Generic, TypeVar

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker, Single
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.hardware_sizes import measures_of_things
from app.model.resolved import ResolvedBoard
from app.units import Unit

D = TypeVar("D", bound=Detail)


def _no_changes(_finding: FindingOf[Detail], _board: ResolvedBoard, _catalogue: Catalogue) -> tuple[Maker, ...]:
    return ()


def _no_fixes(
    _finding: FindingOf[Detail], _board: ResolvedBoard, _catalogue: Catalogue, _unit: Unit
) -> tuple[Single, ...]:
    return ()


def _no_hint(_finding: FindingOf[Detail], _subjects: Sequence[str]) -> str:
    return ""


def _as_found(finding: FindingOf[Detail]) -> tuple[float, float] | None:
    return None if finding.measured is None or finding.required is None else (finding.measured, finding.required)


def _of_things(finding: FindingOf[Detail]) -> tuple[str, ...]:
    return measures_of_things(finding.detail.things)


class Rule(Struct, Generic[D], frozen=True, kw_only=True):
    """A rule.

    Args:
        name: as findings carry it, such as ``web``; no other module spells it.
        meaning: what holds when it is kept, in one line.
        severities: what its findings can be.
        source: where its numbers come from, in one line.
        detail: the kind of value that its findings carry.
        find: the findings of a layout, in any order; pure.
        message: what is wrong, with what there is and what is needed, in a sentence.
        phrase: what ails several findings of one cause, in a few words behind their subjects.
        remedy: what to do about it; figures are those of changes that were tried, the rest promises nothing.
        moved: whether moving a part can clear it.
        swapped: whether another part for the same hole can.
        thickened: whether a thicker board can.
        whole: whether it judges the board as a whole, so that what happens far off counts.
        tries: changes to try as they will be said, besides moves and other parts, the best first.
        fixes: changes that a machine can make, besides moves, those first that change least.
        hint: what to do, behind the few words of a title; said only where a way was tried and works.
        verb: what the subjects do, where a title is a sentence; empty where it is “A: 3 mm too near”.
        harm: what a change that breaks it makes wrong, in a few words; empty where something is then too near.
        beside: what is then too near, where neither subjects nor an edge say it.
        factor: the factor of safety of a finding, or its share of what is wanted, where that is judged and no length;
            None for any other rule.
        times: what a factor is times of, in words.
        lengths: what there is and what is wanted, as they stand beside the sentence [mm]; None where they say nothing.
        measures: names of the measures of hardware that a finding rests on.
    """

    name: str
    meaning: str
    severities: tuple[Severity, ...]
    source: str
    detail: type[D]
    find: Callable[[Layout], Sequence[FindingOf[D]]]
    message: Callable[[FindingOf[D], ResolvedBoard, Unit], str]
    phrase: Callable[[Sequence[FindingOf[D]], ResolvedBoard, Unit], str]
    remedy: Callable[[FindingOf[D], Advice, Unit], str]
    moved: bool = False
    swapped: bool = False
    thickened: bool = False
    whole: bool = False
    tries: Callable[[FindingOf[D], ResolvedBoard, Catalogue], Iterable[Maker]] = _no_changes
    fixes: Callable[[FindingOf[D], ResolvedBoard, Catalogue, Unit], Iterable[Single]] = _no_fixes
    hint: Callable[[FindingOf[D], Sequence[str]], str] = _no_hint
    verb: str = ""
    harm: str = ""
    beside: str = "something else"
    factor: Callable[[FindingOf[D]], float] | None = None
    times: str = "the load"
    lengths: Callable[[FindingOf[D]], tuple[float, float] | None] = _as_found
    measures: Callable[[FindingOf[D]], tuple[str, ...]] = _of_things
