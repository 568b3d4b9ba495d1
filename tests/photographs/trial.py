"""Many photographs measured, and what was said of each hole set against what is true."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from app.errors import PhotoError
from app.photo.measuring import measure_photo
from tests.photographs.render import Photograph, random_shot
from tests.photographs.scene import random_board


@dataclass
class Outcome:
    """What came of some photographs.

    Args:
        errors: how far centres were off [mm].
        widths: how much diameters were off [mm].
        stated: how far the centres might have been off, as was said [mm].
        outside: holes that were farther off than was said, in words.
        wrong: holes that are not there and were measured all the same, in words.
        why: how often each reason was given, of holes that are there.
        plain: of wide enough holes over something dark, seen at most 15° from straight above: whether measured.
        refused: photographs of which nothing was measured, in words.
    """

    errors: list[float] = field(default_factory=list)
    widths: list[float] = field(default_factory=list)
    stated: list[float] = field(default_factory=list)
    outside: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    why: Counter[str] = field(default_factory=Counter)
    plain: list[bool] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        errors = np.array(self.errors)
        p50, p95 = np.percentile(errors, (50, 95))
        return (
            f"{len(errors)} holes measured: centre off {p50:.2f} mm in the middle, {p95:.2f} mm at 95 of 100, "
            f"{errors.max():.2f} mm at most; width off {np.percentile(np.abs(self.widths), 95):.2f} mm at 95 of 100; "
            f"said to be within {np.median(self.stated):.2f} mm in the middle, {max(self.stated):.2f} mm at most; "
            f"{len(self.outside)} outside of that, {len(self.wrong)} wrong; {sum(self.why.values())} left out "
            f"({', '.join(f'{n} {w}' for w, n in self.why.most_common())}); of plain ones {np.mean(self.plain):.0%} "
            f"measured; {len(self.refused)} photographs refused"
        )


def tried(seeds: Iterable[int], width: float, size: tuple[int, int]) -> Outcome:
    """Photographs of boards so wide [mm] in pictures of a size [px], each by its seed."""
    found = Outcome()
    for seed in seeds:
        _try(found, seed, width, size)
    return found


def _try(found: Outcome, seed: int, width: float, size: tuple[int, int]) -> None:
    rng = np.random.default_rng(seed)
    board = random_board(rng, width)
    shot = random_shot(rng, size)
    try:
        told = measure_photo(Photograph(board, shot).jpeg, [board.cards], {"top": [h.wanted for h in board.holes]})
    except PhotoError as error:
        found.refused.append(f"{seed}: {error}")
        return
    for hole, measured in zip(board.holes, told.holes, strict=True):
        name = f"photograph {seed}, {hole.wanted.code}"
        if hole.drilled and shot.below < 0.5 and shot.tilt <= 15 and hole.diameter >= max(10.0, 0.6 * board.thickness):
            found.plain.append(not measured.doubt)
        if measured.doubt:
            found.why[measured.doubt] += hole.drilled
            continue
        if not hole.drilled:
            found.wrong.append(f"{name}: {measured}")
            continue
        off = math.hypot(measured.x - hole.x, measured.y - hole.y)
        wide = measured.diameter - hole.diameter
        found.errors.append(off)
        found.widths.append(wide)
        found.stated.append(measured.within)
        if off > measured.within or abs(wide) > measured.wide_within:
            found.outside.append(f"{name}: {off:.2f} mm off, {wide:.2f} mm in width, {measured}")
