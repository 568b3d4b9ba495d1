"""Accepting a caution with a reason, and taking that back; both kept in the document."""

from __future__ import annotations

from app.arrange.change import Edit, with_arrangement, words
from app.document.resolve import find_arrangement, find_board
from app.document.schema import AcceptedEntry, ArrangementEntry, Design
from app.errors import EditError, NotFoundError
from app.model.accepted import Accepted
from app.model.limits import ACCEPTED, REASON
from app.units import LONGEST


def accept(design: Design, board: str | None, arrangement: str | None, what: Accepted, severity: str) -> Edit:
    """Accept a caution as it is now; an older acceptance of the same thing is replaced.

    Args:
        design: the document.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        what: the rule, its subjects, the figure accepted and the reason.
        severity: of the finding: only a caution can be accepted.

    Raises:
        EditError: it is no caution, or the reason is missing, too long or not one line.
        NotFoundError: no such board, arrangement or placement.
    """
    if severity != "caution":
        what_then = (
            "A stop cannot be accepted: it cannot be built as drawn"
            if severity == "stop"
            else "A note needs no acceptance"
        )
        raise EditError(f"{what_then}. Only cautions are accepted.", "finding")
    reason = words(what.reason, "The reason", "reason", REASON.most, 1)
    within = find_arrangement(find_board(design, board), arrangement)
    known = {p.id: p.label or p.part for p in within.placements}
    lost = [s for s in what.subjects if s not in known]
    if lost:
        raise NotFoundError(f'There is no placement "{lost[0][:80]}" any more. Reload the page.')
    kept = tuple(entry for entry in within.accepted if not _same(entry, what))
    if len(kept) >= ACCEPTED.most:
        raise EditError(
            f"{ACCEPTED.most} cautions are accepted, the most there can be. Withdraw some first.", "finding"
        )
    figure, needed = _within(what.measured), _within(what.required)
    entry = AcceptedEntry(
        rule=what.rule, subjects=what.subjects, measured=figure, reason=reason, cause=what.cause, required=needed
    )
    who = _about(what.subjects, known)
    return Edit(_with(design, board, arrangement, (*kept, entry)), f"Accepted {_rule(what.rule)}{who}: {reason}")


def _within(figure: float | None) -> float | None:
    """The figure, no larger than a document may say."""
    return None if figure is None else min(max(figure, -LONGEST), LONGEST) + 0.0


def withdraw(design: Design, board: str | None, arrangement: str | None, what: Accepted) -> Edit:
    """Take an acceptance back, so that the caution counts again.

    Raises:
        NotFoundError: no such board or arrangement, or it is not accepted.
    """
    within = find_arrangement(find_board(design, board), arrangement)
    kept = tuple(entry for entry in within.accepted if not _same(entry, what))
    if len(kept) == len(within.accepted):
        raise NotFoundError("That is no longer accepted. Reload the page.")
    known = {p.id: p.label or p.part for p in within.placements}
    who = _about(what.subjects, known)
    return Edit(_with(design, board, arrangement, kept), f"Withdrew acceptance of {_rule(what.rule)}{who}")


def _same(entry: AcceptedEntry, what: Accepted) -> bool:
    about = (entry.rule, entry.cause) == (what.rule, what.cause)
    return about and set(entry.subjects) == set(what.subjects)


def _with(design: Design, board: str | None, arrangement: str | None, accepted: tuple[AcceptedEntry, ...]) -> Design:
    def change(old: ArrangementEntry) -> ArrangementEntry:
        return old.model_copy(update={"accepted": accepted})

    return with_arrangement(design, board, arrangement, change)


def _rule(name: str) -> str:
    return name.replace("-", " ")


def _about(subjects: tuple[str, ...], known: dict[str, str]) -> str:
    if not subjects:
        return ""
    if len(subjects) > 3:
        return f" at {len(subjects)} places"
    return f" of {', '.join(known.get(s, s) for s in subjects)}"
