"""The page *Coupon*: every trial cut, what came of it, and what that does to the board."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from app.model.coupon import CouponTrial, by_key
from app.paper.coupon.cells import head_words, make_words, try_words
from app.service.edits.coupon import code_of
from app.service.screens.words import as_typed, counted, length, signed
from app.service.sight import Sight
from app.shop.coupon import Sample, samples_of
from app.units import Unit

ON_A_PAGE: Final = 40
"""Trial cuts on one page: a form has at most 200 fields, and each has four."""


class TrialRow(Struct, frozen=True):
    """A trial cut.

    Args:
        code: its name in a form.
        number: on the sheet.
        name: what it is.
        make: what to do.
        tried: what to try in it, and where that is on the board.
        fit: how it went in; empty where nobody said.
        measured: how wide it came out, as it stands in a field; empty where nobody measured.
        measures: whether a width is asked for.
        came: what that means, with its date; empty where nothing is known.
    """

    code: str
    number: int
    name: str
    make: str
    tried: str
    fit: str
    measured: str
    measures: bool
    came: str


class CouponSeen(Struct, frozen=True):
    """The page: its rows, which page of how many, and how many have been tried, in words."""

    rows: tuple[TrialRow, ...]
    page: int
    pages: int
    done: str


def coupon_seen(sight: Sight, page: int = 1) -> CouponSeen:
    """The coupon of the board in view, and what came of it; of pages that are not there the nearest."""
    board, unit = sight.checked.resolved, sight.unit
    samples = samples_of(board)
    trials = by_key(board.trials)
    pages = max(1, -(-len(samples) // ON_A_PAGE))
    page = min(max(1, page), pages)
    done = sum(sample.key in trials for sample in samples)
    shown: Sequence[Sample] = samples[(page - 1) * ON_A_PAGE : page * ON_A_PAGE]
    return CouponSeen(
        rows=tuple(_row(sample, trials.get(sample.key), unit) for sample in shown),
        page=page,
        pages=pages,
        done=f"{done} of {counted(len(samples), 'trial cut')} tried",
    )


def _row(sample: Sample, trial: CouponTrial | None, unit: Unit) -> TrialRow:
    letters = ", ".join(sample.letters[:8]) + (f" and {len(sample.letters) - 8} more" if sample.letters[8:] else "")
    measured = trial.measured if trial is not None else None
    return TrialRow(
        code=code_of(sample),
        number=sample.number,
        name=head_words(sample, unit),
        make=make_words(sample, unit),
        tried=f"{try_words(sample)}: {letters}",
        fit=trial.fit if trial is not None else "",
        measured=as_typed(measured, unit) if measured is not None else "",
        measures=sample.sort != "rail joint",
        came=_came(sample, trial, unit) if trial is not None else "",
    )


def _came(sample: Sample, trial: CouponTrial, unit: Unit) -> str:
    said = [trial.fit.capitalize()] if trial.fit else []
    if trial.measured is not None:
        wide = f"{length(trial.measured, unit)} wide"
        if sample.sort not in ("recess", "rail joint"):
            more = signed(trial.measured - sample.width, unit)
            wide += ", as its bit" if more == "exact" else f", {more}"
        said.append(wide)
    when = f" ({trial.day}{f', in {trial.material}' if trial.material else ''})" if trial.day else ""
    used = ""
    if sample.sort == "hole" and trial.measured is not None and sample.bit is not None:
        used = " Holes of this bit count as wide as that, in the checks and on sheets."
    return f"{'; '.join(said)}{when}.{used}"


def trial_notes(
    trials: Sequence[CouponTrial], part: str, sort: str, width: float | None, unit: Unit
) -> tuple[str, ...]:
    """What came of trial cuts for a part, to be read where it is cut: those of one sort, of a bit's width or any."""
    found = []
    for trial in trials:
        if trial.part != part or trial.sort != sort or (width is not None and abs(trial.diameter - width) > 1e-6):
            continue
        said = [f"went in {trial.fit}"] if trial.fit else []
        said += [f"came out {length(trial.measured, unit)} wide"] if trial.measured is not None else []
        if said:
            found.append(f"In scrap it {' and '.join(said)}{f', on {trial.day}' if trial.day else ''}.")
    return tuple(found)
