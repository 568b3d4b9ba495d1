"""Any step of the list in words: its usual ones, or a plan maker's own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from app.drafting.build_steps import cutting_words as cutting
from app.drafting.build_steps import drilling_words as drilling
from app.drafting.build_steps import finishing_words as finishing
from app.drafting.build_steps import mounting_words as mounting
from app.drafting.build_steps.step_said import StepSaid
from app.shop.build_steps.build_step import BuildStep, Work
from app.shop.build_steps.listing import ListedStep
from app.units import Unit
from app.values import replace

Wording = Callable[[BuildStep, Unit], StepSaid]

_WORDS: Final[Mapping[Work, Wording]] = MappingProxyType(
    {
        "cut": cutting.cut_words,
        "slot": cutting.slot_words,
        "round": cutting.round_words,
        "layers": cutting.layers_words,
        "template": drilling.template_words,
        "pilot": drilling.pilot_words,
        "counterbore": drilling.counterbore_words,
        "screws-under": drilling.screws_under_words,
        "through": drilling.through_words,
        "openings": drilling.openings_words,
        "screws-top": drilling.screws_top_words,
        "ease": finishing.ease_words,
        "rails": cutting.rails_words,
        "fill": finishing.fill_words,
        "caulk": finishing.caulk_words,
        "sand": finishing.sand_words,
        "seal": finishing.seal_words,
        "paint": finishing.paint_words,
        "moulding": finishing.moulding_words,
        "legends": finishing.legends_words,
        "mount": mounting.mount_words,
        "wire": mounting.wire_words,
        "test": mounting.trying_words,
        "close": mounting.close_words,
    }
)

GONE: Final = "What this step was for is no longer in the design."
NOT_HERE: Final = "What this step was for is not in this arrangement."


def usual_words(step: BuildStep, unit: Unit) -> StepSaid:
    """What is said of a step where a plan maker has said nothing else."""
    return _WORDS[step.work](step, unit)


def step_words(step: ListedStep, unit: Unit, *, several: bool = False) -> StepSaid:
    """What is said of a step of the list.

    Own words stand for the title and the sentences. What one needs, how long it dries and the caution follow from the
    design whatever the words: nobody words a caution away.

    Args:
        step: the step.
        unit: of its measures.
        several: whether another arrangement may have what this one does not.
    """
    own, made = step.own, step.made
    if made is None:
        if own is None:
            return StepSaid("", ())
        mark = () if step.is_added else (NOT_HERE if several else GONE,)
        return StepSaid(own.title or own.was or step.key, (*mark, *_lines(own.text)))
    usual = usual_words(made, unit)
    if own is None:
        return usual
    return replace(usual, title=own.title or usual.title, sentences=_lines(own.text) or usual.sentences)


def _lines(text: str) -> tuple[str, ...]:
    return tuple(" ".join(line.split()) for line in text.split("\n") if line.strip())
