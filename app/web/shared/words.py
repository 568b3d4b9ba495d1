"""Times in words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from app.service.screens.words import counted


def utc_now() -> datetime:
    """The time now, to which others are said."""
    return datetime.now(UTC)


def ago(moment: datetime | None, now: datetime) -> str:
    """How long ago: ``just now``, ``5 minutes ago``, ``yesterday``, then the date; or that nobody knows."""
    if moment is None:
        return "at a time that is not known"
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
