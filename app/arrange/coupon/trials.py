"""Keeping what came of trial cuts, and taking it back: one undoable step for all of them."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import Edit, number, shown
from app.document.coupon import trial_entry, trials_of
from app.document.schema import Design
from app.errors import EditError
from app.model.coupon import CouponTrial
from app.model.limits import NARROWEST_CUT, TRIALS, WIDEST_MEASURED

_NAMED = 3


def keep_trials(design: Design, trials: Sequence[CouponTrial]) -> Edit:
    """Keep what came of some trial cuts; one that says nothing any more is taken back.

    Args:
        design: the document.
        trials: what came of each; what is kept of the same bit and part gives way.

    Raises:
        EditError: a width is not allowed, or there would be more trials than there may be.
    """
    known = {trial.key: trial for trial in trials_of(design.coupon or ())}
    told = []
    for trial in trials:
        old = known.get(trial.key)
        if trial.measured is not None:
            number(trial.measured, "The width measured", "measured", NARROWEST_CUT, WIDEST_MEASURED)
        if (trial.fit, trial.measured) == ((old.fit, old.measured) if old is not None else ("", None)):
            continue
        told.append(trial)
        known.pop(trial.key, None)
        if trial.fit or trial.measured is not None:
            known[trial.key] = trial
    if not told:
        return Edit(design, "Left the coupon as it was")
    if len(known) > max(TRIALS.most, len(design.coupon or ())):
        raise EditError(TRIALS.said(len(known)), "trial")
    rows = tuple(trial_entry(trial) for trial in known.values())
    return Edit(design.model_copy(update={"coupon": rows or None}), _summary(told, design.units))


def _summary(told: Sequence[CouponTrial], units: str) -> str:
    if len(told) > _NAMED:
        return f"Noted {len(told)} trial cuts"
    return "; ".join(_said(trial, units) for trial in told)


def _said(trial: CouponTrial, units: str) -> str:
    what = f"trial {trial.sort} of {shown(trial.diameter, units)}"
    if not trial.fit and trial.measured is None:
        return f"Cleared the {what}"
    wide = f"{shown(trial.measured, units)} wide" if trial.measured is not None else ""
    return f"Noted the {what}: {', '.join(filter(None, (trial.fit, wide)))}"
