"""Which way each old cut goes, by least work: exactly, as a program of yes and no."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from app.retrofit.integer_program import Choices, least_cost
from app.retrofit.option import KINDS, OldWay
from app.retrofit.options import Possible

HARM: Final = 10_000.0
"""Minutes that something which cannot be done counts as: more than all work on a board."""

_TIE: Final = 0.001  # minutes, by which ways that are as much work stand in their order


def harms_of(possible: Possible, old: int, option: OldWay) -> float:
    """How much speaks against a way by itself; a hole that shows is worse than a plug."""
    if option.kind == "keep":
        return 1.0 if (old, option.new) in possible.kept_harms else 0.0
    if option.kind != "open":
        return 0.0
    return (0.0 if option.hidden else 1.5) + (1.0 if old in possible.harms else 0.0)


def least_work(possible: Possible, wanted: Mapping[int, str]) -> Sequence[OldWay]:
    """The way of each old cut, so that all of it is the least work; nothing is harmed where that can be.

    Args:
        possible: what can be done.
        wanted: kinds that the builder has chosen, by the old cut.
    """
    choices, chosen_by = Choices(), []
    keeps: dict[int, list[int]] = {}
    for k, options in enumerate(possible.options):
        some = [o for o in options if wanted.get(k, o.kind) == o.kind] or list(options)
        mine: list[tuple[OldWay, int]] = []
        for option in some:
            cost = option.minutes + _TIE * KINDS.index(option.kind) + HARM * harms_of(possible, k, option)
            if option.kind == "keep" and option.new is not None:
                cost -= possible.fresh[option.new]
            number = choices.add(cost)
            mine.append((option, number))
            if option.kind == "keep" and option.new is not None:
                keeps.setdefault(option.new, []).append(number)
        choices.rule({number: 1.0 for _, number in mine}, 1.0, 1.0)
        chosen_by.append(mine)
    for numbers in keeps.values():
        choices.rule(dict.fromkeys(numbers, 1.0), 0.0, 1.0)
    _guides(possible, choices, chosen_by, keeps)
    _plugs(possible, choices, chosen_by, keeps)
    _pairs(possible, choices, chosen_by)
    taken = least_cost(choices)
    return [next(option for option, number in mine if taken[number]) for mine in chosen_by]


_Numbered = Sequence[Sequence[tuple[OldWay, int]]]


def _guides(possible: Possible, choices: Choices, by: _Numbered, keeps: Mapping[int, Sequence[int]]) -> None:
    """A new cut needs a guide, if an old one that stays open takes the wood for its point."""
    cost = possible.meetings.catalogue.rule("retrofit-guide")
    for new, olds in possible.led.items():
        guide = choices.add(cost)
        kept = dict.fromkeys(keeps.get(new, ()), 1.0)
        for k in olds:
            for option, number in by[k]:
                if option.kind != "plug" and not (option.kind == "keep" and option.new == new):
                    choices.rule({guide: 1.0, number: -1.0} | kept, 0.0, 1.0 + len(kept))


def _plugs(possible: Possible, choices: Choices, by: _Numbered, keeps: Mapping[int, Sequence[int]]) -> None:
    """A plug harms a new hole that is drilled too near to it; not one that is there already."""
    for k, meets in possible.plugs.items():
        number = next((n for option, n in by[k] if option.kind == "plug"), None)
        for met in meets:
            if number is None or not met.is_stop:
                continue
            harm = choices.add(HARM)
            kept = dict.fromkeys(keeps.get(met.new, ()), 1.0)
            choices.rule({harm: 1.0, number: -1.0} | kept, 0.0, 1.0 + len(kept))


def _pairs(possible: Possible, choices: Choices, by: _Numbered) -> None:
    """Two old cuts that may not both be left open, or not both be kept for their new ones."""
    left = {k: n for k, mine in enumerate(by) for option, n in mine if option.kind == "open"}
    kept = {(k, option.new): n for k, mine in enumerate(by) for option, n in mine if option.kind == "keep"}
    asked = [[left.get(k) for k in pair] for pair in sorted(possible.pairs)]
    asked += [[kept.get(keep) for keep in pair] for pair in sorted(possible.kept_pairs)]
    for one, other in asked:
        if one is not None and other is not None:
            harm = choices.add(HARM)
            choices.rule({harm: 1.0, one: -1.0, other: -1.0}, -1.0, 1.0)
