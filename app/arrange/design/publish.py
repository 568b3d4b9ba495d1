"""A design published as a revision: its letter, day, note and list of changes put into it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from app.arrange.change import Edit
from app.document.published import plan_digest, published_letter
from app.document.published_schema import PublishedEntry
from app.document.schema import Design
from app.errors import EditError
from app.model.limits import CHANGE_LINE, CHANGE_LINES, NOTES, REVISIONS


def publish(design: Design, letter: str, date: str, note: str, changes: Sequence[str]) -> Edit:
    """Publish a design as it is.

    Args:
        design: the design.
        letter: of the revision, which none has had.
        date: the day, as ``2026-02-01``.
        note: of the plan maker; may be empty.
        changes: what changed since the revision before, a sentence each.

    Raises:
        EditError: it is published as it is already, or a text is too long or cannot be saved.
    """
    already = published_letter(design)
    if already:
        raise EditError(f"This is revision {already}, and nothing has changed since. Change something first.")
    if len(design.published or ()) >= REVISIONS.most:
        raise EditError(REVISIONS.said(REVISIONS.most + 1))
    lines = tuple(line for line in (_one_line(each, k) for k, each in enumerate(changes, 1)) if line)
    if len(lines) > CHANGE_LINES.most:
        raise EditError(CHANGE_LINES.said(len(lines)), "changes")
    entry = PublishedEntry(letter=letter, date=date, note=_text(note), changes=lines, digest=plan_digest(design))
    return Edit(
        design.model_copy(update={"published": (*(design.published or ()), entry)}), f"Published revision {letter}"
    )


def _one_line(text: str, number: int) -> str:
    line = " ".join(text.split())
    if len(line) > CHANGE_LINE.most:
        raise EditError(f"Line {number}: {CHANGE_LINE.said(len(line))}", "changes")
    if re.search(r"[\x00-\x1f\x7f\ud800-\udfff]", line):
        raise EditError(f"Line {number} holds a character that cannot be saved. Type it again.", "changes")
    return line


def _text(note: str) -> str:
    text = note.replace("\r\n", "\n").replace("\r", "\n").strip()
    if len(text) > NOTES.most:
        raise EditError(NOTES.said(len(text)), "note")
    if any(0xD800 <= ord(c) <= 0xDFFF for c in text):
        raise EditError("The note holds half a character, which cannot be saved. Type it again.", "note")
    return text
