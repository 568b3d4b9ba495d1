"""Random boards judged by the rules and, from the document alone, by solids: no miss, no false stop, true figures."""

from __future__ import annotations

import pytest

from tests.oracle.trial import Total, tried

BOARDS = 500
LOT = 50


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, BOARDS, LOT))
def test_findings_and_solids_agree(first: int) -> None:
    total = Total()
    for seed in range(first, first + LOT):
        total.add(tried(seed))
    assert total.compared > LOT  # boards on which nothing comes near would prove nothing
    assert not total.failed, "\n".join(f"board {t.seed}: {line}" for t in total.failed for line in t.words)
