"""What a drilled board needs to become another: one step for each old cut and each new one, judged by all rules."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Literal

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.errors import EditError
from app.fit.finding import Finding
from app.fit.report.report import Report, check
from app.model.as_built import NOTHING_BUILT
from app.model.resolved import ResolvedBoard
from app.retrofit.board_work import BoardWork, board_reasons, board_work
from app.retrofit.cut import DrilledCut, cuts_of, made_cuts
from app.retrofit.kept_wide import as_wide, other_width
from app.retrofit.least_work import harms_of, least_work
from app.retrofit.left_open import OLD, is_hidden_by_it, key_of, left_open, with_pocket
from app.retrofit.meeting import PlugMeets, meetings
from app.retrofit.option import KINDS, OldWay
from app.retrofit.options import Possible, possible
from app.units import Unit
from app.values import replace

Verdict = Literal["nothing", "retrofit", "dearer", "anew"]


class OldStep(Struct, frozen=True):
    """What becomes of an old cut.

    Args:
        cut: it.
        taken: the way that is taken.
        options: all ways there are.
        new: the new cut that it is kept for or enlarged to; None for the others.
        guide: whether the bit that enlarges it needs a guide.
        meets: what its plug meets, where it is plugged.
        wanted: whether the builder chose it.
    """

    cut: DrilledCut
    taken: OldWay
    options: tuple[OldWay, ...]
    new: DrilledCut | None
    guide: bool
    meets: tuple[PlugMeets, ...]
    wanted: bool


class NewStep(Struct, frozen=True):
    """How a new cut is made.

    Args:
        cut: it.
        kept: the old cut that does for it; None where it is made.
        within: old cuts that go with it.
        plugs: old cuts whose plugs it runs into.
        over: the old cut that leaves no wood for the point of its bit, which needs a guide block; None if none does.
        minutes: work that it takes, with the guide.
    """

    cut: DrilledCut
    kept: DrilledCut | None
    within: tuple[DrilledCut, ...]
    plugs: tuple[DrilledCut, ...]
    over: DrilledCut | None
    minutes: float

    @property
    def guide(self) -> bool:
        """Whether the point of its bit needs a guide block."""
        return self.over is not None


class Retrofit(Struct, frozen=True):
    """What a drilled board needs.

    Args:
        old, new: the board as it was drilled, and as it shall be.
        final: as it will be, with the old holes that stay open.
        old_steps: one for each old cut.
        new_steps: one for each new one.
        board: work on the board itself.
        reasons: why it cannot be done without a new board; empty if it can.
        told: what comes of what the builder chose.
        gained: what the rules find that they would not on a board made anew.
        minutes: all work.
        anew: minutes for a new board.
    """

    old: ResolvedBoard
    new: ResolvedBoard
    final: ResolvedBoard
    old_steps: tuple[OldStep, ...]
    new_steps: tuple[NewStep, ...]
    board: tuple[BoardWork, ...]
    reasons: tuple[str, ...]
    told: tuple[str, ...]
    gained: tuple[Finding, ...]
    minutes: float
    anew: float

    @property
    def verdict(self) -> Verdict:
        """Nothing to do, to be done, more work than a new board, or not possible without one."""
        if self.reasons or any(f.severity == "stop" for f in self.gained):
            return "anew"
        if self.minutes == 0 and not self.board:
            return "nothing"
        return "dearer" if self.minutes > self.anew else "retrofit"


def retrofit(
    old: ResolvedBoard,
    new: ResolvedBoard,
    catalogue: Catalogue,
    wanted: Mapping[str, str] | None = None,
    unit: Unit = Unit.MM,
) -> Retrofit:
    """What a board needs that is drilled as ``old`` to become ``new``, by least work.

    Args:
        old: the board as it was drawn, or where anything is marked as made, as it was made.
        new: the board that it shall become; what is marked as made on it does not count.
        catalogue: of limits and minutes.
        wanted: kinds that the builder has chosen, by the ident of the old cut.
        unit: of the reasons.

    Raises:
        EditError: a way was chosen that there is not.
    """
    new = replace(new, as_built=NOTHING_BUILT)
    before, after = made_cuts(old), cuts_of(new)
    could = possible(meetings(before, after, new, catalogue), old.boundary)
    chosen = _chosen(could, wanted or {})
    taken = least_work(could, chosen)
    old_steps, new_steps = _steps(could, taken, chosen)
    final = _final(could, old_steps, new_steps)
    work = board_work(old, new, catalogue)
    minutes = sum(s.taken.minutes for s in old_steps) + sum(s.minutes for s in new_steps) + sum(w.minutes for w in work)
    reasons = (*board_reasons(old, new, before, unit), *_harm_words(could, taken, old_steps))
    anew = catalogue.rule("retrofit-board") + sum(could.fresh)
    gained = _gained(check(final, catalogue), check(new, catalogue), old_steps)
    told = tuple(
        f"The old hole of {s.cut.name} stays open in the top face."
        for s in old_steps
        if s.wanted and s.taken.kind == "open" and not s.taken.hidden
    )
    return Retrofit(old, new, final, old_steps, new_steps, work, reasons, told, gained, minutes, anew)


def _chosen(could: Possible, wanted: Mapping[str, str]) -> dict[int, str]:
    found: dict[int, str] = {}
    for k, cut in enumerate(could.meetings.old):
        kind = wanted.get(cut.ident)
        if not kind:
            continue
        kinds = [o.kind for o in could.options[k]]
        if kind not in kinds:
            allowed = ", ".join(dict.fromkeys(kinds))
            raise EditError(
                f"The old hole of {cut.name} cannot be dealt with by “{kind[:20]}”. Choose one of: {allowed}.",
                cut.ident,
            )
        found[k] = kind
    return found


def _steps(
    could: Possible, taken: Sequence[OldWay], chosen: Mapping[int, str]
) -> tuple[tuple[OldStep, ...], tuple[NewStep, ...]]:
    old, new = could.meetings.old, could.meetings.new
    kept = {o.new: old[k] for k, o in enumerate(taken) if o.kind == "keep"}
    within: dict[int, list[DrilledCut]] = {}
    plugs: dict[int, list[DrilledCut]] = {}
    for k, option in enumerate(taken):
        if option.kind == "enlarge" and option.new is not None:
            within.setdefault(option.new, []).append(old[k])
        for met in could.plugs.get(k, ()) if option.kind == "plug" else ():
            if met.gap < 0 and met.new not in kept:
                plugs.setdefault(met.new, []).append(old[k])
    guided = {
        j: next(old[k] for k in olds if taken[k].kind != "plug")
        for j, olds in could.led.items()
        if j not in kept and any(taken[k].kind != "plug" for k in olds)
    }
    guide = could.meetings.catalogue.rule("retrofit-guide")
    new_steps = tuple(
        NewStep(
            cut, kept.get(j), tuple(within.get(j, ())), tuple(plugs.get(j, ())), guided.get(j),
            0.0 if j in kept else could.fresh[j] + guide * (j in guided),
        )
        for j, cut in enumerate(new)
    )  # fmt: skip
    old_steps = tuple(
        OldStep(
            old[k], option, tuple(could.options[k]), None if option.new is None else new[option.new],
            option.kind == "enlarge" and option.new in guided and k in could.led.get(option.new or 0, ()),
            tuple(m for m in could.plugs.get(k, ()) if m.new not in kept) if option.kind == "plug" else (), k in chosen,
        )
        for k, option in enumerate(taken)
    )  # fmt: skip
    return old_steps, new_steps


def _final(could: Possible, old_steps: Sequence[OldStep], new_steps: Sequence[NewStep]) -> ResolvedBoard:
    """The board as it will be: kept holes as wide as they are, and old cuts that stay open."""
    new = could.meetings.board
    widths = {s.cut.key: width for s in new_steps if s.kept and (width := other_width(s.kept, s.cut))}
    owners = {key.placement for key in widths}
    left = [s.cut for s in old_steps if s.taken.kind == "open"]
    own = {ident: cut for cut in left if (ident := could.meetings.own(cut))}
    rows = [as_wide(p, widths) if p.id in owners else p for p in new.placements]
    rows = [with_pocket(p, own[p.id]) if p.id in own else p for p in rows]
    stay = [left_open(cut) for cut in left if all(cut is not mine for mine in own.values())]
    return new.populated((*rows, *stay)) if left or widths else new


def _gained(final: Report, fresh: Report, steps: Sequence[OldStep]) -> tuple[Finding, ...]:
    """What the rules find on the board as it will be, and would not on one made anew."""
    left = Counter(map(key_of, fresh.findings))
    open_ones = {OLD + s.cut.ident: s for s in steps if s.taken.kind == "open"}
    found = []
    for finding in final.findings:
        key = key_of(finding)
        if left[key] > 0:
            left[key] -= 1
            continue
        hid = [open_ones[i] for i in finding.subjects if i in open_ones]
        if finding.severity != "note" and not any(is_hidden_by_it(finding, s.cut, s.taken.hidden) for s in hid):
            found.append(finding)
    return tuple(found)


def _harm_words(could: Possible, taken: Sequence[OldWay], steps: Sequence[OldStep]) -> tuple[str, ...]:
    """What cannot be done well, where no way of all does no harm, or the builder chose one that does."""
    found = []
    new = could.meetings.new
    for k, (option, step) in enumerate(zip(taken, steps, strict=True)):
        for met in step.meets:
            plug, hole = f"the plug of {step.cut.name}", new[met.new].name
            if met.how == "thin":
                found.append(f"Too little wood is left between {plug} and the hole for {hole}.")
            elif met.how == "loose":
                found.append(f"The hole for {hole} leaves too little of {plug}: it would come out.")
        if not step.wanted and harms_of(could, k, option):
            if option.kind == "keep":
                why = "cannot be kept, as it is of another width than the new one, and no plug would hold"
            elif any(o.kind == "plug" for o in step.options):
                why = "can neither be plugged so that the plug holds, nor be left open"
            else:
                why = "is too wide to plug, and nothing covers it"
            found.append(f"The old hole of {step.cut.name} {why}.")
    return tuple(dict.fromkeys(found))


__all__ = ["KINDS", "NewStep", "OldStep", "Retrofit", "Verdict", "retrofit"]
