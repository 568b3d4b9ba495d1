"""Letters of legends are high enough to be read from as far as eyes are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.changes.manual_changes import Change
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.legends import LegendDetail, owner_of, readable, said
from app.fit.limits.cut_depths import SLIGHT
from app.fit.rule import Rule
from app.fit.words.changes import options, sentence
from app.fit.words.finding import both
from app.fit.words.lengths import name, say
from app.model.fix import LegendTo
from app.model.resolved import ResolvedBoard
from app.units import Unit


class SizeDetail(LegendDetail, frozen=True, kw_only=True):
    """A legend too small for its distance.

    Args:
        distance: from which it is read [mm].
        share: of the distance that its height should be.
    """

    distance: float
    share: float


def find(layout: Layout) -> list[FindingOf[SizeDetail]]:
    """A caution for each legend that cannot be read from its distance, a note for one that is not read with ease."""
    if not layout.legends:
        return []
    distance = layout.board.lettering.distance
    limits: tuple[tuple[Severity, str], ...] = (("caution", "legend-height-least"), ("note", "legend-height-wanted"))
    found = []
    for laid in layout.legends:
        for severity, default in limits:
            limit, height = layout.default(default), laid.ink.height
            if height < limit.value * distance - SLIGHT:
                detail = SizeDetail(
                    cause="size",
                    said=said(laid.legend),
                    place=laid.legend.place,
                    height=height,
                    distance=distance,
                    share=limit.value,
                )
                subjects, needed = (owner_of(layout, laid),), limit.value * distance
                found.append(
                    FindingOf(RULE.name, severity, subjects, laid.middle, height, needed, limit.source.text, detail)
                )
                break
    return found


def _message(f: FindingOf[SizeDetail], board: ResolvedBoard, unit: Unit) -> str:
    height, needed = both(f, unit)
    start = f"The legend {f.detail.said} of {name(board, f.subjects[0])} is {height} high"
    far = say(f.detail.distance, unit)
    if f.severity == "note":
        return f"{start}; from {far}, {needed} is read with ease."
    return f"{start}; to be read from {far} it has to be {needed}."


def _phrase(findings: Sequence[FindingOf[SizeDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    return f"legend too small to be read from {say(findings[0].detail.distance, unit)}"


def _tries(f: FindingOf[SizeDetail], _board: ResolvedBoard, _catalogue: Catalogue) -> tuple[Maker, ...]:
    def higher(unit: Unit, _step: float) -> Iterable[Change]:
        return [LegendTo(f.subjects, height=readable(f.detail.distance, f.detail.share, unit))]

    return (higher,)


def _fixes(f: FindingOf[SizeDetail], board: ResolvedBoard, catalogue: Catalogue, unit: Unit) -> Iterator[LegendTo]:
    for maker in _tries(f, board, catalogue):
        yield from (change for change in maker(unit, 0.0) if isinstance(change, LegendTo))


def _remedy(f: FindingOf[SizeDetail], advice: Advice, unit: Unit) -> str:
    general = ("make its letters higher", "shorten the reading distance, if eyes come nearer")
    return options(f, advice, unit, *general[1:]) if advice.ways else sentence(general)


RULE = Rule(
    name="legend-size",
    meaning="Letters of legends are high enough for the distance they are read from.",
    severities=("caution", "note"),
    source="NUREG-0700, 11.4.1.5-1: 15 minutes of arc at least, 20 with ease.",
    detail=SizeDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    fixes=_fixes,
    harm="a legend is too small to be read",
)
