"""Design files read: size and depth first, then JSON, then version, then schema and limits, then sense."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any, NoReturn

from pydantic import ValidationError

from app.catalogue.fields import NEW, TooMuchError
from app.document.bounds import check_bounds
from app.document.consistency import check_pattern_ids, check_sense
from app.document.migrate import migrate
from app.document.schema import Design
from app.errors import DocumentError, LimitError, SizeError
from app.model.limits import FILE, NESTING, VALUES

# A string, closed or not, or a bracket outside one. Possessive, so that a hostile text takes linear time.
_TOKENS = re.compile(r'"(?:[^"\\]|\\.)*+"?+|[\[\]{}]', re.DOTALL)

_SPELLED = re.compile(r"\\u[dD][89a-fA-F]")
_HALF = re.compile("[\ud800-\udfff]")


def load(path: Path) -> Design:
    """The design in the file at ``path``.

    Raises:
        DocumentError: the file cannot be read, with the place in it and what to do.
    """
    return loads(content_of(path))


def content_of(path: Path) -> bytes:
    """What the file at ``path`` holds, if that is no more than a design file may.

    Raises:
        DocumentError: the file cannot be read.
        SizeError: it is larger than a design can be.
    """
    try:
        if path.stat().st_size > FILE.most:
            _too_large(path.stat().st_size)
        return path.read_bytes()
    except OSError as error:
        raise DocumentError(f"{path} cannot be read: {error.strerror or error}. Check its name and place.") from error


def loads(text: str | bytes) -> Design:
    """The design in ``text``, which is new here: JSON as UTF-8, within every limit.

    Raises:
        DocumentError: the text is no design, with the place and what to do.
        SizeError: it is larger or deeper than a design can be.
        LimitError: it holds more than a design may hold.
        VersionError: it was written by a newer Holewise.
    """
    return _design(parsed_file(text), new=True)


def parsed_file(data: str | bytes) -> object:
    """What JSON there is in a file from outside, within the size and depth of a design file.

    Raises:
        DocumentError: it is no JSON, with the place and what to do.
        SizeError: it is larger or deeper than a design can be.
    """
    decoded = _sized(data)
    raw = _parsed(decoded)
    if _SPELLED.search(decoded):
        _check_letters(raw)
    return raw


def recalled(text: str) -> Design:
    """The design in a text of the store, which was taken once: limits that came later do not lock anybody out.

    Raises:
        DocumentError: the text is no design.
        VersionError: it was written by a newer Holewise.
    """
    return _design(_parsed(text), new=False)


def trusted(text: str) -> Design:
    """The design in a text of the program's own, whose sense the tests hold: that is not looked into once more.

    Raises:
        DocumentError: the text is no design.
    """
    return _fields(_migrated(_parsed(text)), new=False)


def _design(raw: object, *, new: bool) -> Design:
    return validated(_migrated(raw), new=new)


def _migrated(raw: object) -> dict[str, Any]:
    if not isinstance(raw, dict):
        raise DocumentError(f"A design is a JSON object, got {_kind(raw)}. Choose a file that Holewise saved.")
    return migrate(raw)


def validated(raw: dict[str, Any], *, new: bool = True) -> Design:
    """The design in parsed JSON of the current version, within every limit if it is ``new``.

    Raises:
        DocumentError: a field is missing, unknown, of the wrong type or out of range, or the whole makes no sense.
        LimitError: nothing is wrong but that it holds more than a design may hold.
    """
    design = _fields(raw, new=new)
    check_sense(design)
    if new:
        check_pattern_ids(design)
        check_bounds(design)
    return design


def _fields(raw: dict[str, Any], *, new: bool) -> Design:
    try:
        return Design.model_validate(raw, context={NEW: new})
    except ValidationError as error:
        raise _refusal([dict(each) for each in error.errors(include_url=False) if not _echoed(dict(each))]) from None


def _refusal(errors: list[dict[str, Any]]) -> DocumentError:
    first, more = errors[0], len(errors) - 1
    message = _said(first) + (f" ({more} more place{'s' if more > 1 else ''} to correct.)" if more else "")
    over: dict[str, float] = {}
    for each in (_too_much(error) for error in errors):
        if each is None:
            return DocumentError(message, _place(first["loc"]))
        over[each.limit.name] = max(over.get(each.limit.name, 0.0), each.got - each.limit.most)
    return LimitError(message, _place(first["loc"]), over)


def _echoed(error: dict[str, Any]) -> bool:
    """Whether a list is called too short only because something in it is wrong, which is told by itself."""
    return error["type"] == "too_short" and bool(len(error["input"]) >= error["ctx"]["min_length"])


def _too_much(error: dict[str, Any]) -> TooMuchError | None:
    cause = error.get("ctx", {}).get("error")
    return cause if isinstance(cause, TooMuchError) else None


def _sized(text: str | bytes) -> str:
    """The text of a file, if it is not larger, deeper or longer than a file may be."""
    data = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    if len(data) > FILE.most:
        _too_large(len(data))
    try:
        decoded = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise DocumentError(
            f"The file is not UTF-8 text (byte {error.start}). Choose a file that Holewise saved."
        ) from None
    _check_depth(decoded)
    if decoded.count(",") > VALUES.most:
        raise SizeError(
            f"The file has more than {VALUES.most:,} values, more than any design. Choose a file that Holewise saved."
        )
    return decoded


def _parsed(decoded: str) -> object:
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
            "The file has a number with more digits than a design can store. Choose a file that Holewise saved."
        ) from None


def _check_letters(raw: object) -> None:
    """Refuse halves of surrogate pairs: JSON can spell them, but no page, file or database can hold them."""
    waiting: list[tuple[object, tuple[int | str, ...]]] = [(raw, ())]
    while waiting:
        value, place = waiting.pop()
        if isinstance(value, str) and _HALF.search(value):
            shown = _place(place).encode("ascii", "backslashreplace").decode("ascii")
            raise DocumentError(
                "A text in the file contains half a character. Correct that text, or open an older copy.", shown
            )
        if isinstance(value, dict):
            for key, each in value.items():
                waiting += ((key, (*place, key)), (each, (*place, key)))
        elif isinstance(value, list):
            waiting += ((each, (*place, index)) for index, each in enumerate(value))


def _check_depth(text: str) -> None:
    """Refuse deep nesting before the parser recurses into it; brackets inside strings do not count."""
    nesting = 0
    for match in _TOKENS.finditer(text):
        first = text[match.start()]
        nesting += (first in "[{") - (first in "]}")
        if nesting > NESTING.most:
            raise SizeError(
                f"The file is nested more than {NESTING.most} deep, deeper than any design. "
                "Choose a file that Holewise saved."
            )


def _no_constant(name: str) -> NoReturn:
    raise DocumentError(f"{name} is not a length. Every number in a design is finite.")


def _no_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        last = {name: index for index, (name, _) in enumerate(pairs)}
        twice = next(name for index, (name, _) in enumerate(pairs) if last[name] != index)
        raise DocumentError(f'"{twice[:60]}" is there twice in one object. Keep one of the two.')
    return found


def _too_large(size: int) -> NoReturn:
    raise SizeError(
        f"The file is {size / 1e6:.1f} MB; a design is at most {FILE.most / 1e6:.0f} MB. "
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
    if (beyond := _too_much(error)) is not None:
        return str(beyond)
    said = f"{error['msg']}, got {_kind(got)}."
    return said + " Correct it in the file and open it again."


def _kind(value: object) -> str:
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list | tuple):
        return "a list"
    text = json.dumps(value, default=str)
    return text if len(text) <= 60 else text[:57] + "…"
