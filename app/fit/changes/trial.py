"""Trying a change: whether it clears a finding, and what it would newly make wrong.

A change at a few placements is judged with their neighbours only: nothing further off than the longest distance any
rule asks for can be the worse for it. What depends on the whole board, its strength, is judged on the whole board.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from propcache.api import cached_property

from app.catalogue.load import Catalogue
from app.fit.changes.manual_changes import Change, amended, changed_ids
from app.fit.features.layout import layout_of
from app.fit.finding import SEVERITIES, Finding
from app.fit.limits.cut_depths import TINY
from app.fit.limits.layer_limits import web_limits
from app.fit.registry import RULES, rule_named
from app.fit.report.findings import findings_of
from app.model.fix import Remake
from app.model.part import NutFixing, ScrewFixing
from app.model.resolved import Placed, ResolvedBoard

_WHOLE = 40  # a board of so few placements is judged as a whole: picking neighbours out would save nothing
_SPARE = 10.0  # mm beyond the longest distance asked for
_HEAD = 1.0  # screw diameters from the middle of a screw to the rim of its head


Remaking = Callable[[Remake], ResolvedBoard | None]
"""The board with what a maker made on it made anew of other measures; None where nothing can be made of them."""


class TrialOutcome(Struct, frozen=True):
    """What comes of a change.

    Args:
        left: what is left of the finding; empty if it is cleared.
        fresh: stops and cautions that are new, or worse than they were.
    """

    left: tuple[Finding, ...]
    fresh: tuple[Finding, ...]

    @property
    def clears(self) -> bool:
        """Whether the finding is cleared and nothing is made worse."""
        return not self.left and not self.fresh


class Trial(Struct, frozen=True, eq=False, dict=True):
    """A board on which changes are tried.

    Args:
        board: as it is.
        catalogue: the rules' defaults, and parts and bits.
        before: everything found on it.
        remade: the board with what a maker made on it made anew; None where no design is there to do so.
    """

    board: ResolvedBoard
    catalogue: Catalogue
    before: tuple[Finding, ...]
    remade: Remaking | None = None

    def outcome(self, finding: Finding, change: Change) -> TrialOutcome:
        """What comes of a change that is to clear ``finding``."""
        if isinstance(change, Remake):
            return self._made_anew(finding, change)
        ids = self._about(finding, change)
        if not ids:
            return self._judged(finding, findings_of(amended(self.board, change, self.catalogue), self.catalogue))
        after = amended(self.board, change, self.catalogue)
        near = after.populated(self._near(after, ids))
        outcome = self._judged(finding, findings_of(near, self.catalogue))
        if outcome.clears:
            layout = layout_of(after, self.catalogue)
            return self._judged(finding, [f for rule in RULES if rule.whole for f in rule.find(layout)])
        return outcome

    def clears(self, finding: Finding, change: Change) -> bool:
        """Whether a change clears a finding and makes nothing worse; the first rule that says no will do."""
        if isinstance(change, Remake) or self._about(finding, change):
            return self.outcome(finding, change).clears
        layout = layout_of(amended(self.board, change, self.catalogue), self.catalogue)
        own = rule_named(finding.rule)
        return all(
            not still(finding, found) and not any(is_fresh(f, self._was) for f in found)
            for found in (rule.find(layout) for rule in (own, *(rule for rule in RULES if rule is not own)))
        )

    def _made_anew(self, finding: Finding, change: Remake) -> TrialOutcome:
        """What comes of other measures of a maker; nothing where nothing can be made of them."""
        after = self.remade(change) if self.remade else None
        if after is None:
            return TrialOutcome((finding,), ())
        return self._judged(finding, findings_of(after, self.catalogue))

    def _about(self, finding: Finding, change: Change) -> tuple[str, ...]:
        """The placements with whose neighbours alone a change is judged; none where it takes the whole board."""
        changed, count = changed_ids(change), len(self.board.placements)
        ids = () if changed is None else (*changed, *finding.subjects)
        return () if count <= _WHOLE or 2 * len(ids) > count else ids

    def alone(self, ids: Sequence[str]) -> Trial:
        """The same board with those placements only."""
        wanted = set(ids)
        few = tuple(p for p in self.board.placements if p.id in wanted)
        trial = Trial(self.board.populated(few), self.catalogue, self.before)
        trial.__dict__["_was"] = self._was  # of the same findings: there may be thousands
        return trial

    def fresh(self, now: Sequence[Finding]) -> tuple[Finding, ...]:
        """Stops and cautions of ``now`` that are new, or worse than they were."""
        return tuple(f for f in now if is_fresh(f, self._was))

    def _judged(self, finding: Finding, now: Sequence[Finding]) -> TrialOutcome:
        return TrialOutcome(tuple(still(finding, now)), self.fresh(now))

    @cached_property
    def _was(self) -> Known:
        return known_of(self.before)

    def _near(self, after: ResolvedBoard, ids: Sequence[str]) -> tuple[Placed, ...]:
        """The changed placements as they are now, and those near enough to matter, in their order."""
        places, wanted = self._places, set(ids)
        changed = [p for p in after.placements if p.id in wanted]
        close = np.zeros(len(places), np.bool_)
        for placed in changed:
            span = np.hypot(places[:, 0] - placed.x, places[:, 1] - placed.y)
            close |= span <= places[:, 2] + _reach(placed) + self._longest
        return tuple(p for p, near in zip(after.placements, close.tolist(), strict=True) if near or p.id in wanted)

    @cached_property
    def _places(self) -> npt.NDArray[np.float64]:
        """x, y and reach of every placement, shape (n, 3) [mm]."""
        rows = [(p.x, p.y, _reach(p)) for p in self.board.placements]
        return np.array(rows, np.float64).reshape(-1, 3)

    @cached_property
    def _longest(self) -> float:
        """The longest distance any rule asks for between two placements [mm]."""
        widest = np.array([2 * self._places[:, 2].max(initial=0.0)])
        web = max(float(limit.required[0]) for limit in web_limits(self.board.layers, widest))
        return web + 2 * self.board.tooling.drilling.position + _SPARE


def _reach(placed: Placed) -> float:
    """Radius about its origin of everything a placement brings, above and below [mm]; generous."""
    part, fixing = placed.part, placed.part.fixing
    shapes = [part.body.shape, *(c.shape for c in part.cutouts), *([part.flange.shape] if part.flange else [])]
    reach = max(math.hypot(*shape.centre) + shape.reach for shape in shapes)
    reach = max([reach, *(math.dist(h.centre, (placed.x, placed.y)) + h.shape.reach for h in placed.holes)])
    if isinstance(fixing, NutFixing):
        reach = max(reach, fixing.nut_width / 2)
    if isinstance(fixing, ScrewFixing):
        heads = [math.hypot(*hole) + _HEAD * fixing.screw_diameter for hole in fixing.holes]
        plate = math.hypot(*fixing.plate.centre) + fixing.plate.reach if fixing.plate else 0.0
        reach = max([reach, plate, *heads])
    if part.lever:
        reach = max(reach, part.lever.knob / 2 + part.lever.length)
    if placed.counterbore:
        reach = max(reach, placed.counterbore.diameter / 2)
    if placed.recess:
        reach = max(reach, math.hypot(placed.recess.width, placed.recess.height) / 2)
    return reach


def cause_key(finding: Finding) -> tuple[object, ...]:
    """What tells findings of one rule about the same subjects apart: the edge, the area, what is wrong."""
    return (finding.rule, finding.detail.cause, finding.detail.mark)


def still(finding: Finding, now: Sequence[Finding]) -> list[Finding]:
    """What is left of a finding: the same trouble with the same subjects, or with some of them; no mere note."""
    subjects, cause = set(finding.subjects), cause_key(finding)
    return [f for f in now if f.severity != "note" and cause_key(f) == cause and set(f.subjects) <= subjects]


class Known(Struct, frozen=True):
    """Findings by what they are about.

    Args:
        same: by cause and subjects.
        shared: of several placements of one part, by cause; they are about each of those.
    """

    same: dict[tuple[object, ...], list[Finding]]
    shared: dict[tuple[object, ...], list[Finding]]


def known_of(findings: Sequence[Finding]) -> Known:
    """Findings in the order they are looked for."""
    known = Known({}, {})
    for finding in findings:
        cause = cause_key(finding)
        known.same.setdefault((*cause, finding.subjects), []).append(finding)
        if finding.detail.cause and len(finding.subjects) > 1:
            known.shared.setdefault(cause, []).append(finding)
    return known


def is_fresh(finding: Finding, was: Known) -> bool:
    """Whether a stop or caution is new, or worse than it was."""
    if finding.severity == "note":
        return False
    cause = cause_key(finding)
    old = was.same.get((*cause, finding.subjects), [])
    return not any(_as_bad(one, finding) for one in old) and not any(
        set(finding.subjects) <= set(one.subjects) and _as_bad(one, finding) for one in was.shared.get(cause, ())
    )


def _as_bad(old: Finding, new: Finding) -> bool:
    """Whether what was there is no better than what is there now."""
    if old.severity != new.severity:
        return SEVERITIES.index(old.severity) < SEVERITIES.index(new.severity)
    return old.lack >= new.lack - TINY
