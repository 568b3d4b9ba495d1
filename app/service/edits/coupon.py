"""What came of a coupon, typed back, as one edit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from app.arrange.change import Edit
from app.arrange.coupon.trials import keep_trials
from app.catalogue.load import catalogue
from app.document.coupon import trials_of
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.drafting.words import thickness, unit_of
from app.errors import EditError
from app.model.coupon import CouponTrial, TrialFit
from app.model.limits import NARROWEST_CUT, WIDEST_MEASURED
from app.model.resolved import ResolvedBoard
from app.service.edits.changes import DesignChange
from app.service.screens.words import length
from app.shop.coupon import Sample, samples_of
from app.units import Unit


class TypedTrial(Struct, frozen=True):
    """What is said of one trial cut.

    Args:
        code: its name.
        fit: how its part went in; empty for nothing said; None where that was left as it was.
        measured: how wide it came out [mm]; None for nothing measured.
        keeps: whether the width was left as it was.
    """

    code: str
    fit: TrialFit | str | None
    measured: float | None
    keeps: bool


def code_of(sample: Sample) -> str:
    """Name of a trial cut in a form: the same as long as its bit and part are."""
    sort, part, kind, wide = sample.key
    return f"{sort.replace(' ', '-')}~{part}~{kind}~{wide:g}"


def trials_kept(where: Where, rows: Sequence[TypedTrial], when: str, *, unit: Unit = Unit.MM) -> DesignChange:
    """Keep what came of trial cuts of the board in view, as one step.

    Args:
        where: the board whose coupon it is.
        rows: what is said of each; what is left as it was keeps its date.
        when: date and time in UTC, as ``2026-02-01T10:30:00Z``.
        unit: of the sentences.
    """

    def change(design: Design) -> Edit:
        board = resolve(design, where.board, where.arrangement, catalogue())
        samples = {code_of(sample): sample for sample in samples_of(board)}
        known = {trial.key: trial for trial in trials_of(design.coupon or ())}
        problems: dict[str, str] = {}
        trials = []
        for row in rows:
            sample = samples.get(row.code)
            if sample is None:
                problems["rows"] = "That trial cut is not on the coupon any more. Reload the page."
                continue
            if row.measured is not None and not NARROWEST_CUT <= row.measured <= WIDEST_MEASURED:
                least, most = length(NARROWEST_CUT, unit), length(WIDEST_MEASURED, unit)
                problems[f"m.{row.code}"] = f"A cut is {least} to {most} wide, got {length(row.measured, unit)}."
                continue
            if row.measured is not None and (wrong := _unlikely(sample, row.measured, unit)):
                problems[f"m.{row.code}"] = wrong
                continue
            trials.append(_trial(sample, row, known, when, _material(board)))
        if problems:
            raise EditError.of(problems)
        done = keep_trials(design, trials)
        if done.design is design:
            raise EditError("Nothing is new here. Choose how a part went in, or type what you measured.", "rows")
        return done

    return change


_FAR = 0.25
"""How far a cut may come out beside its bit's width, as a share of it: more was measured on another. Choice of this
program."""


def _unlikely(sample: Sample, measured: float, unit: Unit) -> str:
    if sample.sort in ("recess", "rail joint") or abs(measured - sample.width) <= max(_FAR * sample.width, 1.0):
        return ""
    return (
        f"That is far from {length(sample.width, unit)}, as wide as it was to be. Is it another hole, or in the other "
        "unit?"
    )


def _trial(
    sample: Sample, row: TypedTrial, known: Mapping[tuple[str, str, str, float], CouponTrial], when: str, material: str
) -> CouponTrial:
    kind = sample.bit.kind if sample.bit is not None else ""
    wide = sample.bit.diameter if sample.bit is not None else sample.width
    new = CouponTrial(sample.sort, sample.part, kind, wide, material=material, when=when)
    old = known.get(new.key)
    fit = (old.fit if old is not None else "") if row.fit is None else row.fit
    measured = (old.measured if old is not None else None) if row.keeps else row.measured
    said: TrialFit | str = fit if fit in ("tight", "right", "loose") else ""
    return CouponTrial(new.sort, new.part, new.kind, new.diameter, said, measured, material, when)  # type: ignore[arg-type]


def _material(board: ResolvedBoard) -> str:
    unit = unit_of(board)
    words = " on ".join(f"{thickness(layer.thickness, unit)} {layer.material.name}" for layer in board.layers)
    return words[:200]
