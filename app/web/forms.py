"""Forms and queries as typed values: read leniently, refuse plainly, lose nothing.

A form that cannot be taken is shown again with what was typed and a sentence beside each wrong field.
"""

from __future__ import annotations

from collections.abc import Mapping
from http import HTTPStatus

from fastapi import Request
from msgspec import Struct, field
from python_multipart.multipart import parse_options_header
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException

from app.errors import EditError, LengthError
from app.numbers import typed as typed_number
from app.numbers import whole
from app.units import Unit, parse_length

_LARGEST = 1e6
"""Largest plain number, either side of zero; an angle or a shift on the screen is far smaller."""


_CHARSETS = frozenset({b"utf-8", b"utf8", b"us-ascii"})


class FormError(EditError):
    """One or more fields of a form cannot be taken.

    Args:
        problems: sentence by field name.
    """

    def __init__(self, problems: Mapping[str, str]) -> None:
        super().__init__(" ".join(problems.values()), next(iter(problems), ""), problems)


class Form(Struct):
    """The fields of one form, as they were typed.

    Reading methods note a problem and go on, so that every wrong field is told at once; :meth:`done` raises
    if there was any.

    Args:
        values: text by field name.
        unit: unit of a length typed without one.
        files: uploaded bytes by field name.
        problems: sentence by field name.
    """

    values: dict[str, str]
    unit: Unit = Unit.MM
    files: Mapping[str, bytes] = field(default_factory=dict)
    problems: dict[str, str] = field(default_factory=dict)

    def text(self, name: str, default: str = "") -> str:
        """Text of a field, without space around it."""
        return self.values.get(name, default).strip()

    def has(self, name: str) -> bool:
        """Whether the form has the field, empty or not."""
        return name in self.values

    def changed(self, name: str) -> bool:
        """Whether a field is there and holds other text than it was shown with (its twin ``name.was``)."""
        return self.has(name) and self.text(name) != self.text(f"{name}.was", "\0")

    def flag(self, name: str) -> bool:
        """Whether a check box is ticked."""
        return self.text(name).lower() in {"on", "1", "true", "yes"}

    def length(self, name: str, words: str) -> float:
        """A length [mm] typed in any unit; 0.0 after noting a problem."""
        typed = self.text(name)
        try:
            return parse_length(typed, self.unit, what=words)
        except LengthError as error:
            return self._wrong(name, str(error))

    def number(self, name: str, words: str) -> float:
        """A plain number, as an angle in degrees; 0.0 after noting a problem."""
        typed = self.text(name).rstrip("°").strip().replace("−", "-").replace(",", ".")
        value = typed_number(typed)
        if value is None or abs(value) > _LARGEST:
            return self._wrong(name, f"{words} must be an ordinary number, and “{typed[:40]}” is not one.")
        return value

    def whole(self, name: str, words: str, low: int, high: int) -> int:
        """A whole number from ``low`` to ``high``; ``low`` after noting a problem."""
        typed = self.text(name)
        number = whole(typed, low, high)
        if number is not None:
            return number
        self._wrong(name, f"{words} must be a whole number from {low} to {high}, and “{typed[:40]}” is not.")
        return low

    def one_of(self, name: str, words: str, allowed: tuple[str, ...]) -> str:
        """One of the listed words; the first after noting a problem."""
        typed = self.text(name)
        if typed in allowed:
            return typed
        self._wrong(name, f"{words} must be one of {', '.join(allowed)}; got “{typed[:40]}”.")
        return allowed[0]

    def done(self) -> None:
        """Raise if any field was wrong.

        Raises:
            FormError: with a sentence for each wrong field.
        """
        if self.problems:
            raise FormError(self.problems)

    def _wrong(self, name: str, sentence: str) -> float:
        self.problems.setdefault(name, sentence)
        # A page shows what was typed beside what is wrong with it; of a field that did not come, that is nothing.
        self.values.setdefault(name, "")
        return 0.0


def unit_of(name: str) -> Unit:
    """The unit named in an address or form; millimetres if it names none."""
    return Unit.INCH if name == Unit.INCH.value else Unit.MM


async def _check_sent(request: Request) -> None:
    """Refuse a form in an odd character set, or in parts that break off.

    Some character sets decode to text that no page or file can hold, others not at all; pages are UTF-8, so every form
    of theirs is too (HTML standard, 4.10.21.5). Of a form cut short the last field would silently be missing: its end
    is a line of its own (RFC 2046, 5.1.1).
    """
    kind, options = parse_options_header(request.headers.get("content-type", ""))
    if options.get(b"charset", b"utf-8").lower() not in _CHARSETS:
        raise HTTPException(HTTPStatus.UNSUPPORTED_MEDIA_TYPE)
    if kind == b"multipart/form-data":
        end = b"\r\n--" + options.get(b"boundary", b"") + b"--"
        if not (b"\r\n" + await request.body()).rstrip().endswith(end):
            raise HTTPException(HTTPStatus.BAD_REQUEST)


async def read_form(request: Request) -> Form:
    """The form of a request; usable as a dependency. The unit is that of the screen it was typed on.

    Raises:
        HTTPException: what was sent is no form (400), or in another character set than every browser sends (415).
    """
    await _check_sent(request)
    data: FormData = await request.form(max_files=4, max_fields=200)
    values: dict[str, str] = {}
    files: dict[str, bytes] = {}
    for name, value in data.multi_items():
        if isinstance(value, UploadFile):
            files[name] = await value.read()
            values.setdefault(f"{name}.name", value.filename or "")
        else:
            values[name] = value
    await data.close()
    return Form(values=values, unit=unit_of(values.get("unit", values.get("units", ""))), files=files)
