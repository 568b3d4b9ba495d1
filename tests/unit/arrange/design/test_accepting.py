"""Accepting a caution writes it into the document; taking it back takes it out; a stop is never accepted."""

from __future__ import annotations

import pytest

from app.arrange.design.accepting import accept, withdraw
from app.arrange.placement.edit import move
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.errors import EditError, NotFoundError
from app.fit.finding import Finding
from app.fit.report.acceptance import accepted_as
from app.fit.report.report import Report, check
from app.model.accepted import Accepted
from tests.unit.document.designs import small_design

WHAT = Accepted("web", ("b", "c"), 4.0, "Tried on scrap.")


def report(design: Design) -> Report:
    return check(resolve(design, None, None, catalogue()), catalogue())


def caution(design: Design, rule: str) -> Finding:
    return next(f for f in report(design).cautions if f.rule == rule)


def entries(design: Design) -> tuple[object, ...]:
    return design.boards[0].arrangements[0].accepted


def test_a_caution_of_the_broken_deck_is_accepted_worsened_mended_and_taken_back() -> None:
    design = load_scenario("leaky-raft")
    finding = caution(design, "edge-distance")
    edit = accept(design, None, None, accepted_as(finding, "  The edge is doubled there.  "), finding.severity)
    assert edit.summary == "Accepted edge distance of R2: The edge is doubled there."
    kept = loads(dumps(edit.design))
    assert kept == edit.design
    before, after = report(design), report(kept)
    assert len(after.cautions) == len(before.cautions) - 1 and after.stops == before.stops
    assert [s.accepted.reason for s in after.accepted] == ["The edge is doubled there."]

    (placement,) = finding.subjects
    at = next(p for p in kept.boards[0].arrangements[0].placements if p.id == placement)
    worse = report(move(kept, None, None, placement, at.x, at.y + 0.2).design)
    assert len(worse.woken) == 1 and len(worse.cautions) == len(before.cautions)
    better = report(move(kept, None, None, placement, at.x, at.y - 0.2).design)
    assert len(better.accepted) == 1
    gone = report(move(kept, None, None, placement, at.x, at.y - 20).design)
    assert [a.rule for a in gone.stale] == ["edge-distance"]

    back = withdraw(kept, None, None, accepted_as(finding, ""))
    assert back.design == design and back.summary == "Withdrew acceptance of edge distance of R2"


def test_accepting_again_replaces_the_figure_and_the_reason() -> None:
    first = accept(small_design(), None, None, WHAT, "caution").design
    again = accept(first, None, None, Accepted("web", ("c", "b"), 3.5, "A rib below."), "caution").design
    (entry,) = again.boards[0].arrangements[0].accepted
    assert (entry.measured, entry.reason) == (3.5, "A rib below.")
    other = accept(again, None, None, Accepted("web", ("b", "c"), 3.5, "Other.", "left"), "caution").design
    assert len(entries(other)) == 2


@pytest.mark.parametrize("severity", ["stop", "note"])
def test_only_a_caution_is_accepted(severity: str) -> None:
    with pytest.raises(EditError, match="Only cautions are accepted"):
        accept(small_design(), None, None, WHAT, severity)


@pytest.mark.parametrize("reason", ["", "   ", "two\nlines", "x" * 501])
def test_a_reason_is_one_line(reason: str) -> None:
    with pytest.raises(EditError) as refused:
        accept(small_design(), None, None, Accepted("web", ("b",), 4.0, reason), "caution")
    assert refused.value.field == "reason"


def test_what_is_not_there_is_not_accepted_and_not_taken_back() -> None:
    with pytest.raises(NotFoundError, match='no placement "nobody"'):
        accept(small_design(), None, None, Accepted("web", ("b", "nobody"), 4.0, "Why."), "caution")
    with pytest.raises(NotFoundError, match="no longer accepted"):
        withdraw(small_design(), None, None, WHAT)


def test_an_arrangement_holds_a_thousand() -> None:
    design = small_design()
    full = tuple(Accepted("web", ("b",), 1.0, "Why.", str(k)) for k in range(1000))
    for what in full[:2]:
        design = accept(design, None, None, what, "caution").design
    entry = design.boards[0].arrangements[0].accepted[0]
    rows = tuple(entry.model_copy(update={"cause": str(k)}) for k in range(1000))
    board = design.boards[0]
    stuffed = board.model_copy(update={"arrangements": (board.arrangements[0].model_copy(update={"accepted": rows}),)})
    design = design.model_copy(update={"boards": (stuffed,)})
    assert loads(dumps(design)) == design
    with pytest.raises(EditError, match="1000 cautions are accepted, the most there can be"):
        accept(design, None, None, WHAT, "caution")
