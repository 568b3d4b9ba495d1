"""Making room on documents: shown, taken as one step, or the truth about why not."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from app.document.load import loads
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.service.checks.checking import check_design
from app.service.edits.changes import moved
from app.service.edits.shared_holes import in_every_arrangement
from app.service.room.room import make_room, moves_words, room_is_wanted, room_made

BUTTON = "button-30-nut-long"


def spot(name: str, x: float, y: float, **more: Any) -> dict[str, Any]:
    return {"id": name, "part": BUTTON, "x": x, "y": y, "label": name.upper(), **more}


def deck(*arrangements: list[dict[str, Any]], width: float = 400, depth: float = 200, **more: Any) -> Design:
    corners = [{"x": 0, "y": 0}, {"x": width, "y": 0}, {"x": width, "y": depth}, {"x": 0, "y": depth}]
    return loads(
        json.dumps(
            {
                "format": "holewise-design",
                "version": 2,
                "title": "Crowded board",
                "boards": [
                    {
                        "id": "deck",
                        "name": "Deck",
                        "outline": {"corners": corners},
                        "layers": [{"material": "mdf", "thickness": 18.0}],
                        "arrangements": [{"id": f"a{k}", "placements": rows} for k, rows in enumerate(arrangements)],
                        **more,
                    }
                ],
            }
        )
    )


def grave(design: Design, arrangement: str = "a0") -> list[str]:
    report = check_design(design, "deck", arrangement)[0].report
    return [f.rule for f in (*report.stops, *report.cautions) if f.rule not in ("thread-reach", "ledge", "bit-match")]


def test_room_is_shown_and_then_taken_as_one_step() -> None:
    design = deck([spot("a", 150, 100), spot("b", 185, 100)])
    assert room_is_wanted(check_design(design)[0].report)
    room = make_room(design, Where())
    assert room.state == "found"
    assert "Found by moving parts one by one." in room.words
    assert room.total == pytest.approx(sum(abs(g.there[0] - g.here[0]) for g in room.ghosts))
    assert all(re.fullmatch(r"[AB] \d+(\.\d)? mm (left|right)", g.words) for g in room.ghosts)
    edit = room_made(Where(), room, design, said=moves_words(room))(design)
    assert edit.summary.startswith("Made room: ")
    assert not grave(edit.design)
    after = {p.id: (p.x, p.y) for p in edit.design.boards[0].arrangements[0].placements}
    assert {g.placement: g.there for g in room.ghosts}.items() <= after.items()
    assert make_room(edit.design, Where()).state == "clear"


def test_what_is_not_proven_says_that_there_may_still_be_a_way() -> None:
    """With holes that another arrangement shares, the search proves nothing."""
    both = [spot("a", 30, 30), spot("b", 50, 30)]
    room = make_room(deck(both, both, width=80, depth=60), Where("deck", "a0"))
    assert (room.state, room.proven) == ("none", False)
    assert "There may still be one we did not find. Tried: parts one by one." in room.words


def test_what_was_shown_is_what_is_taken_or_nothing_is() -> None:
    design = deck([spot("a", 150, 100), spot("b", 185, 100)])
    room = make_room(design, Where())
    other = moved(Where(), ["b"], -1.0, 0.0, 0.0)(design).design
    with pytest.raises(EditError, match="has changed since"):
        room_made(Where(), room, design, said=moves_words(room))(other)
    with pytest.raises(EditError, match="has changed since"):
        room_made(Where(), make_room(other, Where()), other, said=moves_words(room))(other)


def test_a_clear_board_is_left_alone() -> None:
    design = deck([spot("a", 100, 100), spot("b", 200, 100)])
    assert not room_is_wanted(check_design(design)[0].report)
    assert make_room(design, Where()).state == "clear"
    with pytest.raises(EditError, match="nothing here that moving parts can clear"):
        room_made(Where(), make_room(design, Where()), design)(design)


def test_holes_shared_with_another_arrangement_move_in_both() -> None:
    both = [spot("a", 150, 100), spot("b", 185, 100)]
    design = deck(both, [*both, spot("c", 110, 100)])
    where = Where("deck", "a0")
    edit = in_every_arrangement(design, room_made(where, make_room(design, where), design)(design), "deck", "a0")
    first, second = edit.design.boards[0].arrangements
    assert {p.id: (p.x, p.y) for p in first.placements}.items() <= {p.id: (p.x, p.y) for p in second.placements}.items()
    assert not grave(edit.design, "a0")
    assert len(grave(edit.design, "a1")) <= len(grave(design, "a1"))


def test_where_there_is_no_room_it_says_what_would_give_some() -> None:
    # The board is as deep as one button needs; two side by side need more length than there is.
    design = deck([spot("a", 30, 30), spot("b", 50, 30)], width=80, depth=60)
    room = make_room(design, Where())
    assert room.state == "none"
    assert room.ghosts == ()
    assert "leave A out" in room.words
    found = re.search(r"(\d+) mm longer", room.words)
    assert found is not None
    more = int(found[1])
    for longer, whole in ((more, True), (more - 1, False)):
        wider = deck([spot("a", 30 + longer / 2, 30), spot("b", 50 + longer / 2, 30)], width=80 + longer, depth=60)
        assert (make_room(wider, Where()).state == "found") is whole
    with pytest.raises(EditError, match="longer"):
        room_made(Where(), make_room(design, Where()), design)(design)
