"""The words above and below a section: what is cut, its scale, and what is wrong."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.hardware.provenance import trust_words
from app.drafting.section.sizes import Seen
from app.drafting.section.stacking import SIZE
from app.drafting.words import length
from app.fit.finding import Finding
from app.fit.words.messages import message
from app.model.resolved import Placed
from app.scene.bounds import Box
from app.scene.metrics import text_width
from app.scene.palette import TEXT, TEXT_CAUTION, TEXT_MUTED, TEXT_STOP
from app.scene.primitives import Item, Text


def scale_words(k: float) -> str:
    """“2 : 1”, “3 : 2”, “1 : 5”."""
    if k == 1.5:
        return "3 : 2"
    return f"{k:g} : 1" if k >= 1 else f"1 : {1 / k:g}"


def section_words(seen: Seen, placed: Placed, own_findings: Sequence[Finding], box: Box) -> tuple[Item, ...]:
    """Title, what it is drawn to and how far to trust the sizes above; what is wrong below."""
    x0, y0, x1, y1 = box
    name = f"{placed.label}: {placed.part.name}" if placed.label else placed.part.name
    where = f"{length(placed.x, seen.unit)} from the left edge, {length(placed.y, seen.unit)} from the front edge"
    facts = f"Scale {scale_words(seen.scale)}" + (", free depth broken off." if seen.broken else ".")
    about = f"{where}; {_seen_from(placed.angle - seen.placed.angle)}. {facts}"
    lines = [(f"Section through {name}", 1.2 * SIZE, TEXT, True), (about, SIZE, TEXT_MUTED, False)]
    if not placed.part.is_pattern:
        lines.append((f"{trust_words(placed.part.source)}.", SIZE, TEXT_MUTED, False))
    items: list[Item] = []
    y = y1 + 5.0
    for text, size, style, bold in reversed(lines):
        for row in reversed(_wrapped(text, size, bold, x1 - x0)):
            items.append(Text((x0, y), row, size, style, bold=bold))
            y += 1.4 * size
    y = y0 - 3.0
    for finding in own_findings:
        style = TEXT_STOP if finding.severity == "stop" else TEXT_CAUTION
        lead = "Stop: " if finding.severity == "stop" else "Caution: "
        for row in _wrapped(lead + message(finding, seen.board, seen.unit), SIZE, False, x1 - x0):
            y -= 1.4 * SIZE
            items.append(Text((x0, y), row, SIZE, style))
        y -= 0.4 * SIZE
    return tuple(items)


def _seen_from(angle: float) -> str:
    """Where one stands who sees the cut like this; ``angle`` is its direction on the board [degrees]."""
    sides = {0: "the front", 90: "the right", 180: "the back", 270: "the left"}
    turn = round(angle % 360.0, 3) % 360.0
    return f"seen from {sides[int(turn)]}" if turn in sides else f"cut at {turn % 180.0:.0f}° to the front edge"


def _wrapped(text: str, size: float, bold: bool, width: float) -> list[str]:
    """Words in the fewest lines no wider than ``width``, even in a wider font, and about alike: none stands alone."""
    rows = _filled(text, size, bold, width)
    if len(rows) == 1:
        return rows
    narrow, wide = 0.0, width
    while wide - narrow > size / 4:
        middle = (narrow + wide) / 2
        narrow, wide = (narrow, middle) if len(_filled(text, size, bold, middle)) == len(rows) else (middle, wide)
    return _filled(text, size, bold, wide)


def _filled(text: str, size: float, bold: bool, width: float) -> list[str]:
    rows: list[str] = []
    for word in text.split():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and text_width(longer, size, bold) * 1.1 <= width:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows
