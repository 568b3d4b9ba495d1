"""Counts and times in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from app.model.material import Layer


def counted(number: int, one: str, many: str = "") -> str:
    """``1 stop``, ``3 stops``."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def ago(moment: datetime, now: datetime) -> str:
    """How long ago: ``just now``, ``5 minutes ago``, ``yesterday``, then the date."""
    passed = now - moment
    if passed < timedelta(minutes=1):
        return "just now"
    if passed < timedelta(hours=1):
        return f"{counted(int(passed.total_seconds() // 60), 'minute')} ago"
    if passed < timedelta(days=1):
        return f"{counted(int(passed.total_seconds() // 3600), 'hour')} ago"
    if passed < timedelta(days=2):
        return "yesterday"
    local = moment.astimezone()
    return f"{local.day} {local.strftime('%B %Y')}"


def material_words(layers: Sequence[Layer]) -> str:
    """``MDF``, ``Acrylic on plywood``: top to underside."""
    names = [layer.material.name for layer in layers]
    return " on ".join([names[0], *(name if name.isupper() else name.lower() for name in names[1:])])


def listed(words: list[str]) -> str:
    """``A``, ``A and B``, ``A, B and C``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""
