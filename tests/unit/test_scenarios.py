"""The scenarios that come with the program: the good ones have nothing to mend, one breaks every rule once."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_files, scenario_list
from app.errors import NotFoundError
from app.fit.registry import RULES as ALL_RULES
from app.fit.report.report import Report, check

RULES = tuple(rule.name for rule in ALL_RULES)
BROKEN = "leaky-raft"
PLACES = [(s.id, b.id, a.id) for s in scenario_list() for b in s.design.boards for a in b.arrangements]
CABINETS = ("foundry-yard-cabinet", "orchard-row-cabinet")


def report(scenario: str, board: str | None = None, arrangement: str | None = None) -> Report:
    return check(resolve(load_scenario(scenario), board, arrangement, catalogue()), catalogue())


@pytest.mark.parametrize(("scenario", "board", "arrangement"), [place for place in PLACES if place[0] != BROKEN])
def test_a_good_scenario_has_no_stop_and_no_caution(scenario: str, board: str, arrangement: str) -> None:
    found = report(scenario, board, arrangement)
    assert [(f.rule, f.severity, f.subjects) for f in (*found.stops, *found.cautions)] == []


def test_the_broken_scenario_breaks_every_rule_once() -> None:
    found = report(BROKEN)
    assert Counter(f.rule for f in (*found.stops, *found.cautions)) == dict.fromkeys(RULES, 1)


def test_the_broken_scenario_s_notes_explain_every_break_by_its_labels() -> None:
    design = load_scenario(BROKEN)
    lines = {line.partition(":")[0]: line for line in design.notes.splitlines()[1:]}
    assert set(lines) == set(RULES)
    labels = {p.id: p.label for p in design.boards[0].arrangements[0].placements}
    for finding in report(BROKEN).findings:
        if finding.severity != "note":
            for subject in finding.subjects:
                assert labels[subject] in lines[finding.rule].replace(".", " ").split()


def test_there_are_the_five_that_were_asked_for() -> None:
    decks = {s.id: s.design.boards[0] for s in scenario_list()}
    solo = decks["lantern-hill-solo"]
    stick = solo.arrangements[0].placements[0]
    assert [(layer.material, layer.thickness) for layer in solo.layers] == [("mdf", 19.05)]
    assert stick.x == solo.outline.corners[1].x / 2, "dead centre"
    two = decks["harbour-lane-two-seater"]
    assert [(layer.material, layer.thickness) for layer in two.layers] == [("mdf", 18.0)]
    assert sum(p.part.startswith("stick") for p in two.arrangements[0].placements) == 2
    reach = decks["willow-court-easy-reach"]
    assert [layer.material for layer in reach.layers] == ["acrylic", "plywood"]
    assert sum(p.part == "button-60-nut" for p in reach.arrangements[0].placements) == 4
    small = load_scenario("pine-shelf-compact")
    assert (small.units, small.shop.paper) == ("inch", "letter")
    assert all(bit.inch for bit in small.shop.bits)
    assert small.boards[0].outline.corners[1].x == pytest.approx(14 * 25.4, abs=1e-9)


@pytest.mark.parametrize("name", CABINETS)
def test_a_whole_cabinet_has_every_companion_and_what_its_fan_blows_out_comes_in(name: str) -> None:
    design = load_scenario(name)
    made = [a.makers[0].maker for b in design.boards[1:] for a in b.arrangements]
    assert made == ["grille", "grille", "fan", "display", "sockets", "door", "header"]
    assert {b.role for b in design.boards[1:]} == {"companion"}
    fan = next(b for b in design.boards if b.arrangements[0].makers[:1] and b.arrangements[0].makers[0].maker == "fan")
    assert [f for f in report(name, fan.id).findings if f.severity != "note" or f.rule == "air-flow"] == []


@pytest.mark.parametrize("path", scenario_files(), ids=lambda path: path.stem)
def test_a_scenario_is_invented_says_so_and_is_saved_as_the_program_saves(path: Path) -> None:
    design = loads(path.read_bytes())
    assert design.notes.startswith("Invented for demonstration.")
    assert dumps(design).encode("utf-8") == path.read_bytes()


def test_the_one_player_arrangement_shares_its_holes_and_letters_with_the_two_player_one() -> None:
    two, one = load_scenario("harbour-lane-two-seater").boards[0].arrangements
    both = {p.label: p for p in two.placements}
    assert len(one.placements) < len(two.placements)
    assert all(both[p.label] == p for p in one.placements)


def test_a_scenario_that_is_not_there_says_which_are() -> None:
    with pytest.raises(NotFoundError, match=r'no scenario "\.\./pyproject".*harbour-lane-two-seater'):
        load_scenario("../pyproject")
