"""Every screw in the board has enough of it to the sides: to holes, counterbores, recesses and other screws.

A screw's own pilot hole is a cut-out like any other, so the web of the layer it enters is asked for. Where enough
board lies between by height, as below the tip of a short screw from the top, nothing is asked. A screw over a hole or
counterbore of its own part holds in nothing.
"""

from __future__ import annotations

from app.fit.changes.advice import Advice
from app.fit.detail import PairDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.judge import clashes, finding_of
from app.fit.limits.required_distances import web_asked
from app.fit.rule import Rule
from app.fit.words.finding import both, meets, over, phrased
from app.fit.words.lengths import names
from app.fit.words.moves import moved
from app.model.resolved import ResolvedBoard
from app.units import Unit


class ScrewDetail(PairDetail, frozen=True, kw_only=True):
    """A screw too near another feature.

    Args:
        layer: name of the material that asks for more.
    """

    layer: str


def find(layout: Layout) -> list[FindingOf[ScrewDetail]]:
    """One finding for each two placements, or each placement by itself."""
    found = []
    for own, near in ((False, layout.neighbours), (True, layout.own_pairs)):
        for clash in clashes(layout, near, RULE.name):
            stop, caution = web_asked(layout, clash.first, clash.second)
            layer = (stop if own or clash.short.severity == "stop" else caution).material
            detail = ScrewDetail(
                what=clash.what,
                other=clash.other,
                layer=layer.name,
                own=own,
                toward=None if own else clash.way.toward,
            )
            found.append(
                finding_of(RULE.name, clash.subjects, clash.short, clash.way, layer.limits.source.text, detail)
            )
    return found


def _message(f: FindingOf[ScrewDetail], board: ResolvedBoard, unit: Unit) -> str:
    what, other = f.detail.things
    if len(f.subjects) == 1:
        between = f"a screw of {names(board, f.subjects)} and its own {other if what == 'screw' else what}"
    else:
        one, two = (_the(kind, names(board, [s])) for kind, s in zip((what, other), f.subjects, strict=True))
        between = f"{one} and {two}"
    if (f.measured or 0.0) < 0 and not meets(f):
        return f"{between[:1].upper()}{between[1:]} run {over(f, unit)} into each other at worst."
    measured, required = both(f, unit)
    left = "No board" if meets(f) else f"Only {measured} of board"
    return f"{left} is left between {between} at worst; {f.detail.layer} needs {required}."


def _the(kind: str, who: str) -> str:
    return f"a screw of {who}" if kind == "screw" else f"the {kind} of {who}"


def _remedy(f: FindingOf[ScrewDetail], advice: Advice, unit: Unit) -> str:
    if len(f.subjects) == 1:
        if set(f.detail.things) & {"counterbore", "recess"}:
            return f"Cut narrower or shallower below {names(advice.board, f.subjects)}, or use shorter screws."
        return "The part needs these holes where they are. Drill the pilots carefully, or use another part."
    return moved(f, advice, unit, "further apart", "use shorter screws or smaller parts")


RULE = Rule(
    name="screw-distance",
    meaning="Enough board is left between each screw and holes, counterbores, recesses and other screws.",
    severities=("stop", "caution"),
    source="The web of the material a screw enters.",
    detail=ScrewDetail,
    find=find,
    message=_message,
    phrase=phrased("board beside screws ", " too thin"),
    remedy=_remedy,
    moved=True,
)
