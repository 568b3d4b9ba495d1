"""Stations as things: parts follow their station, those moved by hand stay, letters are never given twice."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from app.arrange.change import Edit
from app.arrange.new_deck.new_deck import new_deck
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.placement import edit
from app.arrange.placement.several import lock
from app.arrange.station.change_station import lay_out_station, remove_station
from app.arrange.station.station_slots import find_station, standings
from app.arrange.station.stations import slots
from app.catalogue.load import catalogue
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.errors import EditError, NotFoundError
from app.values import replace
from tests.long_run import examples

DECK = NewDeck(players=2, buttons=6, width=760.0, depth=260.0)


def deck(**more: object) -> Design:
    return new_deck(replace(DECK, **more), catalogue())  # type: ignore[arg-type]


def arrangement(design: Design, index: int = 0) -> ArrangementEntry:
    return design.boards[0].arrangements[index]


def parts_of(design: Design, station: str, index: int = 0) -> dict[str, PlacementEntry]:
    return {p.id: p for p in arrangement(design, index).placements if p.station == station}


def changed(design: Design, station: str = "s1", **changes: object) -> Edit:
    more = {k: changes.pop(k) for k in ("reset", "everywhere") if k in changes}
    return lay_out_station(design, None, None, station, changes, catalogue(), said="changed", **more)  # type: ignore[arg-type]


def test_every_part_of_a_new_deck_stands_where_its_station_puts_it() -> None:
    design = deck()
    for station in arrangement(design).stations:
        for stood in standings(station, arrangement(design)):
            assert stood.placement is not None
            assert not stood.by_hand
            assert (stood.placement.x, stood.placement.y) == pytest.approx((stood.slot.x, stood.slot.y), abs=1e-6)


def test_a_wider_pitch_moves_the_columns_by_that_much_and_nothing_else() -> None:
    """Columns 0, 1, 2 … from the stick are a pitch apart by definition."""
    design = deck()
    old = find_station(arrangement(design), "s1")
    done = changed(design, pitch=old.pitch + 3.0)
    before, after = parts_of(design, "s1"), parts_of(done.design, "s1")
    assert before.keys() == after.keys()
    assert {p.label for p in before.values()} == {p.label for p in after.values()}
    xs = sorted({round(p.x, 6) for p in after.values() if p.part == old.button_part})
    assert [b - a for a, b in pairwise(xs)] == pytest.approx([old.pitch + 3.0] * (old.columns - 1))
    assert parts_of(design, "s2") == parts_of(done.design, "s2")
    assert all(before[i].y == pytest.approx(after[i].y, abs=1e-6) for i in before)


def test_the_same_station_of_the_other_arrangement_follows_under_the_same_letters() -> None:
    design = deck()
    done = changed(design, pitch=50.0, front=70.0)
    assert parts_of(done.design, "s1", 0) == parts_of(done.design, "s1", 1)
    assert find_station(arrangement(done.design, 1), "s1") == find_station(arrangement(done.design, 0), "s1")


def test_here_only_gives_the_moved_holes_letters_of_their_own() -> None:
    design = deck()
    done = changed(design, pitch=50.0, everywhere=False)
    assert arrangement(done.design, 1) == arrangement(design, 1)
    here = {p.label: p for p in arrangement(done.design).placements}
    there = {p.label: p for p in arrangement(done.design, 1).placements}
    for label in here.keys() & there.keys():
        assert (here[label].x, here[label].y) == (there[label].x, there[label].y), "one letter, one hole"
    ids = [p.id for p in arrangement(done.design).placements]
    assert len(set(ids)) == len(ids)
    moved = {p.label for p in parts_of(design, "s1").values()} - here.keys()
    assert moved
    assert moved <= set(arrangement(done.design).retired)


def test_a_part_moved_by_hand_keeps_its_place_until_it_is_asked_back() -> None:
    design = deck()
    label = next(
        p for p in parts_of(design, "s1").values() if p.part != find_station(arrangement(design), "s1").stick_part
    )
    by_hand = edit.move(design, None, None, label.id, label.x + 4.0, label.y + 2.5).design
    stood = next(
        s
        for s in standings(find_station(arrangement(by_hand), "s1"), arrangement(by_hand))
        if s.placement and s.placement.id == label.id
    )
    assert stood.by_hand
    after = changed(by_hand, front=65.0).design
    assert (parts_of(after, "s1")[label.id].x, parts_of(after, "s1")[label.id].y) == (label.x + 4.0, label.y + 2.5)
    others = [i for i in parts_of(design, "s1") if i != label.id]
    shift = 65.0 - find_station(arrangement(design), "s1").front
    assert all(parts_of(after, "s1")[i].y == pytest.approx(parts_of(design, "s1")[i].y + shift) for i in others)
    back = changed(after, reset=True).design
    assert parts_of(back, "s1")[label.id].y == pytest.approx(label.y + shift, abs=1e-6)
    assert parts_of(back, "s1")[label.id].x == pytest.approx(label.x, abs=1e-6)


def test_a_locked_part_neither_moves_nor_goes() -> None:
    design = deck()
    one = next(iter(parts_of(design, "s1").values()))
    locked = lock(design, None, None, [one.id], locked=True).design
    after = changed(locked, front=65.0, reset=True).design
    assert (parts_of(after, "s1")[one.id].x, parts_of(after, "s1")[one.id].y) == (one.x, one.y)


def test_more_and_fewer_buttons_add_and_retire_letters() -> None:
    design = deck()
    old = find_station(arrangement(design), "s1")
    more = changed(design, buttons=8, columns=4).design
    assert len(parts_of(more, "s1")) == len(parts_of(design, "s1")) + 2
    new = parts_of(more, "s1").keys() - parts_of(design, "s1").keys()
    before = {p.label for a in design.boards[0].arrangements for p in a.placements}
    assert not {parts_of(more, "s1")[i].label for i in new} & before
    fewer = changed(more, buttons=4, columns=2).design
    assert len(parts_of(fewer, "s1")) == 5
    gone = {p.label for p in parts_of(more, "s1").values()} - {p.label for p in parts_of(fewer, "s1").values()}
    assert gone <= set(arrangement(fewer).retired)
    again = changed(fewer, buttons=6, columns=3).design
    assert not {p.label for p in parts_of(again, "s1").values()} & gone, "a retired letter is never given again"
    assert old.id == "s1"


def test_a_part_removed_by_hand_stays_away_until_asked_back() -> None:
    design = deck()
    one = list(parts_of(design, "s1").values())[2]
    less = edit.remove(design, None, None, one.id).design
    assert one.id not in parts_of(changed(less, pitch=48.0).design, "s1")
    back = changed(less, reset=True).design
    assert len(parts_of(back, "s1")) == len(parts_of(design, "s1"))
    assert one.label not in {p.label for p in parts_of(back, "s1").values()}


def test_another_button_comes_with_its_counterbore() -> None:
    design = deck(thickness=18.0)
    done = changed(design, button_part="button-28-nut-short").design
    buttons = [p for p in parts_of(done, "s1").values() if p.part == "button-28-nut-short"]
    assert len(buttons) == 6
    fixing = catalogue().parts["button-28-nut-short"].fixing
    # Depth c = t − (L − n − w − s), the next 0.5 mm up: the thread must reach through what is left.
    least = 18.0 - fixing.grip  # type: ignore[union-attr]
    for button in buttons:
        assert (button.counterbore is not None) == (least > 0)
        if button.counterbore:
            assert least <= button.counterbore.depth < least + 0.5


def test_a_station_with_nothing_left_and_an_unknown_one_are_refused() -> None:
    design = deck()
    with pytest.raises(EditError, match="neither a stick nor a button"):
        changed(design, stick="none", buttons=0)
    with pytest.raises(NotFoundError, match="Player 1"):
        changed(design, "s9", pitch=40.0)


def test_removing_a_player_retires_the_letters() -> None:
    design = deck()
    done = remove_station(design, None, None, "s2")
    assert not parts_of(done.design, "s2")
    gone = {p.label for p in parts_of(design, "s2").values()}
    assert gone <= set(arrangement(done.design).retired)
    assert [s.id for s in arrangement(done.design).stations] == [
        s.id for s in arrangement(design).stations if s.id != "s2"
    ]
    one = next(iter(parts_of(design, "s2")))
    with pytest.raises(EditError, match="locked"):
        remove_station(lock(design, None, None, [one], locked=True).design, None, None, "s2")


@examples(25)
@example(pitch=30.0, spacing=30.0, tilt=-1.2e-26, mirrored=True, columns=1, rows=3, stick="centre")
@given(
    pitch=st.floats(30, 70),
    spacing=st.floats(30, 70),
    tilt=st.floats(-30, 30),
    mirrored=st.booleans(),
    columns=st.integers(1, 5),
    rows=st.integers(1, 3),
    stick=st.sampled_from(["left", "right", "centre"]),
)
def test_whatever_is_changed_the_parts_stand_on_the_stations_places(
    pitch: float, spacing: float, tilt: float, mirrored: bool, columns: int, rows: int, stick: str
) -> None:
    """And changing it back brings every part that stayed to where it was."""
    design = deck()
    old = find_station(arrangement(design), "s1")
    done = changed(
        design, pitch=pitch, row_spacing=spacing, tilt=tilt, mirrored=mirrored, columns=columns, rows=rows,
        buttons=None, stick=stick,
    ).design  # fmt: skip
    new = find_station(arrangement(done), "s1")
    # In one order, however little a tilt sets columns askew: parts are placed to the millionth of a millimetre.
    places = sorted((round(s.x, 6), round(s.y, 6)) for s in slots(new))
    stood = sorted((p.x, p.y) for p in parts_of(done, "s1").values())
    assert len(places) == len(stood)
    for a, b in zip(places, stood, strict=True):
        assert a == pytest.approx(b, abs=2e-6)
    labels = [p.label for p in arrangement(done).placements]
    assert len(set(labels)) == len(labels)
    back = changed(
        done,
        **{
            k: getattr(old, k)
            for k in ("pitch", "row_spacing", "tilt", "mirrored", "columns", "rows", "buttons", "stick")
        },
    ).design
    for ident, placement in parts_of(back, "s1").items():
        if ident in parts_of(design, "s1"):
            was = parts_of(design, "s1")[ident]
            assert (placement.x, placement.y) == pytest.approx((was.x, was.y), abs=2e-6)
