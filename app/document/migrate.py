"""Older design files made current, one version at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from app.document.schema import FORMAT, VERSION
from app.errors import DocumentError, VersionError

Raw = dict[str, Any]


def _set_back(raw: Raw) -> Raw:
    """From version 1, which called the set-back of a corner its ``ease``.

    What is not as the schema has it is left for the schema to refuse.
    """
    boards = raw.get("boards")
    if not isinstance(boards, list):
        return raw
    return {**raw, "boards": [_board_set_back(board, f"boards[{k}].outline") for k, board in enumerate(boards)]}


def _board_set_back(board: object, place: str) -> object:
    outline = board.get("outline") if isinstance(board, dict) else None
    if not isinstance(board, dict) or not isinstance(outline, dict):
        return board
    changed = dict(outline)
    if "corners" in outline:
        changed["corners"] = _ring_set_back(outline["corners"], f"{place}.corners")
    openings = outline.get("openings")
    if isinstance(openings, list):
        changed["openings"] = [_ring_set_back(ring, f"{place}.openings[{k}]") for k, ring in enumerate(openings)]
    return {**board, "outline": changed}


def _ring_set_back(ring: object, place: str) -> object:
    if not isinstance(ring, list):
        return ring
    corners = []
    for k, corner in enumerate(ring):
        if isinstance(corner, dict) and "setback" in corner:
            raise DocumentError(
                "Unknown field: a file of version 1 calls it “ease”. Remove it, or check the version of the file.",
                f"{place}[{k}].setback",
            )
        corners.append({_NEW.get(key, key): v for key, v in corner.items()} if isinstance(corner, dict) else corner)
    return corners


_NEW = {"ease": "setback"}


def _with_patterns(raw: Raw) -> Raw:
    """From version 2, which had no patterns, no makers and no list of deleted boards: nothing of it changes."""
    return raw


def _with_bench(raw: Raw) -> Raw:
    """From version 3, which kept nothing of the bench, as what was drilled or wired: nothing of it changes."""
    return raw


#: From the version given to the next. A step takes the parsed file and returns a new one.
STEPS: Mapping[int, Callable[[Raw], Raw]] = {1: _set_back, 2: _with_patterns, 3: _with_bench}


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
