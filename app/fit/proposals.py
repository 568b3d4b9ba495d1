"""What may be advised about a finding: changes that were tried as they will be read, with their figures rounded.

A remedy is followed by its words, so a change is tried with the figures as they are said, in millimetres and in
inches; it is advised only if both clear the finding and make nothing else wrong. So the advice is the same in both,
and what a button does is what the words say: nothing here depends on the unit on screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from app.catalogue.load import Catalogue
from app.fit.amend import Change, CutWider, DeepenBox, LeaveOut, PackOut, ScrewsOf, ThickenBoard
from app.fit.candidates import SWAPPED, bits, inward
from app.fit.depth import TINY, rounded_up
from app.fit.finding import Finding
from app.fit.fixes import on_step, smallest_of
from app.fit.proposed_cuts import bores, other_bores, recesses
from app.fit.trial import Trial
from app.fit.words import move_steps, sold, steps
from app.model.fix import BuyBit, CounterboreAt, Fix, MoveBy, RecessAt, Several, SwapPart
from app.model.part import ScrewFixing
from app.model.resolved import ResolvedBoard
from app.units import INCH, Unit, parse_length

Maker = Callable[[Unit, float], Iterable[Change]]
"""Changes to try in a unit, with figures on a step of so many mm, the best first."""

_TRIES = 6  # changes of one kind that are tried in a unit before it is given up
_COARSE = {Unit.MM: 1.0, Unit.INCH: INCH / 16}  # what screws and sheets are sold by, near enough [mm]


@dataclass(frozen=True, slots=True)
class Way:
    """A change that clears a finding and makes nothing worse, as it is said in each unit."""

    in_mm: Change
    in_inch: Change

    def said(self, unit: Unit) -> Change:
        """With the figures of that unit."""
        return self.in_inch if unit is Unit.INCH else self.in_mm

    def made(self, unit: Unit) -> Fix | None:
        """The same where a machine can make it."""
        change = self.said(unit)
        return change if isinstance(change, MoveBy | CounterboreAt | RecessAt | BuyBit | SwapPart | Several) else None


@dataclass(frozen=True, eq=False)
class Advice:
    """What may be said about a finding.

    Args:
        board: the board it was found on.
        catalogue: whose parts have names.
        tried: whether anything was tried; if not, nothing may be promised.
        ways: changes that clear it.
        refused: the change one would think of, and the worst it would newly make wrong; None where there is none.
    """

    board: ResolvedBoard = field(repr=False)
    catalogue: Catalogue = field(repr=False)
    tried: bool = False
    ways: tuple[Way, ...] = ()
    refused: tuple[Change, Finding] | None = None


def advise(trial: Trial, finding: Finding) -> Advice:
    """What may be said about a finding.

    Args:
        trial: the board, to try changes on.
        finding: what is to be cleared.
    """
    ways: list[Way] = []
    refused: tuple[Change, Finding] | None = None
    for maker in _makers(trial, finding):
        way, harm = _tried(trial, finding, maker)
        if way is not None:
            ways.append(way)
        refused = refused or harm
    if "toward_x" in finding.detail or (not ways and finding.rule in SWAPPED):
        known = smallest_of(trial, finding, Unit.MM)
        if known is not None and (way := _way_of(trial, finding, known)) is not None:
            ways.append(way)
        elif known is not None and not ways:
            return Advice(trial.board, trial.catalogue)  # there is a way, but not in words that are sure to be enough
    return Advice(trial.board, trial.catalogue, True, tuple(ways), None if ways else refused)


def _tried(trial: Trial, finding: Finding, maker: Maker) -> tuple[Way | None, tuple[Change, Finding] | None]:
    """The first change in each unit that clears the finding; else what is wrong with the first of all."""
    found: dict[Unit, Change] = {}
    harm: tuple[Change, Finding] | None = None
    for unit in Unit:
        for change in _variants(maker, unit):
            if harm is not None:
                clears = trial.clears(finding, change)
            else:
                outcome = trial.outcome(finding, change)
                clears = outcome.clears
                harm = (change, outcome.fresh[0]) if outcome.fresh else None
            if clears:
                found[unit] = change
                break
        if unit not in found:
            return None, harm
    return Way(found[Unit.MM], found[Unit.INCH]), None


def _variants(maker: Maker, unit: Unit) -> list[Change]:
    tried = [change for step in steps(unit) for change in maker(unit, step)]
    return list(dict.fromkeys(tried))[:_TRIES]


def _way_of(trial: Trial, finding: Finding, fix: Fix) -> Way | None:
    """A fix in words: moves with their figures rounded away from zero, another part as it is."""
    if isinstance(fix, SwapPart):
        return Way(fix, fix)
    if not isinstance(fix, MoveBy):
        return None

    def moves(unit: Unit, step: float) -> list[Change]:
        return [on_step(fix, each) for each in move_steps(unit)] if step == steps(unit)[0] else []

    return _tried(trial, finding, moves)[0]


def _makers(trial: Trial, finding: Finding) -> Iterator[Maker]:
    """What could be done besides moving and another part, by what is wrong."""
    detail, ids = finding.detail, finding.subjects
    cause = detail.get("cause")
    if finding.severity == "note":
        return
    if finding.rule == "depth-below":
        wires = trial.catalogue.rule("wire-room")
        yield lambda _, step: [DeepenBox(ids, rounded_up(finding.lack + more, step)) for more in (0.0, wires)]
    if finding.rule == "deck-strength" and "needed" in detail:
        yield lambda unit, _: [
            ThickenBoard(rounded_up(float(detail["needed"]), step)) for step in (_COARSE[unit] / 2, *steps(unit))
        ]
    if finding.rule == "snap-grip" and cause == "thin":
        ring = float(detail["grip_min"]) - float(detail["held"])
        yield lambda _, step: [PackOut(ids, rounded_up(ring, step))]
        return
    if finding.rule == "screw-hold":
        yield from _screws(trial, finding)
    if finding.rule in ("bit-match", "bit-depth"):
        yield from _bits(trial, finding)
    if "width" in detail:
        if float(detail.get("depth", 1.0)) == 0 and cause != "width":
            yield lambda _unit, _step: [LeaveOut(ids, "counterbore")]
        else:
            yield from bores(trial, finding)
    if "recess_depth" in detail:
        if float(detail["recess_depth"]) > 0:
            yield recesses(trial, finding)
        else:
            yield lambda _unit, _step: [LeaveOut(ids, "recess")]


def may_be_cut(finding: Finding) -> bool:
    """Whether a counterbore or a recess, where there is none, may be a way out of a finding: no more work to tell."""
    return "width" in finding.detail or "recess_depth" in finding.detail


def _bits(trial: Trial, finding: Finding) -> Iterator[Maker]:
    """Bits to buy, their sizes as they are said; or what the shop's bits would make instead."""
    detail = finding.detail
    if detail["cause"] == "painted":
        most = float(detail["largest"]) - float(detail["nominal"]) + float(detail["paint"])
        by = -(finding.margin or 0.0)
        yield lambda _, step: [CutWider(finding.subjects, rounded_up(by, step))] if by <= most + TINY else []
        return

    def bought(unit: Unit, step: float) -> list[Change]:
        found: list[Change] = []
        for bit in bits(trial.catalogue, finding, unit):
            size = _as_read(bit, finding, unit, step)
            found.append(BuyBit(bit.kind, size, bit.reach))
        return found if step == steps(unit)[0] else []

    if finding.rule == "bit-match" and detail["cause"] == "counterbore":
        yield other_bores(trial, finding)
    yield bought


def _as_read(bit: BuyBit, finding: Finding, unit: Unit, step: float) -> float:
    """The size of a bit as it is said [mm]."""
    if finding.detail["cause"] == "recess":  # its corners may be rounder than the bit, never tighter
        return inward(bit.diameter, step)
    return parse_length(sold(bit.diameter, unit), unit)


def _screws(trial: Trial, finding: Finding) -> Iterator[Maker]:
    """Screws as long as the board bears, or as it takes for them to hold; none where their length is not known."""
    placed = trial.board.placed(finding.subjects[0])
    fixing = placed.part.fixing if placed else None
    if not isinstance(fixing, ScrewFixing) or fixing.screw_length is None:
        return
    length, floor = fixing.screw_length, trial.catalogue.rule("screw-pilot-floor")
    if finding.detail["cause"] == "through":
        most = length - (floor - (finding.measured or 0.0))
        yield lambda unit, step: [
            ScrewsOf(finding.subjects, down) for s in (_COARSE[unit], step) if (down := inward(most, s)) > 0
        ]
    else:
        least = length + finding.lack
        yield lambda unit, step: [ScrewsOf(finding.subjects, rounded_up(least, s)) for s in (_COARSE[unit], step)]
