"""What becomes of each hole, as a builder says it."""

from __future__ import annotations

import math

from app.catalogue.load import catalogue
from app.fit.words.lengths import names, say
from app.retrofit.cut import DrilledCut
from app.retrofit.option import OldWay
from app.retrofit.retrofit import NewStep, OldStep, Retrofit
from app.units import Unit

_SHOWN = 40  # names of holes that stay

CAUTIONS = (
    "Plug first, and let the glue dry for a day. Then enlarge, then drill the new holes.",
    "Cut plugs from the wood of the board, and turn their grain along its own. Sand them flush when they are dry.",
    "Clamp scrap below the board before you drill through, and clamp every guide block at two places.",
    "Wear eye protection. Keep your hands away from the bit. Where your tools' own advice is stricter, it counts.",
)
"""What every list of such work says first; common practice, no source."""


def option_words(option: OldWay, found: Retrofit) -> str:
    """A way to deal with an old hole, in a word or two, as a list offers it."""
    if option.kind == "keep":
        return "Keep"
    if option.kind == "enlarge":
        return "Enlarge"
    if option.kind == "plug":
        return "Plug"
    if not option.hidden or option.hidden == "below":
        return "Leave as it is"
    return f"Leave, covered by {names(found.new, [option.hidden])}"


def old_words(step: OldStep, found: Retrofit, unit: Unit) -> str:
    """What is done to an old cut."""
    option, cut = step.taken, step.cut
    if option.kind == "keep" and step.new is not None:
        whose = "" if step.new.name == cut.name else f" for {step.new.name}"
        wide = ""
        if cut.shape.is_circle and abs(cut.width - step.new.width) > 0.05:
            wide = f"; {say(cut.width, unit)} does where {say(step.new.width, unit)} is drawn"
        return f"Keep it{whose}{wide}."
    if option.kind == "enlarge" and step.new is not None:
        return _enlarge(step, step.new, unit)
    if option.kind == "plug":
        return _plug(step, found, unit)
    if option.hidden == "below":
        return "Leave it. It does not show, and does no harm."
    if option.hidden:
        return f"Leave it. The flange of {names(found.new, [option.hidden])} covers it."
    return "Leave it open."


def _enlarge(step: OldStep, new: DrilledCut, unit: Unit) -> str:
    if not step.guide:
        return f"Nothing to do by itself. {_made(new)} takes it away."
    size = say(new.width, unit)
    return f"Enlarge it to {size} for {new.name}, with a guide block: {offset_words(step.cut, new, unit)}."


def _made(cut: DrilledCut) -> str:
    return f"What is cut for {cut.name}" if not cut.shape.is_circle else f"The new hole for {cut.name}"


def offset_words(old: DrilledCut, new: DrilledCut, unit: Unit) -> str:
    """Where the centre of a new cut is from that of an old one, seen from above."""
    (ax, ay), (bx, by) = old.shape.centre, new.shape.centre
    dx, dy = bx - ax, by - ay
    said = []
    if abs(dx) >= 0.05:
        said.append(f"{say(abs(dx), unit)} to the {'right' if dx > 0 else 'left'}")
    if abs(dy) >= 0.05:
        said.append(f"{say(abs(dy), unit)} to the {'back' if dy > 0 else 'front'}")
    return f"its centre is {' and '.join(said)}" if said else "its centre is the old one"


def _plug(step: OldStep, found: Retrofit, unit: Unit) -> str:
    option = step.taken
    if option.wide == 0:
        done = "Let in a piece of the same wood and glue it."
    elif step.cut.depth is not None and any(_through(step.cut, s) for s in found.new_steps):
        done = f"Glue in a disc of {say(option.wide, unit)}, and drill the hole through it again."
    elif option.bored:
        size = say(option.wide, unit)
        done = f"Bore it out to {size} with a guide block, and glue in a plug of {size}, its grain along the board’s."
    elif option.wide <= catalogue().rule("retrofit-dowel-widest"):
        done = f"Glue in a dowel of {say(option.wide, unit)} and cut it flush."
    else:
        done = f"Glue in a plug of {say(option.wide, unit)}, its grain along the board’s."
    cut_by = [s.cut.name for s in found.new_steps if step.cut in s.plugs]
    if cut_by:
        who = " and ".join(dict.fromkeys(cut_by))
        done += f" What is cut for {who} goes into it."
    return done


def _through(old: DrilledCut, step: NewStep) -> bool:
    """Whether a new hole goes through an old pocket."""
    return step.cut.depth is None and math.dist(step.cut.shape.centre, old.shape.centre) < old.shape.reach


def new_words(step: NewStep, unit: Unit) -> str:
    """What is done for a new cut."""
    cut = step.cut
    if step.kept is not None:
        return f"There already: it was {step.kept.name}."
    size = say(cut.width, unit)
    verb = {"opening": "Saw", "counterbore": f"Bore {size}", "recess": "Rout"}.get(cut.work, f"Drill {size}")
    deep = "" if cut.depth is None else f", {say(cut.depth, unit)} deep"
    below = ", from the underside" if cut.depth is not None and cut.face == "under" else ""
    x, y = cut.shape.centre
    said = f"{verb}{deep}{below}, at {say(x, unit)} from the left and {say(y, unit)} from the front."
    if step.guide:
        said += " The point of the bit finds no wood there: use a guide block."
    if step.plugs:
        what = "the plug" if len(step.plugs) == 1 else "the plugs"
        said += f" It cuts into {what} of {' and '.join(c.name for c in step.plugs)}: wait until the glue is dry."
    return said


def stay_words(found: Retrofit) -> str:
    """Which old holes stay as they are; empty if none does."""
    stay = [s.cut.name for s in found.old_steps if s.taken.kind in ("keep", "open")]
    if not stay:
        return ""
    more = f" and {len(stay) - _SHOWN} more" if len(stay) > _SHOWN else ""
    so = "Stays as it is" if len(stay) == 1 else "Stay as they are"
    return f"{so}: {', '.join(stay[:_SHOWN])}{more}."


def minutes_words(minutes: float) -> str:
    """Work, to five minutes above an hour."""
    if minutes < 60:
        return f"{minutes:.0f} min"
    whole = round(minutes / 5) * 5
    hours, rest = divmod(int(whole), 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def verdict_words(found: Retrofit) -> str:
    """What it comes to, in one sentence."""
    work, anew = minutes_words(found.minutes), minutes_words(found.anew)
    if found.verdict == "nothing":
        return "Nothing has to be done. Every hole stays as it is."
    if found.verdict == "anew":
        return f"This takes a new board: about {anew} of work."
    if found.verdict == "dearer":
        return f"A new board is less work: about {anew}, where changing this one takes {work}."
    return f"About {work} of work, where a new board takes {anew}."
