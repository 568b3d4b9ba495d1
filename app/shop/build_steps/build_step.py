"""A step of building, and the order of the work."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal

from msgspec import Struct

from app.model.resolved import Placed, ResolvedBoard
from app.shop.drilling_run import DrillingStep

Work = Literal[
    "cut", "slot", "round", "layers",
    "template", "pilot", "counterbore", "screws-under", "through", "openings", "screws-top",
    "ease", "rails", "fill", "caulk", "sand", "seal", "paint", "moulding", "legends",
    "mount", "wire", "test", "close",
]  # fmt: skip
"""What is done in a step."""

STAGES: Final[tuple[tuple[Work, ...], ...]] = (
    ("cut",),
    ("slot",),
    ("round",),
    ("layers", "template", "pilot", "counterbore", "screws-under", "through", "openings", "screws-top"),
    ("ease",),
    ("rails",),
    ("fill",),
    ("caulk",),
    ("sand",),
    ("seal",),
    ("paint",),
    ("moulding",),
    ("legends",),
    ("mount",),
    ("wire",),
    ("test",),
    ("close",),
)
"""The order of the work: a stage is done for all boards before the next, its works board by board.

Slots are cut before holes open the face beside them; holes are drilled before the board is finished, so that paint gets
into them; nothing is mounted before the paint is dry. Common practice, no source."""

_STAGE: Final[Mapping[str, int]] = MappingProxyType({work: k for k, works in enumerate(STAGES) for work in works})


class BuildStep(Struct, frozen=True, eq=False):
    """A step that follows from the design.

    Args:
        key: what it is known by while the design changes: its work, then the board and the part where it has one.
        work: what is done.
        boards: those it is done to.
        placements: parts it is about, where it is done board by board.
        runs: what is drilled in it, as the drilling run has it.
        turned: whether the board is turned over before it.
    """

    key: str
    work: Work
    boards: tuple[ResolvedBoard, ...]
    placements: tuple[Placed, ...] = ()
    runs: tuple[DrillingStep, ...] = ()
    turned: bool = False

    @property
    def board(self) -> ResolvedBoard:
        """Its first board, which is its only one where it is done board by board."""
        return self.boards[0]

    @property
    def holes(self) -> int:
        """How many holes and screw pilots are made in it."""
        return sum(run.count for run in self.runs)


def stage_of(key: str) -> int:
    """Where in the order of the work a step belongs, by its key; after everything where no such work is known."""
    return _STAGE.get(key.split("/", 1)[0], len(STAGES))
