"""Rectangles on the fewest sheets: never over one another, and as few sheets as brute force finds."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise, product
from random import Random

import pytest
from shapely.geometry import box

from app.paper.boards.one_rectangle import Sides, every_way
from app.paper.boards.packing import FEW, Packing, pack

A4 = [(184.0, 239.0), (253.0, 169.0)]
"""What two ways to lay a sheet may leave for boards; any would do."""


def laid(sides: Sequence[Sides], packing: Packing, rooms: Sequence[Sides]) -> None:
    """Each rectangle lies on one sheet, whole, and over no other: judged by shapely."""
    assert sorted(rectangle.index for bin_ in packing.bins for rectangle in bin_.packed) == list(range(len(sides)))
    for bin_ in packing.bins:
        room, shapes = box(0, 0, *rooms[bin_.kind]).buffer(1e-6), []
        for rectangle in bin_.packed:
            w, h = sides[rectangle.index][::-1] if rectangle.turned else sides[rectangle.index]
            shapes.append(box(rectangle.x, rectangle.y, rectangle.x + w, rectangle.y + h))
        assert all(room.contains(shape) for shape in shapes)
        assert all(a.intersection(b).area < 1e-6 for a, b in combinations(shapes, 2))


def places(cells: set[tuple[int, int]], side: tuple[int, int], room: tuple[int, int]) -> Iterator[set[tuple[int, int]]]:
    """The cells a rectangle of whole sides covers, at every whole place that is free."""
    for x, y in product(range(room[0] - side[0] + 1), range(room[1] - side[1] + 1)):
        taken = {(x + i, y + j) for i in range(side[0]) for j in range(side[1])}
        if not taken & cells:
            yield taken


def fits(
    sides: Sequence[tuple[int, int]],
    room: tuple[int, int],
    *,
    turning: bool,
    cells: frozenset[tuple[int, int]] = frozenset(),
) -> bool:
    """By brute force over squares: of whole sides, there is a way at whole places if there is one at all."""
    if not sides:
        return True
    ways = {sides[0], sides[0][::-1]} if turning else {sides[0]}
    return any(
        fits(sides[1:], room, turning=turning, cells=cells | taken)
        for way in ways
        for taken in places(set(cells), way, room)
    )  # fmt: skip


def partitions(names: Sequence[int]) -> Iterator[list[list[int]]]:
    """Every way to deal names out."""
    if not names:
        yield []
        return
    for part in partitions(names[1:]):
        yield [[names[0]], *part]
        for k in range(len(part)):
            yield [*part[:k], [names[0], *part[k]], *part[k + 1 :]]


@pytest.mark.parametrize("turning", [True, False])
def test_every_way_finds_one_wherever_brute_force_does(turning: bool) -> None:
    dice, room, both = Random(5), (5, 4), {True: 0, False: 0}
    for _ in range(2000):
        sides = [(dice.randint(1, 4), dice.randint(1, 4)) for _ in range(dice.randint(2, 5))]
        if not 16 <= sum(w * h for w, h in sides) <= 20:
            continue
        found, certain = every_way(sides, room, turning=turning)
        expected = fits(sides, room, turning=turning)
        assert certain
        assert (found is not None) is expected, sides
        both[expected] += 1
    assert min(both.values()) > 5


def test_few_rectangles_lie_on_as_few_sheets_as_brute_force_finds() -> None:
    """Up to six, over every way to deal them out to sheets of two kinds."""
    dice, rooms = Random(11), [(5, 3), (3, 5)]
    worse = 0
    for _ in range(120):
        sides = [(dice.randint(1, 3), dice.randint(2, 4)) for _ in range(dice.randint(2, FEW))]
        known: dict[tuple[int, ...], bool] = {}

        def one(
            part: Sequence[int], sides: list[tuple[int, int]] = sides, known: dict[tuple[int, ...], bool] = known
        ) -> bool:
            names = tuple(sorted(part))
            if names not in known:
                big = sum(sides[k][0] * sides[k][1] for k in names) > 15
                known[names] = not big and any(fits([sides[k] for k in names], room, turning=True) for room in rooms)
            return known[names]

        fewest = min(len(parts) for parts in partitions(range(len(sides))) if all(map(one, parts)))
        packing = pack(sides, rooms)
        laid(sides, packing, rooms)
        assert packing.fewest and len(packing.bins) == fewest >= packing.bound
        worse += fewest > packing.bound
    assert worse  # some need more than their area


@pytest.mark.parametrize("many", [1, 2, 7, 20, 100])
def test_any_number_lies_whole_and_over_no_other(many: int) -> None:
    dice = Random(many)
    sides = [(dice.uniform(30, 168), dice.uniform(30, 160)) for _ in range(many)]
    packing = pack(sides, A4)
    laid(sides, packing, A4)
    assert packing.bound <= len(packing.bins) <= many
    assert packing.bound == math.ceil(sum(w * h for w, h in sides) / (184.0 * 239.0))
    assert pack(sides, A4) == packing


def test_what_is_alike_fills_a_sheet() -> None:
    """Nine squares of a third of the side, and one more."""
    packing = pack([(60.0, 60.0)] * 9, [(180.0, 180.0)])
    assert (len(packing.bins), packing.bound, packing.fewest) == (1, 1, True)
    assert len(pack([(60.0, 60.0)] * 10, [(180.0, 180.0)]).bins) == 2


def test_nothing_is_turned_that_need_not_be() -> None:
    assert not any(rectangle.turned for bin_ in pack([(100.0, 50.0)] * 4, A4).bins for rectangle in bin_.packed)
    turned = pack([(160.0, 30.0), (30.0, 160.0), (30.0, 160.0)], [(160.0, 100.0)])
    assert len(turned.bins) == 1 and any(rectangle.turned for rectangle in turned.bins[0].packed)


def test_one_too_large_is_refused_and_none_take_no_sheet() -> None:
    assert pack([], A4) == Packing((), 0, True)
    with pytest.raises(ValueError, match="larger than every sheet"):
        pack([(300.0, 20.0)], A4)
    assert all(a.bound <= b.bound for a, b in pairwise(pack([(100.0, 100.0)] * n, A4) for n in range(5)))
