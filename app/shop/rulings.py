"""Rulings: the fewest lines, square to the datum edges, that carry every centre that is marked out on a board.

A centre at (left, front) lies on the line at that distance from the left edge, and on the one at that distance from the
front edge; one of them is enough, with the distance along it. Lines of one direction and of the other are the two sides
of a bipartite graph, each centre an edge of it, and the fewest lines a least vertex cover, which is as large as a
largest matching (König's theorem): so it is exact, however many centres there are.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

from msgspec import Struct

Edge = Literal["left", "front"]

_FREE: Final = -1


class Ruling(Struct, frozen=True):
    """A line to strike.

    Args:
        edge: the datum edge it is parallel to, and measured from.
        at: how far from it [mm].
        centres: indices of the centres on it, in their order along it.
    """

    edge: Edge
    at: float
    centres: tuple[int, ...]


def fewest_rulings(left: Sequence[float], front: Sequence[float]) -> tuple[Ruling, ...]:
    """The fewest lines that carry all centres; each centre is on one of them.

    Args:
        left: of each centre, from the left edge, as it is marked: equal where the mark is the same [mm].
        front: likewise from the front edge [mm].

    Returns:
        Lines parallel to the front edge, from the front backwards, then those parallel to the left edge.
    """
    across, along = sorted(set(front)), sorted(set(left))
    row = {value: index for index, value in enumerate(across)}
    column = {value: index for index, value in enumerate(along)}
    met: list[set[int]] = [set() for _ in across]
    for x, y in zip(left, front, strict=True):
        met[row[y]].add(column[x])
    ways = [sorted(each) for each in met]
    rows, columns = _cover(ways, len(along))
    found: dict[tuple[Edge, float], list[int]] = {}
    crowd = [len(way) for way in ways]
    for index, (x, y) in enumerate(zip(left, front, strict=True)):
        on_row, on_column = row[y] in rows, column[x] in columns
        # On both: on the one that carries more, so that the other may turn out to be needed for fewer.
        edge: Edge = "front" if on_row and (not on_column or crowd[row[y]] > 1) else "left"
        found.setdefault((edge, y if edge == "front" else x), []).append(index)
    lines = [
        Ruling(edge, at, tuple(sorted(centres, key=lambda k: (left[k] if edge == "front" else front[k], k))))
        for (edge, at), centres in found.items()
    ]
    return tuple(sorted(lines, key=lambda line: (line.edge != "front", line.at)))


def ordinates(values: Sequence[float]) -> tuple[tuple[float, tuple[int, ...]], ...]:
    """The lines of one direction that carry all centres: each distance once, with the indices of what is on it."""
    found: dict[float, list[int]] = {}
    for index, value in enumerate(values):
        found.setdefault(value, []).append(index)
    return tuple((at, tuple(found[at])) for at in sorted(found))


def places_of(rulings: Sequence[Ruling], along: Sequence[Sequence[float]]) -> dict[int, tuple[float, float]]:
    """Where each centre is by the lines alone: how far the line is from its edge, and how far along it the centre is.

    Args:
        rulings: the lines.
        along: for each line, how far along it each of its centres is, in their order [mm].
    """
    places: dict[int, tuple[float, float]] = {}
    for line, distances in zip(rulings, along, strict=True):
        for index, far in zip(line.centres, distances, strict=True):
            places[index] = (far, line.at) if line.edge == "front" else (line.at, far)
    return places


def _cover(ways: Sequence[Sequence[int]], columns: int) -> tuple[frozenset[int], frozenset[int]]:
    """A least set of rows and columns that meets every edge, from a largest matching."""
    of_row, of_column = [_FREE] * len(ways), [_FREE] * columns
    for start in range(len(ways)):
        _augment(start, ways, of_row, of_column)
    reached_rows = {row for row, column in enumerate(of_row) if column == _FREE}
    reached_columns: set[int] = set()
    waiting = list(reached_rows)
    while waiting:
        for column in ways[waiting.pop()]:
            if column not in reached_columns:
                reached_columns.add(column)
                row = of_column[column]
                if row != _FREE and row not in reached_rows:
                    reached_rows.add(row)
                    waiting.append(row)
    return frozenset(range(len(ways))) - reached_rows, frozenset(reached_columns)


def _augment(start: int, ways: Sequence[Sequence[int]], of_row: list[int], of_column: list[int]) -> None:
    """Match one more row, by a path on which matched and unmatched edges alternate, if there is one."""
    came: dict[int, int] = {}
    waiting = [start]
    while waiting:
        row = waiting.pop()
        for column in ways[row]:
            if column in came:
                continue
            came[column] = row
            if of_column[column] != _FREE:
                waiting.append(of_column[column])
                continue
            while True:
                row = came[column]
                of_column[column], of_row[row], column = row, column, of_row[row]
                if row == start:
                    return
