"""What is accepted of a hole is accepted in every arrangement in which that hole says the same."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.where import Where
from app.fit.report.report import Report
from app.service.checks.checking import named_findings
from app.service.edits.accepting import accepted, accepted_all, withdrawn
from app.service.edits.changes import placed
from app.service.edits.shop_changes import settings_set
from app.service.workshop import Workshop, open_workshop

TWO, ONE = Where(None, "two"), Where(None, "one")
WHY = "The apron stiffens this edge."


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    made = open_workshop(tmp_path)
    yield made
    made.close()


@pytest.fixture
def deck(workshop: Workshop) -> str:
    """A two-player deck; the first player's hole E, which both arrangements share, is too near the front edge."""
    made = workshop.create(NewDeck(players=2, buttons=4, width=760, depth=260)).design.id
    workshop.edit(made, TWO, placed(TWO, "e", y=26.5))
    for where in (TWO, ONE):
        assert [f.rule for f in report(workshop, made, where).cautions] == ["edge-distance"]
    return made


def report(workshop: Workshop, deck: str, where: Where) -> Report:
    return workshop.look(deck, where).checked.report


def named(workshop: Workshop, deck: str, where: Where, rule: str) -> str:
    return next(name for name, f in named_findings(report(workshop, deck, where)) if f.rule == rule)


def reasons(workshop: Workshop, deck: str, where: Where) -> list[str]:
    return [s.accepted.reason for s in report(workshop, deck, where).accepted]


@pytest.mark.parametrize(("here", "there", "said"), [(TWO, ONE, "One player"), (ONE, TWO, "Two players")])
def test_the_same_caution_of_the_same_hole_is_accepted_in_both(
    workshop: Workshop, deck: str, here: Where, there: Where, said: str
) -> None:
    before = workshop.design(deck)[1]
    head, _ = workshop.edit(deck, here, accepted(here, named(workshop, deck, here, "edge-distance"), WHY))
    assert head.undo == f"Accepted edge distance of E: {WHY}; also in {said}"
    assert reasons(workshop, deck, here) == reasons(workshop, deck, there) == [WHY]
    assert not report(workshop, deck, there).cautions
    # It wakes in both when the hole they share moves nearer.
    workshop.edit(deck, there, placed(there, "e", y=26.4))
    assert len(report(workshop, deck, here).woken) == len(report(workshop, deck, there).woken) == 1
    workshop.undo(deck)
    head, _ = workshop.edit(deck, there, withdrawn(there, "edge-distance:e:"))
    other = "One player" if there is TWO else "Two players"
    assert head.undo == f"Withdrew acceptance of edge distance of E; also in {other}"
    assert workshop.design(deck)[1] == before


def test_a_group_is_accepted_in_both_in_one_step(workshop: Workshop, deck: str) -> None:
    (group,) = [g for g in workshop.look(deck, TWO).checked.groups() if g.severity == "caution"]
    workshop.edit(deck, TWO, accepted_all(TWO, group.name, WHY))
    assert reasons(workshop, deck, TWO) == reasons(workshop, deck, ONE) == [WHY]
    workshop.undo(deck)
    assert reasons(workshop, deck, TWO) == reasons(workshop, deck, ONE) == []


def test_holes_with_one_name_at_different_places_are_not_one(workshop: Workshop, deck: str) -> None:
    """Where the arrangements have drifted apart, a reason given for one says nothing of the other."""
    design = workshop.design(deck)[1]
    board = design.boards[0]
    two, one = board.arrangements
    # As near the same edge, so with the same figure, but elsewhere along it.
    moved = tuple(p.model_copy(update={"x": p.x + 5}) if p.id == "e" else p for p in one.placements)
    drifted = board.model_copy(update={"arrangements": (two, one.model_copy(update={"placements": moved}))})
    text = dumps(design.model_copy(update={"boards": (drifted,)}))
    copy = workshop.open_file(text.encode()).design.id
    figures = [report(workshop, copy, where).cautions[0].measured for where in (TWO, ONE)]
    assert figures[0] == pytest.approx(figures[1])
    workshop.edit(copy, TWO, accepted(TWO, named(workshop, copy, TWO, "edge-distance"), WHY))
    assert reasons(workshop, copy, TWO) == [WHY] and reasons(workshop, copy, ONE) == []


def test_what_ails_more_holes_in_the_other_arrangement_stays_open_there(workshop: Workshop, deck: str) -> None:
    """Short threads are one finding for all holes of a part: accepted for some holes, it is not for more of them.

    Thread 34, nut 6, spare 1: 27 mm are held. In 27.5 mm half a millimetre of thread shows: a caution.
    """
    workshop.undo(deck)
    workshop.edit(deck, TWO, settings_set(TWO, layers={0: 27.5}, drilling="hand", paper="a4"))

    def short(where: Where) -> tuple[str, ...]:
        found = [f for f in report(workshop, deck, where).cautions if f.rule == "thread-reach"]
        return max((f.subjects for f in found), key=len, default=())

    both, alone = short(TWO), short(ONE)
    assert len(both) == 8 and set(alone) < set(both) and len(alone) == 4
    name = f"thread-reach:{','.join(alone)}:0"
    workshop.edit(deck, ONE, accepted(ONE, name, WHY))
    assert short(ONE) == () and short(TWO) == both
    workshop.undo(deck)
    workshop.edit(deck, TWO, accepted(TWO, f"thread-reach:{','.join(both)}:0", WHY))
    assert short(ONE) == short(TWO) == ()
