"""What ``holewise check`` prints of accepted, woken and stale cautions, and of what was checked."""

from __future__ import annotations

import json
import math
import re
from collections import Counter

from app import reporting, service
from app.arrange.design.accepting import accept
from app.arrange.placement.edit import move
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.fit.report.acceptance import accepted_as
from app.fit.report.report import check
from app.fit.report.tightest import Tightest
from tests.companions import with_companions

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


def tight(design: Design) -> list[str]:
    """The lines of what was checked, as printed for the first arrangement; wrapped ones put together again."""
    said = reporting.as_text(design, service.check_design(design)[:1], tightest=True)
    listed = said.partition("  checked, tightest first: ")[2]
    return re.sub(r"\n {4}(?!.* – )", " ", listed).splitlines()


def gap_of_holes(design: Design, one: str, other: str) -> float:
    """Board left between two holes, each a millimetre off toward the other, as hand drilling may be [mm]."""
    board = resolve(design, None, None, catalogue())
    assert board.tooling.drilling.id == "hand"
    a, b = (p for p in board.placements if p.id in (one, other))
    return math.dist((a.x, a.y), (b.x, b.y)) - (a.holes[0].diameter + b.holes[0].diameter) / 2 - 2 * 1.0


def test_what_was_judged_is_listed_only_when_asked_for_with_letters_and_figures() -> None:
    design = load_scenario("harbour-lane-two-seater")
    assert "tightest" not in text(design)
    lines = tight(design)
    parts = len(design.boards[0].arrangements[0].placements)
    pairs = parts * (parts - 1) // 2
    left = gap_of_holes(design, "q", "r")
    # 5 mm of MDF between two holes: the caution of its row in the catalogue.
    assert f"    hole – hole: {pairs} pairs, tightest Q and R: {left:g} mm left, 5 mm needed" in lines
    assert lines[0] == f"{sum(t.tried for t in first(design)):,} pairs, each in the worst case"


def first(design: Design) -> tuple[Tightest, ...]:
    return service.check_design(design)[0].report.tightest()


def test_what_is_short_says_so_and_by_how_much_in_the_units_of_the_design() -> None:
    design = load_scenario("harbour-lane-two-seater")
    assert not [line for line in tight(design) if line.endswith(" short")]
    board = resolve(design, None, None, catalogue())
    q = next(p for p in board.placements if p.id == "q")
    # A hole may be a millimetre off, the edge half of one; MDF asks for 12 mm to the edge (its row in the catalogue).
    left = board.depth_front_to_back - q.y - q.holes[0].diameter / 2 - 1.5
    to_back = moved(design, "q", left - 9.5)
    edge = next(line for line in tight(to_back) if line.startswith("    hole – edge"))
    assert edge.endswith("tightest Q: 9.5 mm left, 12 mm needed, 2.5 mm short")
    inches = next(line for line in tight(to_back.model_copy(update={"units": "inch"})) if "hole – edge" in line)
    # In 1/64 in, 9.5 mm are 23.9 of them, 12 mm 30.2 and 2.5 mm 6.3: what there is down, what is lacking up.
    assert inches.endswith('tightest Q: 23/64" left, 31/64" needed, 7/64" short')


def test_a_bare_board_says_that_nothing_is_on_it() -> None:
    design = load_scenario("harbour-lane-two-seater")
    deck = design.boards[0]
    bare = deck.arrangements[0].model_copy(update={"placements": (), "stations": ()})
    empty = design.model_copy(update={"boards": (deck.model_copy(update={"arrangements": (bare,)}),)})
    said = reporting.as_text(empty, service.check_design(empty), tightest=True)
    assert said.endswith("fits\n  checked: the board is empty")


def test_json_carries_what_was_judged_beside_the_findings_never_rounded() -> None:
    design = load_scenario("leaky-raft")
    (result,) = json.loads(reporting.as_json(design, service.check_design(design)))["results"]
    assert [set(row) for row in result["tightest"]] == [{"what", "other", "tried", "nearest"}] * len(first(design))
    for row, found in zip(result["tightest"], first(design), strict=True):
        assert (row["what"], row["other"], row["tried"]) == (found.what, found.other, found.tried)
        for said, near in zip(row["nearest"], found.nearest, strict=True):
            assert tuple(said["subjects"]) == near.subjects
            assert (said["measured_mm"], said["required_mm"]) == (near.measured, near.required)
            assert said["margin_mm"] == near.measured - near.required
            short = said["margin_mm"] < -1e-6
            about = [f for f in result["findings"] if set(f["subjects"]) == set(near.subjects)]
            assert about or not short, "what is short has a finding"


def test_what_reads_alike_is_said_once_with_how_often_and_every_board_is_there() -> None:
    """Parts without letters that are too near the edge read alike; their count stays, and a program gets each."""
    design = with_companions()
    rows = json.loads(reporting.as_json(design, service.check_design(design)))["results"]
    assert [row["board"] for row in rows] == ["deck", "grille", "fan", "sockets"]
    assert all(f" {board.name}, " in text(design) for board in design.boards)
    deck = load_scenario("pine-shelf-compact")
    within = deck.boards[0].arrangements[0]
    low = tuple(
        p.model_copy(update={"label": "", "y": 20.0}) if p.part.startswith("button") else p for p in within.placements
    )
    low_deck = deck.boards[0].model_copy(update={"arrangements": (within.model_copy(update={"placements": low}),)})
    design = deck.model_copy(update={"boards": (low_deck,)})
    said, found = text(design), json.loads(reporting.as_json(design, service.check_design(design)))["results"][0]
    messages = Counter((row["message"], row["rule"]) for row in found["findings"])
    assert max(messages.values()) > 1
    told = 0
    for (message, rule), many in messages.items():
        counts = re.findall(re.escape(f"{message} ({rule}") + r"(?:, (\d+) times)?\)", said)
        assert (
            sum(int(count or 1) for count in counts) == many
        )  # those that read alike but ask for another remedy apart
        told += len(counts)
    assert told < sum(messages.values())
