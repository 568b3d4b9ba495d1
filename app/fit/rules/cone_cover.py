"""Every hole of a loudspeaker's grille lies in front of the cone: behind the others is the driver's rim."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker
from app.fit.detail import ThingDetail
from app.fit.features.features import HOLE, WORDS
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.makings import MadeHoles, made_holes, making_of
from app.fit.limits.cut_depths import SLIGHT, inward
from app.fit.rule import Rule
from app.fit.words.changes import options_besides
from app.fit.words.finding import lacking, over
from app.fit.words.lengths import move_steps, names, steps
from app.fit.words.moves import moved
from app.geometry.shapes import Point
from app.model.fix import Remake
from app.model.maker.grille import GRILLE
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SOURCE = "Common practice, no source: a hole whose middle is beyond the cone opens onto the rim."


def find(layout: Layout) -> list[FindingOf[ThingDetail]]:
    """A caution for each grille with holes beyond the cone, drilled off their place; none without a driver."""
    found = []
    for made in made_holes(layout, GRILLE):
        if made.behind is None or not len(made.areas):
            continue
        away = made.centres - np.array(made.where)
        inside = made.making.asked.number("cone") / 2 - np.hypot(*away.T) - layout.allowance.position
        worst = int(inside.argmin())
        if inside[worst] < -SLIGHT:
            x, y = made.centres[worst].tolist()
            detail = ThingDetail(what=WORDS[HOLE], toward=_toward(made))
            measured = float(inside[worst])
            found.append(FindingOf(RULE.name, "caution", made.subjects, (x, y), measured, 0.0, _SOURCE, detail))
    return found


def _toward(made: MadeHoles) -> Point | None:
    """The way the holes move so that their middle is the cone's; None where it is already."""
    shift = np.array(made.where) - (made.centres.min(axis=0) + made.centres.max(axis=0)) / 2
    length = float(np.hypot(*shift))
    return (float(shift[0]) / length, float(shift[1]) / length) if length > SLIGHT else None


def _message(f: FindingOf[ThingDetail], board: ResolvedBoard, unit: Unit) -> str:
    holes, driver = names(board, f.subjects[:-1]), names(board, f.subjects[-1:])
    return f"A hole of {holes} can lie {over(f, unit)} beyond the cone of {driver}, and opens onto its rim."


def _phrase(findings: Sequence[FindingOf[ThingDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    return f"{lacking(findings, unit)} beyond the cone"


def _remedy(f: FindingOf[ThingDetail], advice: Advice, unit: Unit) -> str:
    narrower = ("field", "keep the holes within the circle of the cone")
    if f.detail.toward and not advice.ways:
        return moved(f, advice, unit, "in front of the cone", narrower[1])
    return options_besides(f, advice, unit, narrower)


def _tries(f: FindingOf[ThingDetail], board: ResolvedBoard, _catalogue: Catalogue) -> Iterator[Maker]:
    """A circle of holes so wide that the middles of the outermost lie before the cone, drilled off their place."""
    making = making_of(board, f)
    if making is None or not making.asked.number("field"):
        return
    asked = making.asked
    widest = asked.number("cone") - 2 * board.tooling.drilling.position + asked.number("hole")
    yield (
        lambda unit, step: (
            [Remake(making.id, (("field", inward(widest, move_steps(unit)[0])),))] if step == steps(unit)[0] else []
        )
    )


RULE = Rule(
    name="cone-cover",
    meaning="Every hole of a loudspeaker's grille lies in front of the cone.",
    severities=("caution",),
    source=_SOURCE,
    detail=ThingDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=_tries,
    moved=True,
    harm="holes lie beyond the cone",
)
