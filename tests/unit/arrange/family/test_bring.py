"""Boards, arrangements and cut-outs brought from one design to another: whole, once, under letters of their own.

What is right is said by what it was: a board that was brought is judged as where it came from, an arrangement has the
same parts at the same places, and nothing else of the design is another. No figure here is output pasted back.
"""

from __future__ import annotations

import itertools
from collections import Counter
from time import process_time

import pytest

from app.arrange.change import with_arrangement, with_board, with_placement
from app.arrange.design.arrangements import remove_arrangement
from app.arrange.family.bring import Bringing, bring
from app.arrange.family.carried import own_things
from app.arrange.family.wanted import BringSource, BringWays, Wanted, checked_wanted, wanted_of
from app.arrange.letters import letters
from app.arrange.placement.edit import move_by
from app.catalogue.load import catalogue
from app.compare.applying import applied
from app.compare.compared import compared, unsaid
from app.document.as_built_schema import MarkEntry
from app.document.keep import kept
from app.document.legend_schema import LegendEntry
from app.document.resolve import find_arrangement, find_board
from app.document.scenarios import load_scenario, scenario_files
from app.document.schema import AcceptedEntry, ArrangementEntry, BoardEntry, Design, LayerEntry
from app.document.where import Where
from app.document.wiring_schema import FixedPinEntry, WiringPlanEntry
from app.errors import EditError, NotFoundError
from app.model.limits import PARTS
from app.service.checks.checking import check_design
from app.service.edits.makers import made_anew, made_on_board
from app.service.edits.shared_holes import same_hole
from tests.companions import with_companions
from tests.long_run import rows_in_gate

SCENARIOS = sorted(path.stem for path in scenario_files())
TWO, SOLO, YARD, ROW = (
    load_scenario(name)
    for name in ("harbour-lane-two-seater", "lantern-hill-solo", "foundry-yard-cabinet", "orchard-row-cabinet")
)
ONE = Wanted("arrangement", "deck", "one")
GRILLE = Wanted("board", "grille")


def brought(
    target: Design, source: Design, *wanted: Wanted, replace: bool = False, centred: bool = False, ident: str = ""
) -> Bringing:
    return bring(target, BringSource(source, ident), wanted, catalogue(), BringWays(replace=replace, centred=centred))


def with_sockets(design: Design, maker: str = "sockets") -> Design:
    """A design with what a maker makes on its deck, small and off to the right."""
    return made_on_board(Where("deck", None), maker, {}, (300.0, 60.0))(design).design


def one_letter_one_hole(board: BoardEntry) -> bool:
    """Whether no letter of a board stands for two holes, nor is retired while it stands."""
    rows = [p for a in board.arrangements for p in a.placements if p.label]
    by = {p.label.upper(): p for p in rows}
    retired = {r.upper() for a in board.arrangements for r in a.retired}
    return all(same_hole(p, by[p.label.upper()]) for p in rows) and not retired & by.keys()


def holes(arrangement: ArrangementEntry) -> Counter[tuple[object, ...]]:
    return Counter((p.x, p.y, p.angle, p.drill, p.counterbore, p.recess) for p in arrangement.placements)


def is_next(pair: tuple[str, ...]) -> bool:
    """Whether the second comes after the first, the first after the last: the gate tries each twice."""
    return (SCENARIOS.index(pair[0]) + 1) % len(SCENARIOS) == SCENARIOS.index(pair[1])


@pytest.mark.parametrize(("source", "target"), rows_in_gate(itertools.permutations(SCENARIOS, 2), is_next))
def test_everything_of_each_scenario_comes_to_each_other_one(source: str, target: str) -> None:
    """One thing at a time: it is there as it was, all else is untouched, and a second time there is nothing to do."""
    there, here = load_scenario(source), load_scenario(target)
    board = there.boards[-1]
    for wanted in (Wanted("board", board.id), Wanted("arrangement", "deck", find_board(there).arrangements[-1].id)):
        done = brought(here, there, wanted)
        kept(done.design)
        new = find_board(done.design, done.places[0][0])
        assert one_letter_one_hole(new)
        others = [b for b in done.design.boards if b.id != new.id]
        assert others == [b for b in here.boards if b.id != new.id]
        if wanted.sort == "arrangement":
            came = find_arrangement(new, done.places[0][1])
            assert holes(came) == holes(find_arrangement(find_board(there), wanted.arrangement))
            assert new.arrangements[:-1] == find_board(here).arrangements
        again = brought(done.design, there, wanted)
        assert again.same
        assert again.design == done.design
        found = compared(here, done.design, catalogue())
        assert applied(here, found.differences) == done.design
        assert {d.path[-1] for d in unsaid(found)} <= {"retired", "gone"}
        assert any(f"brought from “{there.title}”" in c.sentence for c in found.changes)


def test_a_board_is_judged_as_where_it_came_from() -> None:
    here = ROW.model_copy(update={"shop": YARD.shop, "units": YARD.units})
    done = brought(here, YARD, GRILLE, Wanted("board", "door"))
    for (board, _), source in zip(done.places, ("grille", "door"), strict=True):
        now, was = (check_design(d, b)[0].report for d, b in ((done.design, board), (YARD, source)))
        assert [(f.rule, f.severity, f.subjects, f.measured) for f in now.findings] == [
            (f.rule, f.severity, f.subjects, f.measured) for f in was.findings
        ]


def test_a_board_takes_an_id_and_a_name_of_its_own_and_becomes_a_companion() -> None:
    done = brought(ROW, YARD, GRILLE, Wanted("board", "deck"))
    names = [b.name for b in done.design.boards]
    assert len(set(map(str.casefold, names))) == len(names)
    assert [b.role for b in done.design.boards].count("deck") == 1
    assert "so this one is called “Grille, left 2”" in " ".join(done.notes)
    gone = SOLO.model_copy(update={"gone": ("grille",)})
    assert brought(gone, YARD, GRILLE).places[0][0] != "grille"


def test_own_hardware_comes_along_once_and_what_is_another_stays() -> None:
    done = brought(SOLO, YARD, GRILLE)
    came, own = own_things(done.design), own_things(YARD)
    placed = {p.part for p in find_board(YARD, "grille").arrangements[0].placements} & own.keys()
    assert came == {name: own[name] for name in placed}
    both = brought(ROW, YARD, GRILLE)
    assert set(both.design.patterns) > set(ROW.patterns)
    assert len({p.id for p in both.design.patterns}) == len(both.design.patterns)
    assert "so both stay" in " ".join(both.notes)
    shadow = YARD.hardware[0].model_copy(update={"id": find_board(TWO).arrangements[1].placements[0].part})
    with pytest.raises(EditError, match="built-in hardware has too"):
        brought(SOLO.model_copy(update={"hardware": (shadow,)}), TWO, ONE)


def test_what_is_improved_takes_the_place_of_what_came_before_under_the_same_letters() -> None:
    first = brought(SOLO, TWO, ONE).design
    moved = move_by(TWO, "deck", "one", find_arrangement(find_board(TWO), "one").placements[0].id, 0.0, -2.0).design
    done = brought(first, moved, ONE)
    was, now = (find_arrangement(find_board(d), done.places[0][1]) for d in (first, done.design))
    assert [(p.id, p.label) for p in was.placements] == [(p.id, p.label) for p in now.placements]
    assert holes(now) == holes(find_arrangement(find_board(moved), "one"))
    assert len(find_board(done.design).arrangements) == len(find_board(first).arrangements)
    assert not done.changed
    sentences = [c.sentence for c in compared(first, done.design, catalogue()).changes]
    assert any("was brought again from" in each for each in sentences)
    assert any("moved 2 mm to the front" in each for each in sentences)


def test_a_part_that_goes_retires_its_letter_and_a_new_one_never_gets_it() -> None:
    first = brought(SOLO, TWO, ONE).design
    rows = find_arrangement(find_board(TWO), "one").placements
    lost = find_arrangement(find_board(first), brought(first, TWO, ONE).places[0][1]).placements[-1].label
    fewer = with_arrangement(TWO, "deck", "one", lambda a: a.model_copy(update={"placements": rows[:-1]}))
    after = brought(first, fewer, ONE).design
    new = rows[-1].model_copy(update={"id": "fresh", "label": lost, "x": rows[-1].x + 1.0})
    more = with_arrangement(TWO, "deck", "one", lambda a: a.model_copy(update={"placements": (*rows[:-1], new)}))
    board = find_board(brought(after, more, ONE).design)
    assert one_letter_one_hole(board)
    assert lost in {r for a in board.arrangements for r in a.retired}


def test_a_legend_that_letters_the_letter_of_its_part_follows_it() -> None:
    rows = find_arrangement(find_board(TWO), "one").placements
    texts = (rows[0].label, "GO")
    lettered = [p.model_copy(update={"legend": LegendEntry(text=t)}) for p, t in zip(rows, texts, strict=False)]
    source = with_arrangement(TWO, "deck", "one", lambda a: a.model_copy(update={"placements": (*lettered, *rows[2:])}))
    done = brought(SOLO, source, ONE)
    came = find_arrangement(find_board(done.design), done.places[0][1]).placements
    assert came[0].label != rows[0].label
    assert [p.legend.text for p in came[:2] if p.legend] == [came[0].label, "GO"]


def test_a_full_arrangement_is_brought_to_a_full_board_in_a_moment() -> None:
    """As many parts as there may be, every letter of them taken: what is long is judging, not naming."""
    one = find_arrangement(find_board(TWO), "one").placements[0]
    texts = list(itertools.islice(letters(), PARTS.most))
    full = [
        one.model_copy(update={"id": f"p{k}", "label": t, "x": 5.0 * k, "station": ""}) for k, t in enumerate(texts)
    ]
    source = with_arrangement(TWO, "deck", "one", lambda a: a.model_copy(update={"placements": tuple(full)}))
    other = tuple(p.model_copy(update={"y": p.y + 1.0}) for p in full)
    target = with_arrangement(SOLO, "deck", "one", lambda a: a.model_copy(update={"placements": other}))
    began = process_time()
    done = brought(target, source, ONE)
    assert process_time() - began < 2.0
    assert one_letter_one_hole(find_board(done.design))
    assert len({p.label for p in find_arrangement(find_board(done.design), done.places[0][1]).placements}) == PARTS.most


def test_holes_that_are_there_already_stay_one_hole_under_one_letter() -> None:
    """A copy without the arrangement gets it back: the holes both share are the same, so nothing is drilled twice."""
    board = find_board(TWO)
    bare = with_board(TWO, board.model_copy(update={"arrangements": board.arrangements[:1], "gone": None}))
    done = brought(bare, TWO, ONE)
    assert find_arrangement(find_board(done.design), "one") == find_arrangement(board, "one")


def test_what_was_changed_since_is_told_of_and_what_was_accepted_stays() -> None:
    first = brought(SOLO, TWO, ONE)
    where = first.places[0]
    held = find_arrangement(find_board(first.design), where[1]).placements[0]
    accepted = AcceptedEntry(rule="web", subjects=(held.id,), measured=2.0, reason="A trial.")
    reasoned = with_arrangement(first.design, *where, lambda a: a.model_copy(update={"accepted": (accepted,)}))
    assert brought(reasoned, TWO, ONE).same
    touched = move_by(reasoned, *where, held.id, 1.0, 0.0).design
    done = brought(touched, TWO, ONE)
    assert done.changed
    assert find_arrangement(find_board(done.design), where[1]).accepted == (accepted,)


@pytest.mark.parametrize("wanted", [ONE, GRILLE])
def test_what_is_locked_or_drilled_is_not_replaced(wanted: Wanted) -> None:
    source = YARD
    first = brought(SOLO, source, wanted)
    board, arrangement = first.places[0]
    held = find_arrangement(find_board(first.design, board), arrangement or None).placements[0]
    locked = with_placement(first.design, board, arrangement or None, held.id, locked=True)
    with pytest.raises(EditError, match=rf"{held.label} is locked in “.*Unlock first"):
        brought(locked, source, wanted)
    mark = MarkEntry(placement=held.id, cut="hole-1", work="through", at=(held.x, held.y), width=28.0)
    drilled = with_arrangement(
        first.design, board, arrangement or None, lambda a: a.model_copy(update={"as_built": (mark,)})
    )
    with pytest.raises(EditError, match=rf"{held.label} is drilled already"):
        brought(drilled, source, wanted)


def test_what_is_locked_where_it_comes_from_holds_nothing_up() -> None:
    held = find_arrangement(find_board(TWO), "one").placements[0]
    source = with_placement(TWO, "deck", "one", held.id, locked=True)
    first = brought(SOLO, source, ONE).design
    better = with_placement(source, "deck", "one", held.id, y=held.y + 1.0)
    done = brought(first, better, ONE)
    assert holes(find_arrangement(find_board(done.design), done.places[0][1])) == holes(
        find_arrangement(find_board(better), "one")
    )


def test_in_a_copy_it_replaces_what_has_the_same_id_only_where_that_is_asked_for() -> None:
    copy = TWO.model_copy(update={"title": "A copy"})
    better = move_by(TWO, "deck", "one", find_arrangement(find_board(TWO), "one").placements[0].id, 0, -2.0).design
    beside, instead = brought(copy, better, ONE), brought(copy, better, ONE, replace=True)
    assert len(find_board(beside.design).arrangements) == 3
    assert len(find_board(instead.design).arrangements) == 2
    assert holes(find_arrangement(find_board(instead.design), "one")) == holes(
        find_arrangement(find_board(better), "one")
    )


def test_the_shelf_tells_two_designs_of_one_title_apart() -> None:
    first = brought(SOLO, TWO, ONE, ident="a1b2c3").design
    assert len(find_board(brought(first, TWO, ONE, ident="d4e5f6").design).arrangements) == 3
    assert len(find_board(brought(first, TWO, ONE, ident="a1b2c3").design).arrangements) == 2
    renamed = TWO.model_copy(update={"title": "Another title"})
    assert len(find_board(brought(first, renamed, ONE, ident="a1b2c3").design).arrangements) == 2


def test_it_is_as_far_from_the_middle_as_it_was_where_that_is_asked_for() -> None:
    def from_middle(design: Design, arrangement: str) -> list[float]:
        board = find_board(design)
        xs = [c.x for c in board.outline.corners]
        middle = (min(xs) + max(xs)) / 2
        return [round(p.x - middle, 6) for p in find_arrangement(board, arrangement).placements]

    done = brought(SOLO, TWO, ONE, centred=True)
    assert from_middle(done.design, done.places[0][1]) == from_middle(TWO, "one")
    plain = brought(SOLO, TWO, ONE)
    assert from_middle(plain.design, plain.places[0][1]) != from_middle(TWO, "one")


@pytest.mark.parametrize("maker", ["sockets", "display", "fan", "grille", "door"])
def test_cut_outs_come_into_every_arrangement_under_one_letter_and_can_be_made_anew_there(maker: str) -> None:
    source = with_sockets(SOLO, maker)
    ident = find_board(source).arrangements[0].makers[-1].id
    wanted = Wanted("cut-outs", "deck", "one", ident)
    done = brought(TWO, source, wanted)
    board = find_board(done.design)
    pieces = [{(p.id, p.label, p.x, p.y) for p in a.placements if p.maker} for a in board.arrangements]
    assert pieces[0]
    assert pieces[0] == pieces[1]
    assert one_letter_one_hole(board)
    assert len(board.outline.openings) - len(find_board(TWO).outline.openings) == len(
        find_board(source).outline.openings
    )
    assert brought(done.design, source, wanted).same
    anew = made_anew(Where("deck", "two"), ident, {}, x=280.0)(done.design).design
    assert {m.x for a in find_board(anew).arrangements for m in a.makers} == {280.0}
    moved = made_anew(Where("deck", "one"), ident, {}, y=70.0)(source).design
    again = brought(done.design, moved, wanted)
    assert {m.y for a in find_board(again.design).arrangements for m in a.makers} == {70.0}
    assert len(find_board(again.design).outline.openings) == len(board.outline.openings)
    assert {p[1] for p in pieces[0]} == {
        p.label for a in find_board(again.design).arrangements for p in a.placements if p.maker
    }


def test_cut_outs_of_the_same_maker_that_are_there_stay_and_both_can_be_made_anew() -> None:
    here, source = with_sockets(TWO), with_sockets(SOLO)
    source = made_anew(Where("deck", "one"), "sockets", {}, y=150.0)(source).design
    done = brought(here, source, Wanted("cut-outs", "deck", "one", "sockets"))
    ids = [m.id for m in find_board(done.design).arrangements[0].makers]
    assert len(ids) == len(set(ids)) == 2
    for ident in ids:
        kept(made_anew(Where("deck", "two"), ident, {}, x=310.0)(done.design).design)


def test_an_arrangement_brings_its_makers_and_their_openings_and_is_wired_to_the_same_parts() -> None:
    source = with_sockets(with_sockets(TWO), "display")
    rows = find_arrangement(find_board(source), "one").placements
    plan = WiringPlanEntry(
        apart=(rows[1].id,), pins=(FixedPinEntry(placement=rows[0].id, tab=1, encoder=rows[2].id, pin=3),)
    )
    source = with_arrangement(source, "deck", "one", lambda a: a.model_copy(update={"wiring": plan}))
    source = with_arrangement(
        source, "deck", "two", lambda a: a.model_copy(update={"makers": (), "placements": a.placements[:4]})
    )
    if not find_arrangement(find_board(source), "one").makers:
        source = with_sockets(source)
    done = brought(SOLO, source, ONE)
    kept(done.design)
    came = find_arrangement(find_board(done.design), done.places[0][1])
    place = {p.id: (p.x, p.y) for p in came.placements}
    assert came.wiring is not None
    assert place[came.wiring.apart[0]] == (rows[1].x, rows[1].y)
    pin = came.wiring.pins[0]
    assert (place[pin.placement], place[pin.encoder]) == ((rows[0].x, rows[0].y), (rows[2].x, rows[2].y))
    assert brought(done.design, source, ONE).same


def test_another_thickness_is_said_in_the_unit_each_was_bought_in() -> None:
    thin = with_board(
        SOLO, find_board(SOLO).model_copy(update={"layers": (LayerEntry(material="mdf", thickness=12.0),)})
    )
    assert "“Control deck” is 12 mm MDF; these holes were laid out for 18 mm MDF." in brought(thin, TWO, ONE).notes


def test_an_arrangement_that_was_deleted_there_comes_again_with_its_board_under_another_id_and_stays_there() -> None:
    whole = Wanted("board", "deck")
    first = brought(SOLO, TWO, whole)
    board = find_board(first.design, first.places[0][0])
    less = remove_arrangement(first.design, board.id, "one").design
    done = brought(less, TWO, whole)
    assert [a.id for a in find_board(done.design, board.id).arrangements] == ["two", "one-2"]
    assert done.changed
    assert brought(done.design, TWO, whole).same


def test_letters_of_a_board_that_comes_again_never_meant_another_hole() -> None:
    """A part of the owner's own took a letter; what comes under that letter gets another, now and later."""
    first = brought(SOLO, YARD, GRILLE).design
    rows = find_board(first, "grille").arrangements[0].placements
    extra = rows[0].model_copy(update={"id": "extra", "label": "C", "maker": None})
    owned = with_arrangement(first, "grille", "one", lambda a: a.model_copy(update={"placements": (*rows, extra)}))
    came = rows[0].model_copy(update={"id": "fresh", "label": "C", "maker": None, "x": rows[0].x + 1.0})
    source = with_arrangement(
        YARD, "grille", "one", lambda a: a.model_copy(update={"placements": (*a.placements, came)})
    )
    done = brought(owned, source, GRILLE)
    letters_now = {p.id: p.label for p in find_board(done.design, "grille").arrangements[0].placements}
    assert letters_now == {rows[0].id: "A", rows[1].id: "B", "fresh": "D"}
    assert "C" in find_board(done.design, "grille").arrangements[0].retired
    assert brought(done.design, source, GRILLE).same


def test_what_comes_with_a_board_is_not_brought_twice() -> None:
    source = with_companions()
    deck = Wanted("board", "deck")
    rest = (ONE, Wanted("cut-outs", "grille", "one", "grille"), GRILLE, deck, deck)
    assert checked_wanted(source, rest) == (GRILLE, deck)


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ((), "Choose at least one"),
        ((Wanted("board", "none"),), "no board"),
        ((Wanted("arrangement", "deck", "none"),), "no arrangement"),
        ((Wanted("cut-outs", "deck", "one", "none"),), "no cut-outs"),
        ((Wanted("cut-outs", "grille", "one", "grille"),), "Bring the board itself"),
        ((Wanted("arrangement", "grille", "one"),), "no board like “Loudspeaker grille”"),
    ],
)
def test_what_cannot_be_brought_is_said(wanted: tuple[Wanted, ...], said: str) -> None:
    with pytest.raises((EditError, NotFoundError), match=said):
        brought(TWO, with_companions(), *wanted)


@pytest.mark.parametrize(
    "text", ["", "board", "board:", "board:a/b", "arrangement:deck", "cut-outs:a/b", "x:y", "a:/b"]
)
def test_a_text_that_names_nothing_is_refused(text: str) -> None:
    with pytest.raises(EditError, match="cannot be brought"):
        wanted_of(text)
    for wanted in (ONE, GRILLE, Wanted("cut-outs", "deck", "one", "fan")):
        assert wanted_of(wanted.text) == wanted
