"""A loudspeaker's grille is open enough for the cone behind it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.makings import MadeHoles, made_holes, making_of
from app.fit.limits.cut_depths import inward
from app.fit.rule import Rule
from app.fit.words.changes import options_besides
from app.fit.words.lengths import move_steps, names, steps
from app.model.fix import Remake
from app.model.maker.grille import GRILLE
from app.model.maker.patterning import OPENING
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SAME = 1e-9
_CLOSER = (1.0, 0.97, 0.94)
"""Pitches that are tried, as shares of the one a wide field would need: a small field has whole holes only."""


class OpenDetail(Detail, frozen=True, kw_only=True):
    """A grille that lets too little through.

    Args:
        share: open area over that of the cone.
        wanted: the same that is wanted.
    """

    share: float
    wanted: float


def find(layout: Layout) -> list[FindingOf[OpenDetail]]:
    """A caution for each grille whose holes in front of the cone are too few or too small; none without a driver."""
    found = []
    for made in made_holes(layout, GRILLE):
        if made.behind is None or not len(made.areas):
            continue
        wanted, share = layout.default("grille-open"), _share(made)
        if share < wanted.value / 100 - _SAME:
            detail = OpenDetail(share=share, wanted=wanted.value / 100)
            source = wanted.source.text
            found.append(FindingOf(RULE.name, "caution", made.subjects, made.where, None, None, source, detail))
    return found


def _share(made: MadeHoles) -> float:
    """Open area in front of the cone over its own."""
    cone = made.making.asked.number("cone")
    off = np.hypot(made.centres[:, 0] - made.where[0], made.centres[:, 1] - made.where[1])
    return float(made.areas[off <= cone / 2].sum()) / (math.pi / 4 * cone**2)


def _message(f: FindingOf[OpenDetail], board: ResolvedBoard, _unit: Unit) -> str:
    there, wanted = f"{f.detail.share:.0%}", f"{f.detail.wanted:.0%}"
    holes, driver = names(board, f.subjects[:-1]), names(board, f.subjects[-1:])
    return f"The holes of {holes} open {there} of the cone of {driver} behind them; {wanted} is wanted."


def _phrase(findings: Sequence[FindingOf[OpenDetail]], _board: ResolvedBoard, _unit: Unit) -> str:
    return f"open to only {min(f.detail.share for f in findings):.0%} of the cone"


def _remedy(f: FindingOf[OpenDetail], advice: Advice, unit: Unit) -> str:
    return options_besides(
        f,
        advice,
        unit,
        ("pitch", "narrow the pitch of the holes"),
        ("", "make the holes larger"),
        ("holes", "choose one opening with a ring"),
    )


def _tries(f: FindingOf[OpenDetail], board: ResolvedBoard, _catalogue: Catalogue) -> Iterator[Maker]:
    """All of the cone's circle, a narrower pitch, else one opening; other holes need other bits."""
    making = making_of(board, f)
    if making is None:
        return
    asked, narrower = making.asked, math.sqrt(f.detail.share / f.detail.wanted)
    if 0 < asked.number("field") < asked.number("cone"):
        yield lambda _unit, _step: [Remake(making.id, (("field", 0.0),))]
    pitch = _pitch(board, f.subjects)
    yield (
        lambda unit, step: (
            [
                Remake(
                    making.id, (("pitch", inward(share * narrower * pitch, move_steps(unit)[0])), ("open-area", 0.0))
                )
                for share in _CLOSER
            ]
            if step == steps(unit)[0]
            else []
        )
    )
    yield lambda _unit, _step: [Remake(making.id, (("holes", OPENING),))]


def _pitch(board: ResolvedBoard, subjects: Sequence[str]) -> float:
    """Of the holes as they are [mm]; it may follow from an open area that is asked for."""
    placed = (board.placed(one) for one in subjects)
    return next((p.part.pattern.lattice.pitch for p in placed if p is not None and p.part.pattern is not None), 0.0)


def _factor(finding: FindingOf[OpenDetail]) -> float:
    return finding.detail.share / finding.detail.wanted


RULE = Rule(
    name="cone-area",
    meaning="The holes of a loudspeaker's grille are open enough for its cone.",
    severities=("caution",),
    source="Perforated sheet is called open from 20 % on (a maker of perforated tubes); a default of the catalogue.",
    detail=OpenDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    harm="too little is open in front of the loudspeaker",
    factor=_factor,
    times="what is wanted",
)
