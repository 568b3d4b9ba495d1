"""Room for plugs, on both sides of its limits; and that a driver's magnet is judged as all that hangs is.

12 mm between plugs for fingers: common practice, no source. Holes are up to 1 mm off, so two are up to 2 mm nearer.
"""

from __future__ import annotations

from typing import Any

import pytest

from app.catalogue.load import catalogue
from app.values import replace
from tests.unit.fit.boards import found
from tests.unit.fit.made_boards import made_board

CATALOGUE = catalogue()
HAIR = 0.01


def seen(board: Any, rule: str) -> list[tuple[str, tuple[str, ...]]]:
    return [(f.severity, f.subjects) for f in found(board, rule, CATALOGUE)]


FIRST = ("sockets-socket-1", "sockets-socket-2")


@pytest.mark.parametrize(
    ("spacing", "want"),
    [
        (50 + 12 + 2.0, []), (50 + 12 + 2 - HAIR, [("caution", FIRST)]), (50.0, [("caution", FIRST)]),
        (50 - 2 * HAIR, [("stop", FIRST)]),
    ],
)  # fmt: skip
def test_fingers_go_between_two_plugs(spacing: float, want: list[Any]) -> None:
    assert seen(made_board("sockets", count=2, plug=50.0, spacing=spacing), "plug-room") == want


def test_only_the_two_that_were_moved_together_are_named() -> None:
    board = made_board("sockets")
    still = board.populated(tuple(p.moved(31.0, 0.0) if p.id == FIRST[0] else p for p in board.placements))
    assert seen(still, "plug-room") == [], "65 − 31 − 20 − 2 = 12 mm are enough"
    nearer = board.populated(tuple(p.moved(32.0, 0.0) if p.id == FIRST[0] else p for p in board.placements))
    assert seen(nearer, "plug-room") == [("caution", FIRST)]


@pytest.mark.parametrize(("more", "want"), [(0.0, 0), (HAIR, 3)])
def test_a_plug_and_its_bend_go_behind_each_socket(more: float, want: int) -> None:
    """30 mm of socket in 9 mm of plywood hang 21 mm down, and 80 mm are free."""
    board = made_board("sockets", behind=80 - (30 - 9) + more)
    assert [severity for severity, _ in seen(board, "plug-room")] == ["caution"] * want


def test_room_behind_is_that_where_the_socket_stands() -> None:
    board = made_board("sockets", behind=59.0)
    assert board.free_depth is not None
    sloped = replace(board, free_depth=replace(board.free_depth, slope_x=-0.01, at_origin=80 + 0.01 * 120))
    assert seen(sloped, "plug-room") == [("caution", ("sockets-socket-3",))]


@pytest.mark.parametrize(
    ("depth", "want"), [(85.0, []), (85.0 + HAIR, ["caution"]), (100.0, ["caution"]), (100.0 + HAIR, ["stop"])]
)
def test_the_magnet_of_a_driver_is_judged_against_the_depth_below(depth: float, want: list[str]) -> None:
    """100 mm are free and 15 mm are for wires (common practice): ``depth-below`` knows, so no other rule does."""
    board = made_board("grille", depth=depth)
    assert [f.severity for f in found(board, "depth-below", CATALOGUE)] == want
