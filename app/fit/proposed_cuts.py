"""Counterbores and recesses that may be advised, their figures as they will be said."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from app.fit.amend import Change
from app.fit.candidates import inward, longest_reach
from app.fit.depth import SLIGHT, TINY, rounded_up, steps_about
from app.fit.finding import Finding
from app.fit.trial import Trial
from app.model.fix import BuyBit, CounterboreAt, RecessAt, Several
from app.units import Unit

Maker = Callable[[Unit, float], list[Change]]

_WIDTHS = 3  # wider bits that are thought of where the shop has none


def bores(trial: Trial, finding: Finding) -> Iterator[Maker]:
    """The counterbore with which a part holds, by a bit of the shop; where it has none, with a bit to buy."""
    detail, ids = finding.detail, finding.subjects
    wider = detail.get("cause") == "width"  # it is made wider, as deep as it is
    depth = float(detail["made_depth"] if wider else detail.get("depth", 0.0))
    if depth <= 0 or (finding.rule == "ledge" and depth >= float(detail["made_depth"])):
        return

    def depths(step: float) -> list[float]:
        return [depth] if wider else steps_about(depth, step)

    if "bit" in detail:
        width = float(detail["bit"])
        yield lambda _, step: [CounterboreAt(ids, width, deep) for deep in depths(step)]
    else:
        yield lambda unit, step: [
            Several((bit, CounterboreAt(ids, bit.diameter, deep)))
            for bit in _flat(trial, float(detail["width"]), depth, unit)
            for deep in depths(step)[:1]
        ]


def other_bores(trial: Trial, finding: Finding) -> Maker:
    """Counterbores as deep as they are, as wide as the shop's flat-bottomed bits, the nearest first."""
    made = {p.counterbore for p in trial.board.placements if p.id in finding.subjects and p.counterbore}
    width = float(finding.detail["nominal"])
    flat = {b.diameter for b in trial.board.shop.bits if b.kind == "forstner"}
    if len(made) != 1:
        return lambda _unit, _step: []
    depth = next(iter(made)).depth
    near = sorted(flat, key=lambda d: (abs(d - width), d))
    return lambda _unit, _step: [CounterboreAt(finding.subjects, d, depth) for d in near]


def recesses(trial: Trial, finding: Finding) -> Maker:
    """The recess a finding asks for: its sides and corners no smaller than asked, its depth near enough."""
    asked = RecessAt(
        finding.subjects, *(float(finding.detail[f"recess_{k}"]) for k in ("width", "height", "corner", "depth"))
    )
    placed = trial.board.placed(finding.subjects[0])
    made = placed.recess if placed else None
    same = made is not None and (made.width, made.height, made.corner) == (asked.width, asked.height, asked.corner)
    if made is not None and abs(made.depth - asked.depth) <= TINY:
        asked = replace(asked, depth=made.depth)

    def sized(_: Unit, step: float) -> list[Change]:
        corner = asked.corner if same else rounded_up(asked.corner, step)
        width, height = (side if same else rounded_up(side, step) for side in (asked.width, asked.height))
        sides = (max(width, 2 * corner), max(height, 2 * corner))
        kept = made is not None and made.depth == asked.depth
        depths = [asked.depth] if kept else steps_about(asked.depth, step)
        cuts = [RecessAt(asked.placements, *sides, corner, deep) for deep in depths]
        bit = _router(trial, corner, max(depths), step) if made is None else None
        return [Several((bit, cut)) for cut in cuts] if bit else list(cuts)

    return sized


def _router(trial: Trial, corner: float, depth: float, step: float) -> BuyBit | None:
    """A router bit to buy for corners of that radius, its width as it is said; None where the shop has any."""
    if any(b.kind == "router" for b in trial.board.shop.bits):
        return None
    reach = longest_reach(trial.catalogue, "router")
    return BuyBit("router", inward(2 * corner, step), reach) if reach >= depth - SLIGHT else None


def _flat(trial: Trial, width: float, depth: float, unit: Unit) -> list[BuyBit]:
    """Flat-bottomed bits of the unit's set at least so wide and so long, the narrowest first."""
    name = "inch" if unit is Unit.INCH else "metric"
    fitting = [
        b
        for b in trial.catalogue.bit_sets.get(name, ())
        if b.kind == "forstner" and b.diameter >= width - SLIGHT and b.reach >= depth - SLIGHT
    ]
    fitting.sort(key=lambda b: b.diameter)
    return [BuyBit(b.kind, b.diameter, b.reach) for b in fitting[:_WIDTHS]]
