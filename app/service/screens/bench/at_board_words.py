"""Tools, faces and cuts of a drilling run in the words of the page at the board."""

from __future__ import annotations

from collections.abc import Sequence

from app.model.tooling import kind_words
from app.service.screens.words import listed
from app.shop.board_steps import BoardCut
from app.shop.drilling_run import DrillingStep
from app.units import Unit, format_named


def side_words(run: DrillingStep) -> str:
    """The face that is up."""
    return "Underside up, mirrored" if run.face == "under" else "Top face up"


def tool_words(run: DrillingStep, unit: Unit) -> str:
    """What is in the chuck, or in the hand."""
    if run.work == "opening":
        return "jigsaw or router"
    if run.bit is None:
        if run.work == "recess":
            return "router: the report says which bit"
        return f"a {format_named(run.width, unit)} bit, which you have not listed"
    size = format_named(run.bit.diameter, Unit.INCH if run.bit.inch else Unit.MM)
    return f"{size} {kind_words(run.bit.kind)} bit".replace(" bit bit", " bit")


def depth_from_words(run: DrillingStep) -> str:
    """From where on the bit its depth is measured."""
    return "tip" if run.work == "screw pilot" else "rim"


def noun_words(run: DrillingStep) -> str:
    """What one cut of a step is."""
    return {"pilot": "pilot", "screw pilot": "screw pilot", "halfway": "first half", "through": "hole"}.get(
        run.work, run.work
    )


def letters_words(cuts: Sequence[BoardCut]) -> str:
    """Letters of the parts of some cuts, each once; of many the first."""
    names = list(dict.fromkeys(cut.letter for cut in cuts))
    return listed(names if len(names) <= 12 else [*names[:11], f"{len(names) - 11} more"])
