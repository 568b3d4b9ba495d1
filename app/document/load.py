"""Design files read: size and depth first, then JSON, then version, then schema, then sense."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any, NoReturn

from pydantic import ValidationError

from app.document.migrate import migrate
from app.document.schema import Design
from app.document.sense import check_sense
from app.errors import DocumentError, SizeError

LARGEST = 5_000_000  # bytes; the largest design that makes sense is a tenth of it
DEEPEST = 40  # nested lists and objects; a design needs a dozen
MOST = 500_000  # values, told by their commas; judging a longer list of nonsense would take many seconds
# A string, closed or not, or a bracket outside one. Possessive, so that a hostile text takes linear time.
_TOKENS = re.compile(r'"(?:[^"\\]|\\.)*+"?+|[\[\]{}]', re.DOTALL)


def load(path: Path) -> Design:
    """The design in the file at ``path``.

    Raises:
        DocumentError: the file cannot be read, with the place in it and what to do.
    """
    try:
        if path.stat().st_size > LARGEST:
            _too_large(path.stat().st_size)
        return loads(path.read_bytes())
    except OSError as error:
        raise DocumentError(f"{path} cannot be read: {error.strerror or error}. Check its name and place.") from error


def loads(text: str | bytes) -> Design:
    """The design in ``text``: JSON as UTF-8.

    Raises:
        DocumentError: the text is no design, with the place and what to do.
        SizeError: it is larger or deeper than a design can be.
        VersionError: it was written by a newer Holewise.
    """
    raw = _parsed(text)
    if not isinstance(raw, dict):
        raise DocumentError(f"A design is a JSON object, got {_kind(raw)}. Choose a file that Holewise saved.")
    return validated(migrate(raw))


def validated(raw: dict[str, Any]) -> Design:
    """The design in parsed JSON of the current version.

    Raises:
        DocumentError: a field is missing, unknown, of the wrong type or out of range, or the whole makes no sense.
    """
    try:
        design = Design.model_validate(raw)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        more = error.error_count() - 1
        message = _said(dict(first)) + (f" ({more} more place{'s' if more > 1 else ''} to mend.)" if more else "")
        raise DocumentError(message, _place(first["loc"])) from None
    check_sense(design)
    return design


def _parsed(text: str | bytes) -> object:
    data = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    if len(data) > LARGEST:
        _too_large(len(data))
    try:
        decoded = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise DocumentError(
            f"The file is not UTF-8 text (byte {error.start}). Choose a file that Holewise saved."
        ) from None
    _check_depth(decoded)
    if decoded.count(",") > MOST:
        raise SizeError(
            f"The file holds more than {MOST:,} values, which no design does. Choose a file that Holewise saved."
        )
    try:
        return json.loads(decoded, parse_constant=_no_constant, object_pairs_hook=_no_doubles)
    except json.JSONDecodeError as error:
        what = error.msg.removesuffix(" at")
        raise DocumentError(
            f"The file is not complete JSON: {what} at line {error.lineno}, column {error.colno}. "
            "It may be cut short; open an older copy."
        ) from None
    except ValueError as error:
        if isinstance(error, DocumentError):
            raise
        raise DocumentError(
            "The file holds a number with more digits than a design can hold. Choose a file that Holewise saved."
        ) from None


def _check_depth(text: str) -> None:
    """Refuse deep nesting before the parser recurses into it; brackets inside strings do not count."""
    depth = 0
    for match in _TOKENS.finditer(text):
        first = text[match.start()]
        depth += (first in "[{") - (first in "]}")
        if depth > DEEPEST:
            raise SizeError(
                f"The file is nested more than {DEEPEST} deep, which no design is. Choose a file that Holewise saved."
            )


def _no_constant(name: str) -> NoReturn:
    raise DocumentError(f"{name} is not a length. Every number in a design is finite.")


def _no_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        last = {name: index for index, (name, _) in enumerate(pairs)}
        twice = next(name for index, (name, _) in enumerate(pairs) if last[name] != index)
        raise DocumentError(f'"{twice[:60]}" stands twice in one object. Keep one of the two.')
    return found


def _too_large(size: int) -> NoReturn:
    raise SizeError(
        f"The file is {size / 1e6:.1f} MB; a design is at most {LARGEST / 1e6:.0f} MB. "
        "Choose a file that Holewise saved."
    )


def _place(location: tuple[int | str, ...]) -> str:
    place = ""
    for step in location:
        place += f"[{step}]" if isinstance(step, int) else f".{step}" if place else str(step)
    return place


def _said(error: dict[str, Any]) -> str:
    got = error.get("input")
    if error["type"] == "extra_forbidden":
        return "Unknown field. Remove it, or check its spelling against the schema."
    if error["type"] == "missing":
        return "This field is missing. Add it, or open an older copy."
    said = f"{error['msg']}, got {_kind(got)}."
    return said + " Correct it in the file and open it again."


def _kind(value: object) -> str:
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list | tuple):
        return "a list"
    text = json.dumps(value, default=str)
    return text if len(text) <= 60 else text[:57] + "…"
