"""Older design files made current, one version at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from app.document.schema import FORMAT, VERSION
from app.errors import DocumentError, VersionError

Raw = dict[str, Any]

#: From the version given to the next. A step takes the parsed file and returns a new one.
STEPS: Mapping[int, Callable[[Raw], Raw]] = {}


def migrate(raw: Raw, steps: Mapping[int, Callable[[Raw], Raw]] = STEPS, current: int = VERSION) -> Raw:
    """The parsed file in the current version.

    Raises:
        DocumentError: it is no Holewise design, or its version is no whole number from 1.
        VersionError: it was written by a newer Holewise.
    """
    if raw.get("format") != FORMAT:
        raise DocumentError(
            f'This is not a Holewise design: "format" is {_shown(raw.get("format"))}, not "{FORMAT}". '
            "Choose a file that Holewise saved.",
            "format",
        )
    version = raw.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise DocumentError(
            f"The version is a whole number from 1 to {current}, got {_shown(version)}. "
            "Choose a file that Holewise saved.",
            "version",
        )
    if version > current:
        raise VersionError(
            f"This design was written by a newer Holewise: its version is {version}, and this one reads up to "
            f"{current}. Update Holewise, then open it again; the file is unchanged.",
            "version",
        )
    while version < current:
        raw = steps[version](raw)
        version += 1
        raw = {**raw, "version": version}
    return raw


def _shown(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "…"
