"""What findings about strength say, and what a builder can do about them. Each says that it is an estimate."""

from __future__ import annotations

import math
from collections.abc import Callable

from app.fit.accept import is_factor
from app.fit.amend import LeaveOut
from app.fit.finding import Finding
from app.fit.proposals import Advice
from app.fit.words import nothing, off, say, say_both, verb, whose
from app.fit.words_change import clause, holds_without, options, sentence, warning
from app.model.accepted import Accepted
from app.model.fix import CounterboreAt
from app.model.resolved import ResolvedBoard
from app.units import Unit

_Message = Callable[[Finding, ResolvedBoard, Unit], str]
_Remedy = Callable[[Finding, Advice, Unit], str]
_ESTIMATE = "An estimate for choosing a depth, not a structural approval."
_WHOLE = 0.995  # of the board; more is said as 100 %
_FAR = 10  # thicknesses; further a deflection by linear theory has no meaning at all


def factor_words(factor: float) -> str:
    """A factor of safety, rounded down so that it never looks enough when it is not: “2.9 times”."""
    return f"{math.floor(factor * 10 + 1e-9) / 10:g} times"


def figure_words(accepted: Accepted, unit: Unit) -> str:
    """The figure that was accepted, as “4.5 mm” or “2.9 times the load”; empty where there is none."""
    if accepted.measured is None:
        return ""
    if is_factor(accepted.rule):
        return f"{factor_words(accepted.measured)} the load"
    return say(accepted.measured, unit)


def _ledge(f: Finding, board: ResolvedBoard, unit: Unit) -> str:
    left, needed = say_both(f.measured or 0.0, f.required or 0.0, unit)
    cuts, how = whose(str(f.detail["cut"]), board, f.subjects).replace("The ", "the ", 1), f.detail["governed_by"]
    wanted = float(f.detail["wanted"])
    enough = "just bear it" if wanted == 1 else f"bear {factor_words(wanted)} as much"
    asked = f"{needed} would {enough}"
    if nothing(f.lack):  # at the least width in thicknesses that bends as a plate, a shade more is none
        asked = f"a shade more would {enough}"
    elif not float(f.detail["enough"]):
        asked = f"not even the whole board, {needed}, would {enough}"
    plate = "" if float(f.detail["in_plate_range"]) else " It is too short to bend as a plate: shear alone is judged."
    return (
        f"The {left} of board above {cuts} bears "
        f"{factor_words(float(f.detail['factor']))} a slap of {float(f.detail['load']):g} N in {how} "
        f"({f.detail['layer']}: {_stress(f)}); {asked}.{plate} {_ESTIMATE}"
    )


def _mend_ledge(f: Finding, advice: Advice, unit: Unit) -> str:
    if advice.ways:
        change = advice.ways[0].said(unit)
        holds = f": the part{'' if len(f.subjects) == 1 else 's'} {verb(f.subjects, 'hold')} with that"
        after = {CounterboreAt: holds, LeaveOut: holds_without(f)}.get(type(change), "")
        return f"{sentence([clause(change, f, advice, unit)])[:-1]}{after}."
    general = "Cut narrower or shallower, with a part that holds so, or use a thicker board."
    return f"{warning(f, advice, unit)}{general}"


def _deck(f: Finding, _board: ResolvedBoard, unit: Unit) -> str:
    load, factor = f"{float(f.detail['load']):g} N", float(f.detail["factor"])
    spans = " × ".join(say(float(f.detail[side]), unit) for side in ("long", "short"))
    row = f"its weakest row of holes leaves {float(f.detail['net']):.0%} of the board"
    if float(f.detail["net"]) >= _WHOLE:
        row = "no row of holes weakens it"
    thick = say(f.measured or 0.0, unit)
    if "layer" not in f.detail:
        return f"The deck has nothing left along a line across it to bear a leaning hand of {load}. {_ESTIMATE}"
    bears = f"The deck, {thick} over {spans}, bears {factor_words(factor)} a leaning hand of {load}"
    asked = f"{factor_words(float(f.detail['safety']))} is wanted"
    return f"{bears}: {row} ({f.detail['layer']}: {_stress(f)}); {asked}.{_sag(f, unit)} {_ESTIMATE}"


def _sag(f: Finding, unit: Unit) -> str:
    sag, thickness = float(f.detail["deflection"]), f.measured or 0.0
    if float(f.detail["linear"]):
        return f" It sags by {off(sag, unit)}."
    if sag > _FAR * thickness:
        return " It sags far beyond what plate theory covers: the figure is rough, and too low rather than too high."
    return f" It sags by about {say(sag, unit)}, beyond what plate theory covers: the figure is rough."


def _mend_deck(f: Finding, advice: Advice, unit: Unit) -> str:
    if "needed" not in f.detail:
        return "Put fewer holes in one row, make openings shorter, or make the deck of something stronger."
    rail = "A rail under its middle helps too. The estimate cannot see one, so accept the caution if you add it."
    thicker = () if advice.ways else ("make the deck of something stronger",)
    said = options(f, advice, unit, *thicker, "back it with a second layer")
    return f"{warning(f, advice, unit)}{said} {rail}"


def _stress(f: Finding) -> str:
    return f"{float(f.detail['stress']):.3g} of {float(f.detail['strength']):.3g} MPa"


STRENGTH: dict[str, tuple[_Message, _Remedy]] = {"ledge": (_ledge, _mend_ledge), "deck-strength": (_deck, _mend_deck)}
"""By rule: the message, and the remedy."""
