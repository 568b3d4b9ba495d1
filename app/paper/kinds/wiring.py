"""The list of wires, with the underside and its bundles; its pages are set from its tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.paper.lists.bench_list import bench_list
from app.paper.lists.block import Block
from app.paper.lists.wiring import CAUTIONS, harness_for, wiring_card, wiring_said, wiring_tables
from app.paper.lists.wiring_block import wiring_block
from app.paper.sheet_kind import Card, SheetJob, SheetKind
from app.scene.table import Table
from app.shop.wiring.harness import Harness
from app.values import replace

NAME: Final = "wiring"


def harness_in(job: SheetJob) -> Harness | None:
    """The wiring that a job's tables, words and pages are made from: worked out once."""
    return job.once(f"{NAME} harness", lambda: harness_for(job.board))


def _drawn(job: SheetJob, left: float, width: float) -> Sequence[Block]:
    harness = harness_in(job)
    return [wiring_block(harness, left, width)] if harness is not None and harness.face.encoders else []


def _card(_: SheetJob, tables: Sequence[Table]) -> Card:
    return Card(*wiring_card(tables))


WIRING: Final[SheetKind[object]] = replace(
    bench_list(
        NAME,
        "Wiring",
        lambda job: wiring_tables(harness_in(job), job.board),
        lambda job: wiring_said(harness_in(job)),
        foot=CAUTIONS,
        purpose="Every wire from terminal to pin, what to cut and crimp, and where it runs below the board.",
        card=_card,
        drawn=_drawn,
    ),
    page="/wiring",
)
