"""Whether a change clears a finding is told by the first rule against it, and told as all rules together tell it."""

from __future__ import annotations

import pytest

from app.fit.changes import trial as tried
from app.fit.changes.candidates import candidates
from app.fit.changes.trial import Trial
from app.fit.features.layout import Layout
from app.fit.finding import Finding
from app.fit.registry import rule_named
from app.fit.report.findings import findings_of
from app.model.fix import MoveBy
from app.units import Unit
from app.values import replace
from tests.unit.fit.boards import CATALOGUE
from tests.unit.fit.changes.test_smallest_fix import CASES


def trial_of(case: str) -> Trial:
    return Trial(CASES[case], CATALOGUE, findings_of(CASES[case], CATALOGUE))


@pytest.mark.parametrize("case", CASES)
def test_the_first_rule_against_a_change_says_what_all_of_them_say(case: str) -> None:
    trial = trial_of(case)
    for finding in trial.before:
        moves = [MoveBy(s, dx, dy) for s in finding.subjects for dx in (-20.0, 0.0, 2.0) for dy in (-150.0, 0.0, 30.0)]
        for change in [*candidates(trial, finding, Unit.MM), *moves]:
            assert trial.clears(finding, change) == trial.outcome(finding, change).clears


def test_a_change_that_leaves_the_finding_is_judged_by_no_other_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    trial = trial_of("edge-distance")
    finding = trial.before[0]

    def asked(_: Layout) -> list[Finding]:
        raise AssertionError("another rule was asked")

    monkeypatch.setattr(tried, "RULES", (replace(rule_named("web"), find=asked),))
    assert not trial.clears(finding, MoveBy(finding.subjects[0], 0.1, 0.0))
    with pytest.raises(AssertionError, match="another rule"):
        trial.clears(finding, MoveBy(finding.subjects[0], 100.0, 0.0))
