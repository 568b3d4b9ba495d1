"""The published revisions of a design as a page shows them, what the next one would say, and codes looked up."""

from __future__ import annotations

from datetime import datetime
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.compare.compared import compared
from app.document.published import next_letter, published_letter
from app.document.schema import Design
from app.errors import HolewiseError
from app.model.limits import CHANGE_LINE, CHANGE_LINES
from app.service.workshop import Workshop
from app.units import Unit

FIRST: Final = "First revision"
"""What changed, of the first one."""


class RevisionSeen(Struct, frozen=True):
    """A published revision.

    Args:
        letter: of it.
        date: the day it came out.
        note: of the plan maker.
        changes: what changed, a sentence each.
        moment: id of the moment that it is; empty if this shelf has it not, as of a design opened from a file.
        current: whether the design is that revision now.
    """

    letter: str
    date: str
    note: str
    changes: tuple[str, ...]
    moment: str
    current: bool


class RevisionsSeen(Struct, frozen=True):
    """The revisions of a design.

    Args:
        revisions: the newest first.
        letter: of the next one.
        proposed: what changed since the last one, a line each.
        current: letter of the revision that the design is now; empty if it is none.
        since: why nothing could be compared; empty if it was.
    """

    revisions: tuple[RevisionSeen, ...]
    letter: str
    proposed: tuple[str, ...]
    current: str
    since: str


class CodeFound(Struct, frozen=True):
    """What bears a check code: the design's id and title, the moment, what it is, since when, and its board."""

    design: str
    title: str
    moment: str
    sheets: str
    printed: datetime | None
    board: str
    arrangement: str
    revision: str


def revisions_seen(workshop: Workshop, design_id: str) -> RevisionsSeen:
    """The published revisions of a design, those too that were undone.

    Raises:
        NotFoundError: no such design.
        DamagedError: what is stored of it cannot be read.
    """
    design, moments = workshop.written(design_id), workshop.revisions.of(design_id)
    known = {entry.letter: entry for entry in design.published or ()}
    for moment in moments:
        if moment.letter not in known:  # published, and undone since
            try:
                older = workshop.moment(design_id, moment.moment)
            except HolewiseError:  # damaged: the letter stands all the same
                continue
            known |= {entry.letter: entry for entry in older.published or () if entry.letter == moment.letter}
    kept, current = {moment.letter: moment.moment for moment in moments}, published_letter(design)
    rows = [
        RevisionSeen(e.letter, e.date, e.note, e.changes, kept.get(e.letter, ""), e.letter == current)
        for e in sorted(known.values(), key=lambda e: (len(e.letter), e.letter), reverse=True)
    ]
    letter = next_letter([*kept, *known])
    proposed, since = ((), "") if current else _proposed(workshop, design_id, design, kept)
    return RevisionsSeen(tuple(rows), letter, proposed, current, since)


def _proposed(workshop: Workshop, design_id: str, design: Design, kept: dict[str, str]) -> tuple[tuple[str, ...], str]:
    """What changed since the last revision, a line each; or why that is not known."""
    if not design.published:
        return (FIRST,), ""
    last = design.published[-1].letter
    if last not in kept:
        return (), f"Revision {last} is not on this shelf, so what changed since cannot be told. Write it yourself."
    try:
        found = compared(workshop.moment(design_id, kept[last]), design, catalogue(), Unit(design.units))
    except HolewiseError as error:
        return (), f"What changed since revision {last} cannot be told: {error}"
    lines = [change_line(c.board, c.arrangement, c.sentence) for c in found.changes]
    if len(lines) > CHANGE_LINES.most:
        lines = [*lines[: CHANGE_LINES.most - 1], f"And {len(lines) - CHANGE_LINES.most + 1} more changes."]
    return tuple(lines), ""


def change_line(board: str, arrangement: str, sentence: str) -> str:
    """A change as one line that a revision may keep."""
    where = ", ".join(name for name in (board, arrangement) if name and not sentence.startswith(name))
    line = f"{where}: {sentence}" if where else sentence
    return line if len(line) <= CHANGE_LINE.most else line[: CHANGE_LINE.most - 1] + "…"


def code_found(workshop: Workshop, typed: str) -> tuple[CodeFound, ...]:
    """What sheets printed from this shelf bear a check code, however it is typed; nothing if it is unknown."""
    letters = "".join(c for c in typed.upper() if c.isalnum())
    code = f"{letters[:2]}-{letters[2:]}"
    titles = workshop.revisions.titles()
    found = []
    for printed, when in workshop.revisions.printed(code):
        letter = next((p.letter for p in workshop.revisions.of(printed.design) if p.moment == printed.moment), "")
        found.append(
            CodeFound(
                printed.design, titles.get(printed.design, ""), printed.moment, printed.sheets, when,
                printed.board, printed.arrangement, letter,
            )
        )  # fmt: skip
    return tuple(found)
