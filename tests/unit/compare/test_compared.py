"""What a comparison says: one sentence for each change, nothing left out, findings that came and went.

Expected figures are the moves and sizes that the test itself makes.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from app.arrange.placement import edit
from app.catalogue.load import catalogue
from app.compare.change import Comparison
from app.compare.compared import compared, unsaid
from app.compare.difference import differences_of
from app.document.resolve import find_board
from app.document.scenarios import load_scenario
from app.document.schema import DepthBelowEntry, Design, LayerEntry
from app.errors import EditError
from app.units import Unit

MASTER = load_scenario("harbour-lane-two-seater")
PLACED = MASTER.boards[0].arrangements[0].placements
LETTER = {p.id: p.label for p in PLACED}
A, B, C = (p.id for p in PLACED[:3])
NAMES = [catalogue().parts[part].name for part in ("button-28-nut-long", "button-24-nut-long")]
DEPTH = MASTER.boards[0].depth_below or DepthBelowEntry(front=0, back=0)
FREE = f"{DEPTH.front:g} mm free below at the front, {DEPTH.back:g} mm at the back"

Change = Callable[[Design], Design]


def on_deck(**fields: object) -> Change:
    """The deck with other fields."""
    return lambda d: d.model_copy(update={"boards": (d.boards[0].model_copy(update=fields), *d.boards[1:])})


def sentences(after: Design, unit: Unit = Unit.MM) -> list[str]:
    return [change.sentence for change in compared(MASTER, after, catalogue(), unit).changes]


def test_a_design_compared_with_itself_says_nothing() -> None:
    found = compared(MASTER, MASTER, catalogue())
    assert found == Comparison(MASTER.title, MASTER.title, (), (), ())
    assert found.is_same


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda d: edit.move_by(d, None, None, A, 20, -12.5).design,
         f"{LETTER[A]} moved 20 mm to the right and 12.5 mm to the front."),
        (lambda d: edit.remove(d, None, None, A).design, f"{LETTER[A]} is gone."),
        (lambda d: edit.set_label(d, None, None, A, "Z9").design, f"{LETTER[A]} is called Z9 now."),
        (lambda d: edit.set_angle(d, None, None, B, 15).design, f"{LETTER[B]} is turned to 15°, was 0°."),
        (lambda d: edit.drill(d, None, None, B, drill=False).design, f"{LETTER[B]} is left undrilled."),
        (lambda d: edit.set_part(d, None, None, B, "button-24-nut-long", catalogue()).design,
         f"{LETTER[B]} is another part now: {NAMES[1]}, hole 24 mm; it was {NAMES[0]}, hole 28 mm."),
        (on_deck(name="Top board"), "Top board was called Control deck."),
        (on_deck(layers=(LayerEntry(material="mdf", thickness=15.2),)), "Control deck is 15.2 mm MDF, was 18 mm MDF."),
        (on_deck(depth_below=None),
         f"Control deck has no limit below, had {FREE}."),
        (lambda d: d.model_copy(update={"title": "Other"}),
         "The design is called “Other”, was “Harbour Lane two-seater”."),
        (lambda d: d.model_copy(update={"shop": d.shop.model_copy(update={"drilling": "press"})}),
         "The drilling method is Drill press, was Hand drill."),
    ],
)  # fmt: skip
def test_a_change_is_one_sentence(change: Change, said: str) -> None:
    after = change(MASTER)
    found = compared(MASTER, after, catalogue(), Unit.MM)
    own = [c.sentence for c in found.changes if c.arrangement_id in ("", MASTER.boards[0].arrangements[0].id)]
    assert own == [said]
    assert {d.path[-1] for d in unsaid(found)} <= {"retired", "gone"}


def test_inches_are_said_where_they_are_asked_for() -> None:
    after = edit.move_by(MASTER, None, None, A, 25.4, 0).design
    assert f'{LETTER[A]} moved 1" to the right.' in sentences(after, Unit.INCH)


def test_what_moved_all_alike_is_told_once() -> None:
    after = MASTER
    for placed in PLACED:
        after = edit.move_by(after, None, None, placed.id, 3, 0).design
    found = [c for c in compared(MASTER, after, catalogue(), Unit.MM).changes if c.arrangement_id == "two"]
    assert [c.sentence for c in found] == ["Every part moved 3 mm to the right."]
    assert len(found[0].covers) == len(PLACED)
    assert math.isclose(found[0].dx, 3)


def test_a_new_bit_resizes_holes_that_nobody_touched() -> None:
    bits = tuple(b for b in MASTER.shop.bits if b.diameter != 28.0)
    assert len(bits) < len(MASTER.shop.bits)
    after = MASTER.model_copy(update={"shop": MASTER.shop.model_copy(update={"bits": bits})})
    said = sentences(after)
    assert said[0].startswith("The list of bits has ")
    assert any(" is drilled " in sentence and sentence.endswith(", was 28 mm.") for sentence in said)


def test_findings_come_and_go() -> None:
    x, y = PLACED[1].x, PLACED[1].y
    after = edit.move(MASTER, None, None, C, x + 5, y).design
    found = compared(MASTER, after, catalogue())
    assert any(f.severity == "stop" and f.rule == "web" and {B, C} <= set(f.placements) for f in found.gained)
    assert not found.lost
    back = compared(after, MASTER, catalogue())
    assert [(f.rule, f.sentence) for f in back.lost] == [(f.rule, f.sentence) for f in found.gained]
    assert not back.gained


def test_boards_new_gone_and_changed_are_named() -> None:
    cabinet = load_scenario("foundry-yard-cabinet")
    fewer = cabinet.model_copy(update={"boards": cabinet.boards[:-1]})
    gone = compared(cabinet, fewer, catalogue()).changes
    assert [c.sentence for c in gone if c.kind == "gone"] == [f"{cabinet.boards[-1].name} is gone."]
    new = compared(fewer, cabinet, catalogue()).changes
    assert [c.sentence for c in new if c.kind == "new"] == [f"{cabinet.boards[-1].name} is new."]


def test_every_difference_is_told_but_those_kept_for_ids() -> None:
    one, other = load_scenario("foundry-yard-cabinet"), load_scenario("orchard-row-cabinet")
    found = compared(one, other, catalogue())
    assert found.differences == differences_of(one, other)
    assert {d.path[-1] for d in unsaid(found)} <= {"retired", "gone"}


def test_designs_that_share_no_board_are_refused() -> None:
    deck = find_board(MASTER).model_copy(update={"id": "other"})
    with pytest.raises(EditError, match="no board in common"):
        compared(MASTER, MASTER.model_copy(update={"boards": (deck,)}), catalogue())
