"""What encoder boards, turning controls and lights draw together is within what feeds them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker, Single
from app.fit.detail import Detail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.feeding import fed
from app.fit.judging.pins import pinned
from app.fit.judging.wired_face import wired_face
from app.fit.rule import Rule
from app.fit.words.changes import options
from app.fit.words.lengths import names
from app.model.fix import Rewire
from app.model.resolved import ResolvedBoard
from app.units import Unit

_SOURCE = (
    "The supply’s own row in the catalogue: USB 2.0, section 7.2.1, five unit loads of 100 mA; USB 3, six of 150 mA."
)


class CurrentDetail(Detail, frozen=True, kw_only=True):
    """A supply that is asked for too much.

    Args:
        drawn: what is drawn from it [mA].
        gives: what it gives [mA].
        supply: its name.
    """

    drawn: float
    gives: float
    supply: str


def find(layout: Layout) -> list[FindingOf[CurrentDetail]]:
    """A stop for each encoder board that draws more, with what is wired to it, than feeds it."""
    plan, face = layout.board.wiring, wired_face(layout.board)
    if plan is None or not face.encoders or len(face.encoders) < len(plan.encoders):
        return []
    found = []
    for each in fed(face, pinned(face, plan.pins)):
        if each.drawn > plan.supply.current:
            at = (each.encoder.x, each.encoder.y)
            detail = CurrentDetail(drawn=each.drawn, gives=plan.supply.current, supply=plan.supply.name)
            found.append(
                FindingOf(RULE.name, "stop", (each.encoder.id,), at, None, None, plan.supply.source.text, detail)
            )
    return found


def _message(f: FindingOf[CurrentDetail], board: ResolvedBoard, _unit: Unit) -> str:
    who, detail = names(board, f.subjects), f.detail
    return (
        f"{who} and what is wired to it draw {detail.drawn:,.0f} mA; "
        f"what feeds it gives {detail.gives:,.0f} mA ({detail.supply})."
    )


def _phrase(findings: Sequence[FindingOf[CurrentDetail]], _board: ResolvedBoard, _unit: Unit) -> str:
    worst = max(f.detail.drawn - f.detail.gives for f in findings)
    return f"{worst:,.0f} mA too much for what feeds it"


def _remedy(f: FindingOf[CurrentDetail], advice: Advice, unit: Unit) -> str:
    return options(f, advice, unit, "use fewer lights", "share them among more encoder boards")


def _fixes(f: FindingOf[CurrentDetail], _board: ResolvedBoard, catalogue: Catalogue, _unit: Unit) -> Iterator[Single]:
    rows = sorted(catalogue.supplies.values(), key=lambda s: s.current)
    yield from (Rewire(supply=each.id) for each in rows if each.current >= f.detail.drawn)


def _tries(f: FindingOf[CurrentDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    yield lambda unit, _step: _fixes(f, board, catalogue, unit)


RULE = Rule(
    name="light-current",
    meaning="Encoder boards, turning controls and lights draw no more than feeds them.",
    severities=("stop",),
    source=_SOURCE,
    detail=CurrentDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    whole=True,
    tries=_tries,
    fixes=_fixes,
    harm="more is drawn than is fed",
)
