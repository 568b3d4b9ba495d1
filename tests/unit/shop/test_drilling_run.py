"""The drilling run: the order of work held for every centre, each cut made once, no order with fewer changes of bit."""

from __future__ import annotations

from collections import Counter
from itertools import permutations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario, scenario_list
from app.service.edits.makers import board_made
from app.shop.drilling_run import best_order, cuts_of, drilling_run

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
    for board in design.boards:
        for arrangement in board.arrangements:
            made = resolve(design, board.id, arrangement.id, catalogue())
            steps, cuts = drilling_run(made), cuts_of(made)
            want = Counter((cut.work, cut.face, round(cut.width, 6), cut.depth) for cut in cuts)
            got: Counter[tuple[str, str, float, float | None]] = Counter()
            for step in steps:
                got[step.work, step.face, round(step.width, 6), step.depth] += step.count
            assert got == want
            below = any(cut.face == "under" for cut in cuts)
            assert sum(step.turn for step in steps) == (2 if below else 0)
            assert sum(cut.work in ("through", "opening") for cut in cuts) == sum(len(p.holes) for p in made.drilled)
            place = {work: [k for k, step in enumerate(steps) if step.work == work] for work in WORKS}
            for first, second in (("pilot", "counterbore"), ("pilot", "through"), ("counterbore", "through")):
                assert not place[first] or not place[second] or max(place[first]) < min(place[second])
            for step in steps:
                assert (step.depth is None) == (step.work in ("pilot", "through", "opening"))


WORKS = ("pilot", "counterbore", "recess", "screw pilot", "through", "opening")
