"""The drilling run: the order of work held for every centre, each cut made once, no order with fewer changes of bit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise, permutations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_list
from app.model.part import Face
from app.model.tooling import Bit, Rates
from app.service.edits.makers import board_made
from app.shop.cuts import Cut, cuts_of
from app.shop.drilling_run import best_order, best_run, drilling_run
from app.values import replace
from tests.unit.fit.boards import SHOP, at, board, button

STAGES = st.lists(st.lists(st.sampled_from("abcd"), min_size=1, max_size=4, unique=True), min_size=1, max_size=3)


def changes(order: tuple[tuple[str, ...], ...]) -> int:
    tools = [tool for stage in order for tool in stage]
    return sum(a != b for a, b in zip([None, *tools], tools, strict=False))


@given(STAGES)
def test_no_order_has_fewer_changes_of_bit(stages: list[list[str]]) -> None:
    """Brute force over every order within each stage."""
    fewest = min(changes(order) for order in product(*(tuple(permutations(stage)) for stage in stages)))
    found = best_order(stages)
    assert [sorted(stage) for stage in found] == [sorted(stage) for stage in stages]
    assert changes(found) == fewest


@pytest.mark.parametrize("name", [each.id for each in scenario_list()])
def test_every_cut_is_made_once_and_in_the_order_of_work(name: str) -> None:
    design = load_scenario(name)
    for maker in ("grille", "fan"):
        design = board_made(maker, {})(design).design
    for entry in design.boards:
        for arrangement in entry.arrangements:
            made = resolve(design, entry.id, arrangement.id, catalogue())
            steps, cuts = drilling_run(made), cuts_of(made)
            want = Counter((cut.work, cut.face, round(cut.width, 6), cut.depth) for cut in cuts)
            got: Counter[tuple[str, str, float, float | None]] = Counter()
            for step in steps:
                got[step.work, step.face, round(step.width, 6), step.depth] += step.count
            assert got == want
            opened = {cut.owner for cut in cuts if cut.work in ("through", "opening")}
            held = any(cut.face == "under" and cut.work != "screw pilot" and cut.owner in opened for cut in cuts)
            assert sum(step.turn for step in steps) == (2 if held else len({cut.face for cut in cuts}) - 1)
            assert sum(cut.work in ("through", "opening") for cut in cuts) == sum(len(p.holes) for p in made.drilled)
            done = [cut for step in steps for cut in step.cuts]
            assert sorted(map(repr, done)) == sorted(map(repr, cuts)), "each hole is drilled once per operation"
            at = {cut: k for k, cut in enumerate(done)}
            assert not [(a, b) for a in cuts for b in before(a, cuts) if at[b] > at[a]]
            for step in steps:
                assert (step.depth is None) == (step.work in ("pilot", "through", "opening"))


FLAT = ("counterbore", "recess")


def before(cut: Cut, cuts: Sequence[Cut]) -> list[Cut]:
    """What has to be made before a cut, by the order of work of the trade, written down here a second time.

    A hole: pilot, then what is cut flat about it, then the hole; a screw in a recess: after the recess. Every pilot
    before anything from below, for the pilots tie the two faces.
    """
    if cut.work == "pilot":
        return []
    found = [each for each in cuts if each.work == "pilot" and (cut.face == "under" or each.owner == cut.owner)]
    if cut.work not in FLAT and (cut.work != "screw pilot" or cut.face == "under"):
        found += [each for each in cuts if each.owner == cut.owner and each.work in FLAT]
    if cut.work == "through":
        found += [each for each in cuts if each.owner == cut.owner and each.work == "halfway"]
    return found


@st.composite
def small_boards(draw: st.DrawFn) -> list[Cut]:
    """A few parts, each with a hole and perhaps something from below, made with few bits."""
    cuts: list[Cut] = []
    bits = [Bit("forstner", float(width), 50.0) for width in (20, 28, 35)]
    small = [Bit("twist", 3.0, 50.0), Bit("twist", 2.0, 50.0)]
    for owner in "abc"[: draw(st.integers(1, 3))]:
        hole = draw(st.sampled_from([None, *bits]))
        if hole is not None:
            cuts += [Cut("pilot", "top", small[0], 3.0, None, owner, owner)]
            cuts += [Cut("through", "top", hole, hole.diameter, None, owner, owner)]
        flat = draw(st.sampled_from([None, None, *bits]))
        if flat is not None:
            cuts.append(Cut("counterbore", "under", flat, flat.diameter, 5.0, owner, owner))
        if draw(st.booleans()):
            faces: list[Face] = ["top", "under"]
            face = draw(st.sampled_from(faces))
            bit = draw(st.sampled_from(small))
            cuts.append(Cut("screw pilot", face, bit, bit.diameter, 12.0, owner, owner))
    return cuts


def fewest(cuts: Sequence[Cut]) -> tuple[int, int]:
    """Fewest turnings, then changes of bit, over every order that the order of work allows."""
    index = {id(cut): k for k, cut in enumerate(cuts)}
    needs = [sum(1 << index[id(each)] for each in before(cut, cuts)) for cut in cuts]
    best: dict[tuple[int, str, str], tuple[int, int]] = {(0, "", ""): (0, 0)}
    for mask in range((1 << len(cuts)) - 1):
        for (done, face, tool), (turns, changes) in [each for each in best.items() if each[0][0] == mask]:
            for k, cut in enumerate(cuts):
                if done >> k & 1 or needs[k] & ~done:
                    continue
                key = (done | 1 << k, cut.face, cut.tool)
                cost = (turns + (face not in ("", cut.face)), changes + (tool != cut.tool))
                best[key] = min(best.get(key, cost), cost)
    return min(cost for (done, _, _), cost in best.items() if done == (1 << len(cuts)) - 1)


@given(small_boards())
def test_no_order_of_work_has_fewer_turnings_or_then_fewer_changes(cuts: list[Cut]) -> None:
    """Brute force: every order of a small board, by the sets of what is done already."""
    stages, order = best_run(cuts)
    run: list[Cut] = []
    for stage, tools in zip(stages, order, strict=True):
        run += [cut for tool in tools for cut in stage if cut.tool == tool]
    assert sorted(map(repr, run)) == sorted(map(repr, cuts))
    place = {id(cut): k for k, cut in enumerate(run)}
    assert not [(a, b) for a in cuts for b in before(a, cuts) if place[id(b)] > place[id(a)]], "the order of work"
    turns = sum(a.face != b.face for a, b in pairwise(run))
    taken = sum(a.tool != b.tool for a, b in pairwise(run)) + bool(run)
    assert (turns, taken) == (fewest(cuts) if cuts else (0, 0))


def test_a_bit_that_does_not_reach_through_drills_from_both_faces_and_the_holes_meet() -> None:
    """A bit that reaches 12 mm in a board of 18 mm: begun from below, 10 mm deep, 1 mm past the middle."""
    short = replace(SHOP, bits=(Bit("forstner", 28.0, 12.0), Bit("twist", 3.0, 60.0)))
    part = button(28, flange=32, body=20)
    made = board(at(200, 150, part), at(300, 150, part, name="b"))
    holes = [tuple(replace(hole, bit=short.bits[0]) for hole in placed.holes) for placed in made.placements]
    placements = tuple(replace(p, holes=own) for p, own in zip(made.placements, holes, strict=True))
    made = replace(made, tooling=short, placements=placements)
    steps = drilling_run(made)
    assert [(step.work, step.face, step.count) for step in steps] == [
        ("pilot", "top", 2), ("halfway", "under", 2), ("through", "top", 2),
    ]  # fmt: skip
    depth = steps[1].depth
    assert depth is not None and depth == made.thickness / 2 + 1.0
    assert depth <= 12.0 and made.thickness - depth <= 12.0, "the bit reaches, from either face"
    assert sum(step.change for step in steps) == 2, "it stays in the chuck while the board is turned"
    long = replace(made, tooling=replace(short, bits=(Bit("forstner", 28.0, 30.0), short.bits[1])))
    holes = [tuple(replace(hole, bit=long.tooling.bits[0]) for hole in placed.holes) for placed in made.placements]
    placements = tuple(replace(p, holes=own) for p, own in zip(made.placements, holes, strict=True))
    assert not any(step.work == "halfway" for step in drilling_run(replace(long, placements=placements)))


def test_minutes_are_by_the_builders_rates() -> None:
    made = resolve(load_scenario("harbour-lane-two-seater"), None, None, catalogue())
    steps = drilling_run(made, Rates(hole=30.0, counterbore=90.0, change=60.0, turning=120.0))
    flat = sum(step.count for step in steps if step.work in ("counterbore", "recess", "opening"))
    holes = sum(step.count for step in steps) - flat
    changes, turns = sum(step.change for step in steps), sum(step.turn for step in steps)
    want = (30.0 * holes + 90.0 * flat + 60.0 * changes + 120.0 * turns) / 60
    assert sum(step.minutes for step in steps) == pytest.approx(want)
