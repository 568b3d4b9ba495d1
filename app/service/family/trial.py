"""Bringing tried on one design: what it would become, what is gained and lost by that, and whether it passes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal

from msgspec import Struct

from app.arrange.family.bring import Bringing, bring
from app.arrange.family.wanted import BringSource, BringWays, Wanted
from app.catalogue.load import catalogue
from app.compare.compared import compared
from app.document.resolve import resolve
from app.document.schema import Design
from app.drafting.view.board_view import thumbnail
from app.errors import HolewiseError, NotFoundError
from app.service.background.budget import apart
from app.service.checks.long_designs import has_many_parts
from app.service.keeping import kept_after
from app.service.screens.plans.compare_seen import FindingRow, finding_row
from app.service.screens.plans.revisions_seen import change_line
from app.writers import svg

_MOST_DRAWINGS: Final = 3

Verdict = Literal["passes", "same", "stops", "refused"]


class BringTrial(Struct, frozen=True):
    """What became of a design when something was brought to it.

    Args:
        verdict: it ``passes``; has it all already, the ``same``; would gain ``stops``; or it is ``refused``.
        said: why it is refused; empty if it is not.
        summary: what would be done, for the undo list.
        notes: what becomes of ids, letters and what was there before.
        changes: what is different, a sentence each, as a list of changes has them.
        gained, lost: findings that came and went.
        drawings: small true drawings of the first things brought, inline SVG.
        changed: whether it takes the place of something that was changed since it was brought.
        design: after it; None if it is refused.
    """

    verdict: Verdict
    said: str = ""
    summary: str = ""
    notes: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    gained: tuple[FindingRow, ...] = ()
    lost: tuple[FindingRow, ...] = ()
    drawings: tuple[str, ...] = ()
    changed: bool = False
    design: Design | None = None


def tried(target: Design, source: BringSource, asked: Sequence[Wanted], ways: BringWays, ident: str = "") -> BringTrial:
    """Bring things of a design to another one, which stays as it is.

    Args:
        target: the design that they would come to.
        source: the design they are of.
        asked: what.
        ways: how.
        ident: of the drawing on its page; empty for no drawing.

    Raises:
        NotFoundError: the source has none of it.
    """
    heavy = has_many_parts(target) or has_many_parts(source.design)
    return apart(heavy, _tried, target, source, tuple(asked), ways, ident)


def _tried(target: Design, source: BringSource, asked: tuple[Wanted, ...], ways: BringWays, ident: str) -> BringTrial:
    try:
        done = bring(target, source, asked, catalogue(), ways)
        kept_after(done.design, target)
        found = compared(target, done.design, catalogue())
    except NotFoundError:
        raise
    except HolewiseError as error:
        return BringTrial("refused", str(error))
    gained, lost = tuple(map(finding_row, found.gained)), tuple(map(finding_row, found.lost))
    stops = any(f.severity == "stop" for f in found.gained)
    return BringTrial(
        verdict="same" if done.same else "stops" if stops else "passes",
        summary=done.summary,
        notes=() if done.same else done.notes,
        changes=tuple(change_line(c.board, c.arrangement, c.sentence) for c in found.changes),
        gained=gained,
        lost=lost,
        drawings=_drawings(done, ident) if ident and not done.same else (),
        changed=done.changed,
        design=done.design,
    )


def _drawings(done: Bringing, ident: str) -> tuple[str, ...]:
    places = tuple(dict.fromkeys(done.places))[:_MOST_DRAWINGS]
    boards = (resolve(done.design, board, arrangement or None, catalogue()) for board, arrangement in places)
    return tuple(
        svg.embed(thumbnail(board), role="thumb", prefix=f"{ident}-{n}-", names=False) for n, board in enumerate(boards)
    )


def trial_lines(title: str, trial: BringTrial) -> tuple[str, ...]:
    """A trial as lines of text, its title first."""
    words = {
        "passes": "passes" if not trial.gained else "passes, with new findings",
        "same": "has it already, as it is",
        "stops": "does not pass: it would have new stops",
        "refused": "cannot take it",
    }
    lines = [f"{title}: {words[trial.verdict]}"]
    lines += [f"  {sentence}" for sentence in (trial.said, *trial.notes) if sentence]
    lines += [f"  {line}" for line in trial.changes]
    for head, findings in (("New findings", trial.gained), ("Findings that are gone", trial.lost)):
        lines += [f"  {head}:"] if findings else []
        lines += [f"    {f.severity_words}, {f.where}: {f.sentence}" for f in findings]
    return tuple(lines)
