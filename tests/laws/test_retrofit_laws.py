"""Laws of a retrofit: the same state needs nothing; every hole is accounted for; nobody finds less work by trying all.

Least work is compared with every combination of ways there is, each judged by the rules on the board as it would be.
"""

from __future__ import annotations

import math
from collections import Counter
from itertools import product

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.fit.report.report import check
from app.geometry.shapes import circle
from app.model.as_built import CutKey
from app.model.resolved import ResolvedBoard
from app.retrofit.cut import cuts_of, made_cuts
from app.retrofit.left_open import OLD, is_hidden_by_it, left_open
from app.retrofit.meeting import meetings
from app.retrofit.option import OldWay
from app.retrofit.options import Possible, possible
from app.retrofit.retrofit import Retrofit, retrofit
from app.values import replace
from tests.boards.drilled_boards import NUT_24, NUT_28, NUT_30, Button, drilled_board
from tests.boards.scenario_cuts import scenario_files
from tests.long_run import examples, rows_in_gate

STICK = "stick-plate-95x53"
_PLACES = st.tuples(st.integers(12, 28), st.integers(8, 16)).map(lambda at: (at[0] * 7.5, at[1] * 7.5))
_PARTS = st.sampled_from([NUT_24, NUT_28, NUT_30, "button-12-nut-short", STICK])


@st.composite
def boards(draw: st.DrawFn, most: int = 3) -> ResolvedBoard:
    """A board of up to a few parts, near each other or upon each other."""
    some = draw(st.lists(st.tuples(_PLACES, _PARTS), min_size=0, max_size=most))
    return drilled_board([(f"p{k}", x, y, part) for k, ((x, y), part) in enumerate(some)])


@st.composite
def pairs(draw: st.DrawFn) -> tuple[ResolvedBoard, ResolvedBoard]:
    """A board and another state of it: its parts moved a little or a lot, exchanged, gone, and some that are new."""
    some = draw(st.lists(st.tuples(_PLACES, st.sampled_from([NUT_24, NUT_28, NUT_30])), min_size=1, max_size=4))
    old: list[Button] = [(f"p{k}", x, y, part) for k, ((x, y), part) in enumerate(some)]
    new: list[Button] = []
    for ident, x, y, part in old:
        what = draw(st.sampled_from(["same", "near", "far", "other", "gone"]))
        if what == "near":
            x, y = x + draw(st.sampled_from([-9.0, -2.0, 0.5, 1.0, 6.0])), y + draw(st.sampled_from([-3.0, 0.0, 12.0]))
        elif what == "far":
            x, y = draw(_PLACES)
        elif what == "other":
            part = draw(_PARTS)
        if what != "gone":
            new.append((ident, x, y, part))
    return drilled_board(old), drilled_board(new)


@pytest.mark.parametrize("file", scenario_files(), ids=lambda path: path.stem)
def test_the_same_state_needs_nothing(file: object) -> None:
    design = load_scenario(file.stem)  # type: ignore[attr-defined]
    for board in design.boards:
        for arrangement in board.arrangements:
            there = resolve(design, board.id, arrangement.id, catalogue())
            found = retrofit(there, there, catalogue())
            assert (found.minutes, found.board, found.gained) == (0, (), ())
            assert all(s.kept is not None and s.kept.key == s.cut.key for s in found.new_steps)
            assert found.reasons or found.verdict == "nothing"


CABINETS = [("foundry-yard-cabinet", "orchard-row-cabinet"), ("orchard-row-cabinet", "foundry-yard-cabinet")]


@pytest.mark.parametrize(("older", "newer"), rows_in_gate(CABINETS, lambda row: row == CABINETS[0]))
def test_boards_that_makers_made_end_as_good_as_fresh_ones(older: str, newer: str) -> None:
    """Grilles, fans, doors and plates of a cabinet become those of another, or have to be made anew for a reason."""
    old, new = load_scenario(older), load_scenario(newer)
    done = 0
    for board in new.boards:
        there = [resolve(design, board.id, None, catalogue()) for design in (old, new)]
        found = retrofit(there[0], there[1], catalogue())
        assert found.minutes > 0
        if found.verdict == "anew":
            assert found.reasons or found.gained
        else:
            _ends_as_a_fresh_one(found)
            done += 1
    assert done >= 2 * (older == "foundry-yard-cabinet")


@given(both=pairs())
@examples(40)
def test_every_old_cut_is_accounted_for_and_every_new_one_made_once(both: tuple[ResolvedBoard, ResolvedBoard]) -> None:
    old, new = both
    found = retrofit(old, new, catalogue())
    assert [s.cut for s in found.old_steps] == list(made_cuts(old))
    assert [s.cut for s in found.new_steps] == list(cuts_of(new))
    kept = [s.kept.key for s in found.new_steps if s.kept is not None]
    assert len(kept) == len(set(kept))
    assert sorted(kept) == sorted(s.cut.key for s in found.old_steps if s.taken.kind == "keep")
    gone = Counter(cut.key for s in found.new_steps for cut in s.within)
    assert gone == Counter(s.cut.key for s in found.old_steps if s.taken.kind == "enlarge")
    total = sum(s.taken.minutes for s in found.old_steps) + sum(s.minutes for s in found.new_steps)
    assert found.minutes == pytest.approx(total + sum(w.minutes for w in found.board))


@given(both=pairs())
@examples(40)
def test_a_board_that_is_not_made_anew_ends_as_good_as_a_fresh_one(both: tuple[ResolvedBoard, ResolvedBoard]) -> None:
    old, new = both
    found = retrofit(old, new, catalogue())
    if found.verdict != "anew":
        _ends_as_a_fresh_one(found)


def _ends_as_a_fresh_one(found: Retrofit) -> None:
    """Nothing is found on the board as it will be that is not found on a fresh one, and plugs hold."""
    fresh = Counter((f.rule, f.severity, f.subjects) for f in check(found.new, catalogue()).findings)
    final = Counter(
        (f.rule, f.severity, f.subjects)
        for f in check(found.final, catalogue()).findings
        if f.rule != "flange-overlap" or not any(i.startswith(OLD) for i in f.subjects)
    )
    assert not [key for key in final - fresh if key[1] != "note"]
    _plugs_hold(found)


def _plugs_hold(found: Retrofit) -> None:
    """Between each plug and each hole drilled anew there is the least web, or enough is left of the plug."""
    off = 2 * found.new.tooling.drilling.position  # both holes off toward each other
    least = 3.0  # mm: web_stop of MDF in the catalogue's table of materials
    for old in found.old_steps:
        if old.taken.kind != "plug":
            continue
        for new in found.new_steps:
            if new.kept is not None or new.cut.depth is not None or new.cut.width <= 8:
                continue
            apart, r, hole = (
                math.dist(old.cut.shape.centre, new.cut.shape.centre),
                old.taken.wide / 2,
                new.cut.width / 2,
            )
            if apart >= r + hole:
                assert apart - r - hole >= least + off - 1e-6
            elif apart + r > hole:
                left = [apart + r - hole] + ([r - apart - hole] if r - apart > hole else [])
                assert min(left) >= least + off - 1e-6


@given(both=pairs())
@examples(25)
def test_trying_every_combination_finds_no_less_work(both: tuple[ResolvedBoard, ResolvedBoard]) -> None:
    old, new = both
    could = possible(meetings(made_cuts(old), cuts_of(new), new, catalogue()), old.boundary)
    assume(math.prod(map(len, could.options)) <= 300)
    found = retrofit(old, new, catalogue())
    best = min((_minutes(could, combo) for combo in product(*could.options) if _is_good(could, combo)), default=None)
    if best is None:
        assert found.verdict == "anew"
    else:
        assert not found.reasons
        assert found.minutes == pytest.approx(best)


def _minutes(could: Possible, combo: tuple[OldWay, ...]) -> float:
    kept = {o.new for o in combo if o.kind == "keep"}
    guided = [j for j, olds in could.led.items() if j not in kept and any(combo[k].kind != "plug" for k in olds)]
    made = sum(could.fresh[j] for j in range(len(could.fresh)) if j not in kept)
    return sum(o.minutes for o in combo) + made + catalogue().rule("retrofit-guide") * len(guided)


def _is_good(could: Possible, combo: tuple[OldWay, ...]) -> bool:
    """Whether no cut is made twice, nothing shows that should not, plugs hold and the rules find nothing more."""
    kept = [o.new for o in combo if o.kind == "keep"]
    if len(kept) > len(set(kept)) or any(o.kind == "open" and not o.hidden for o in combo):
        return False
    for k, option in enumerate(combo):
        if option.kind == "plug" and any(m.is_stop and m.new not in kept for m in could.plugs[k]):
            return False
    left = {OLD + could.meetings.old[k].ident: k for k, o in enumerate(combo) if o.kind == "open"}
    board = _with_kept(could, combo)
    before = Counter((f.rule, f.severity, f.subjects) for f in check(could.meetings.board, catalogue()).findings)
    judged = check(
        board.populated((*board.placements, *(left_open(could.meetings.old[k]) for k in left.values()))), catalogue()
    )
    if board != could.meetings.board:
        now = Counter((f.rule, f.severity, f.subjects) for f in check(board, catalogue()).findings)
        if any(key[1] != "note" for key in now - before):
            return False
    for finding in judged.findings:
        mine = [left[i] for i in finding.subjects if i in left]
        hidden = any(is_hidden_by_it(finding, could.meetings.old[k], combo[k].hidden) for k in mine)
        if mine and finding.severity != "note" and not hidden:
            return False
    return True


def _with_kept(could: Possible, combo: tuple[OldWay, ...]) -> ResolvedBoard:
    """The new board with the holes as wide as they are that are kept for its own."""
    wide = {
        could.meetings.new[o.new].key: could.meetings.old[k].width
        for k, o in enumerate(combo)
        if o.kind == "keep" and o.new is not None and could.meetings.new[o.new].shape.is_circle
    }
    board = could.meetings.board
    rows = []
    for placed in board.placements:
        holes = tuple(
            replace(hole, shape=circle(wide[key], *hole.centre))
            if (key := CutKey(placed.id, "hole", n)) in wide and wide[key] != hole.diameter
            else hole
            for n, hole in enumerate(placed.holes, 1)
        )
        rows.append(placed if holes == placed.holes else replace(placed, holes=holes))
    return board if rows == list(board.placements) else board.populated(tuple(rows))


@given(old=boards(), new=boards())
@examples(15)
def test_what_a_builder_chooses_is_done_and_costs_no_less(old: ResolvedBoard, new: ResolvedBoard) -> None:
    found = retrofit(old, new, catalogue())
    for step in found.old_steps[:3]:
        for kind in {o.kind for o in step.options}:
            other = retrofit(old, new, catalogue(), {step.cut.ident: kind})
            mine = next(s for s in other.old_steps if s.cut.key == step.cut.key)
            assert mine.taken.kind == kind and mine.wanted
            spared = other.reasons or other.told or other.gained  # work that is spared has its price
            assert found.reasons or spared or other.minutes >= found.minutes - 1e-6
