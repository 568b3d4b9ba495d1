"""What the shelf says of a design: the size of its deck, whom it is for, and whether it can be built."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from app.service.checking import CheckResult


@dataclass(frozen=True, slots=True)
class Verdict:
    """A design's deck judged, with the worst of its arrangements.

    Args:
        units: that the design shows lengths in, ``mm`` or ``inch``.
        width, depth, thickness: of the deck [mm].
        materials: of its layers, top to underside.
        arrangements: their names.
        stops, cautions, notes: how many of each are open.
    """

    units: str
    width: float
    depth: float
    thickness: float
    materials: tuple[str, ...]
    arrangements: tuple[str, ...]
    stops: int
    cautions: int
    notes: int


def verdict_of(results: Sequence[CheckResult]) -> Verdict:
    """The verdict on a deck, from every arrangement of it judged; at least one."""
    board = results[0].resolved
    counts = [(len(r.report.stops), len(r.report.cautions), len(r.report.notes)) for r in results]
    stops, cautions, notes = max(counts)
    return Verdict(
        units=board.units,
        width=board.width,
        depth=board.depth_front_to_back,
        thickness=board.thickness,
        materials=tuple(layer.material.name for layer in board.layers),
        arrangements=tuple(r.resolved.arrangement_name for r in results),
        stops=stops,
        cautions=cautions,
        notes=notes,
    )


def packed(verdict: Verdict) -> bytes:
    """A verdict to be kept."""
    return json.dumps(asdict(verdict), ensure_ascii=False).encode("utf-8")


def unpacked(data: bytes) -> Verdict:
    """The verdict that was kept, exactly: a float is written so that it is read back as the same."""
    raw = json.loads(data)
    return Verdict(**raw | {name: tuple(raw[name]) for name in ("materials", "arrangements")})
