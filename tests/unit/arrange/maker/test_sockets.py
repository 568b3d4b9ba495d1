"""Sockets in a row: where they stand, and what a row with more or fewer of them keeps."""

from __future__ import annotations

import pytest

from app.arrange.maker.make import make_board
from app.arrange.maker.make_anew import make_anew
from app.catalogue.load import catalogue
from app.document.resolve import find_board
from app.document.schema import Design, PlacementEntry
from app.document.where import Where
from app.model.maker.sockets import KINDS
from tests.unit.arrange.maker.designs import plain

WHERE = Where("sockets")


def placed(design: Design) -> list[PlacementEntry]:
    return list(find_board(design, "sockets").arrangements[0].placements)


def test_they_stand_as_far_apart_as_asked_about_the_middle() -> None:
    row = make_board(plain(), "sockets", {"count": 4, "spacing": 50.0}, catalogue()).design
    assert [(p.x, p.y) for p in placed(row)] == [(120 + 50 * k, 50) for k in (-1.5, -0.5, 0.5, 1.5)]
    column = make_board(plain(), "sockets", {"count": 2, "spacing": 30.0, "way": "column"}, catalogue()).design
    assert [(p.x, p.y) for p in placed(column)] == [(120, 65), (120, 35)], "the first one at the back"


def test_one_more_gets_the_next_letter_and_one_less_retires_the_last() -> None:
    three = make_board(plain(), "sockets", {}, catalogue()).design
    four = make_anew(three, WHERE, "sockets", {"count": 4}, catalogue()).design
    assert [p.label for p in placed(four)] == ["A", "B", "C", "D"]
    two = make_anew(four, WHERE, "sockets", {"count": 2}, catalogue()).design
    assert [p.label for p in placed(two)] == ["A", "B"]
    again = make_anew(two, WHERE, "sockets", {"count": 3}, catalogue()).design
    assert [p.label for p in placed(again)] == ["A", "B", "E"]


@pytest.mark.parametrize("socket", [name for name, _ in KINDS])
def test_another_socket_takes_the_place_of_each(socket: str) -> None:
    assert socket in catalogue().parts
    first = make_board(plain(), "sockets", {}, catalogue()).design
    after = make_anew(first, WHERE, "sockets", {"socket": socket}, catalogue()).design
    assert [(p.id, p.part) for p in placed(after)] == [(f"sockets-socket-{k}", socket) for k in (1, 2, 3)]
