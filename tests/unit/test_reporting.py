"""What ``holewise check`` prints of accepted, woken and stale cautions."""

from __future__ import annotations

import json

from app import reporting, service
from app.arrange.accepting import accept
from app.arrange.edit import move
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.fit.accept import accepted_as
from app.fit.report import check

REASON = "The edge is doubled there."


def accepting() -> tuple[Design, str]:
    """The broken deck with its edge distance accepted, and the placement it is about."""
    design = load_scenario("leaky-raft")
    report = check(resolve(design, None, None, catalogue()), catalogue())
    finding = next(f for f in report.cautions if f.rule == "edge-distance")
    return accept(design, None, None, accepted_as(finding, REASON), finding.severity).design, finding.subjects[0]


def moved(design: Design, placement: str, dy: float) -> Design:
    at = next(p for p in design.boards[0].arrangements[0].placements if p.id == placement)
    return move(design, None, None, placement, at.x, at.y + dy).design


def text(design: Design) -> str:
    return " ".join(reporting.as_text(design, service.check_design(design)).split())


def test_an_accepted_caution_is_not_counted_and_stands_at_the_end_with_its_reason() -> None:
    bare, (design, _) = load_scenario("leaky-raft"), accepting()
    before, after = text(bare), text(design)
    many = before.partition(" cautions")[0].rpartition(" ")[2]
    assert f", {int(many) - 1} caution" in after
    assert "caution: The hole of R2" in before and "caution: The hole of R2" not in after
    assert "accepted: The hole of R2" in after and f"Reason: {REASON}" in after
    assert after.index("accepted: ") > after.rindex("caution: ")


def test_a_woken_one_is_counted_again_and_says_what_was_accepted() -> None:
    design, placement = accepting()
    said = text(moved(design, placement, 0.5))
    assert "caution: The hole of R2" in said and f"worse than accepted (edge-distance): {REASON}" in said


def test_a_stale_one_is_listed() -> None:
    design, placement = accepting()
    assert f"no longer applies: accepted edge-distance of R2: {REASON}" in text(moved(design, placement, -20))


def test_json_says_the_reason_where_one_is_accepted_and_only_there() -> None:
    design, placement = accepting()
    (result,) = json.loads(reporting.as_json(design, service.check_design(design)))["results"]
    assert [(f["rule"], f["accepted"]) for f in result["findings"] if "accepted" in f] == [("edge-distance", REASON)]
    assert "stale" not in result
    gone = moved(design, placement, -20)
    (result,) = json.loads(reporting.as_json(gone, service.check_design(gone)))["results"]
    assert result["stale"] == [{"rule": "edge-distance", "subjects": [placement], "reason": REASON}]
    worse = moved(design, placement, 0.5)
    (result,) = json.loads(reporting.as_json(worse, service.check_design(worse)))["results"]
    assert not [f for f in result["findings"] if "accepted" in f]
