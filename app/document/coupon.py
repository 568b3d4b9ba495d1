"""What came of a coupon, between the design file and the model."""

from __future__ import annotations

from collections.abc import Iterable

from app.document.coupon_schema import TrialEntry
from app.model.coupon import CouponTrial


def trials_of(rows: Iterable[TrialEntry]) -> tuple[CouponTrial, ...]:
    """Every trial of a design."""
    return tuple(
        CouponTrial(r.sort, r.part or "", r.kind or "", r.diameter, r.fit or "", r.measured, r.material, r.when or "")
        for r in rows
    )


def trial_entry(trial: CouponTrial) -> TrialEntry:
    """A trial as the file has it."""
    return TrialEntry(
        sort=trial.sort,
        part=trial.part or None,
        kind=trial.kind or None,
        diameter=trial.diameter,
        fit=trial.fit or None,
        measured=trial.measured,
        material=trial.material,
        when=trial.when or None,
    )
