"""A pattern of 1,000 holes that breaks whatever holes can break: one finding a rule and neighbour, in every shop."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from app.arrange.maker.make import make_board
from app.catalogue.load import catalogue
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.resolve import resolve
from app.document.schema import (
    BitEntry,
    CornerEntry,
    Design,
    EdgeEntry,
    EdgesEntry,
    KeepClearEntry,
    LayerEntry,
    OutlineEntry,
    PlacementEntry,
    ShopEntry,
)
from app.fit.report.report import Report, check
from app.units import Unit
from tests.unit.arrange.maker.designs import plain
from tests.unit.fit.made_boards import report_of

SHOPS: dict[str, ShopEntry] = {
    "starter": ShopEntry(),
    "no bits": ShopEntry().with_own(()),
    "inch": ShopEntry().with_own((BitEntry(kind="brad-point", diameter=25.4 / 4, reach=80, inch=True),)),
    "near": ShopEntry().with_own((BitEntry(kind="twist", diameter=4.1, reach=80),)),
    "short": ShopEntry().with_own((BitEntry(kind="twist", diameter=4.0, reach=3),)),
    "both sides": ShopEntry().with_own((BitEntry(kind="twist", diameter=4.0, reach=6),)),
}
BROKEN = {
    "web", "flange-overlap", "under-clash", "rail-clash", "outside-board", "edge-distance", "edge-slot",
    "screw-distance",
}  # fmt: skip
"""Every rule about holes, besides those about bits: by the table of pairs."""

BITS = {"bit-match", "bit-depth"}
ROUND = PatternEntry(id="many", order="square", hole=4, pitch=5, boundary=BoundaryEntry(width=190))
SLOTS = PatternEntry(
    id="many", order="slots", hole=3, length=6, pitch=4, gap=1, boundary=BoundaryEntry(width=200), middle="gap"
)


def crowded(entry: PatternEntry, shop: ShopEntry, paint: float = 0.0) -> Design:
    """A pattern over an edge, an opening, a rail, a slot and areas to keep clear, with hardware in the midst of it."""
    design = plain(600, 300)
    (board,) = design.boards
    corners = tuple(CornerEntry(x=x, y=y) for x, y in ((330, 20), (360, 20), (360, 50), (330, 50)))
    outline = OutlineEntry(corners=board.outline.corners, openings=(corners,))
    front = EdgesEntry(front=EdgeEntry(slot_depth=8, rail=18))
    areas = tuple(KeepClearEntry(face=face, x=250, y=100, width=40, height=30) for face in ("top", "under"))
    parts = ("many", "button-28-nut-long", "stick-plate-95x53", "button-28-nut-long")
    places = ((300, 90), (300, 110), (330, 140), (240, 60))
    rows = tuple(
        PlacementEntry(id=f"p{k}", part=part, x=x, y=y, label=f"P{k}")
        for k, (part, (x, y)) in enumerate(zip(parts, places, strict=True))
    )
    within = board.arrangements[0].model_copy(update={"placements": rows})
    layers = (LayerEntry(material="mdf", thickness=9), LayerEntry(material="plywood", thickness=3))
    changed = {"outline": outline, "edges": front, "keep_clear": areas, "layers": layers, "paint": paint}
    board = board.model_copy(update={**changed, "arrangements": (within,)})
    return design.model_copy(update={"boards": (board,), "patterns": (entry,), "shop": shop})


def counted(report: Report) -> dict[tuple[Any, ...], int]:
    """How many findings a rule has about the pattern, by with whom, at which edge, and what is wrong."""
    of_it = [f for f in report.findings if "p0" in f.subjects]
    return Counter((f.rule, f.subjects, f.detail.edge, f.detail.mark) for f in of_it)


@pytest.mark.parametrize("shop", list(SHOPS))
@pytest.mark.parametrize(("entry", "paint"), [(ROUND, 0.0), (ROUND, 0.3), (SLOTS, 0.0), (SLOTS, 0.3)])
def test_a_thousand_holes_are_one_finding_of_each_rule(entry: PatternEntry, paint: float, shop: str) -> None:
    design = crowded(entry, SHOPS[shop], paint)
    board = resolve(design, None, None, catalogue())
    assert len(board.placements[0].holes) > 1000
    report = check(board, catalogue())
    many = {what: n for what, n in counted(report).items() if n > 1}
    assert not many
    assert {rule for rule, *_ in counted(report)} - {"bit-match", "bit-depth"} == BROKEN
    assert len(report.findings) < 40, "nothing else tells of each hole either"


def test_no_bit_and_the_wrong_bit_and_a_short_bit_are_one_finding() -> None:
    said = {}
    for name, shop in SHOPS.items():
        report = check(resolve(crowded(ROUND, shop), None, None, catalogue()), catalogue())
        said[name] = [(f.rule, f.severity) for f in report.findings if f.subjects == ("p0",) and f.rule in BITS]
    assert said == {
        "starter": [],
        "no bits": [("bit-match", "stop")],
        "inch": [("bit-match", "stop")],
        "near": [("bit-match", "note")],
        "short": [("bit-depth", "stop")],
        "both sides": [("bit-depth", "note")],
    }


@pytest.mark.parametrize("shop", list(SHOPS))
def test_a_made_grille_of_a_thousand_holes_is_told_once_a_rule_too(shop: str) -> None:
    """Too few holes too far out, too near each other, and a driver where it does not go."""
    measures: dict[str, Any] = {"outer": 260.0, "cone": 200.0, "fixing": "glue", "field": 255.0}
    measures |= {"hole": 2.0, "pitch": 6.0, "width": 262.0, "height": 262.0, "free-depth": 20.0, "magnet": 262.0}
    done = make_board(plain(), "grille", measures, catalogue())
    report = report_of(done.design.model_copy(update={"shop": SHOPS[shop]}), done.board, Unit.MM)
    assert max(len(p.holes) for p in report.board.placements) > 1000
    many = Counter((f.rule, f.subjects, f.detail.edge, f.detail.mark) for f in report.findings)
    assert set(many.values()) == {1}
    assert {"cone-area", "cone-cover", "depth-below"} <= {f.rule for f in report.findings}
