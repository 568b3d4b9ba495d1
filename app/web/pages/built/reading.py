"""The form of *As built*: many rows, each by the name of its cut, as what is said of them."""

from __future__ import annotations

from typing import Final

from app.service.edits.built_distances import TwoDistances
from app.service.edits.built_typing import Tick, TypedCut
from app.web.forms import Form

FIELDS: Final = ("on", "x", "y", "m", "a", "ad", "b", "bd")
"""What a row has: its tick, its centre, its width, and two holes with the distance to each."""

_LONGEST: Final = 200  # characters of the name of a cut


def typed_rows(form: Form) -> tuple[TypedCut, ...]:
    """What is said of each cut of the form; what is wrong is noted beside its field.

    A tick counts only where it is another than it was shown with: a page that is older than the design ticks nothing
    off, and on again, that somebody else has ticked meanwhile.
    """
    shown = set(form.text("shown").split())
    codes = dict.fromkeys(
        code
        for name in form.values
        for kind, _, code in [name.partition(".")]
        if kind in FIELDS and code and len(code) <= _LONGEST
    )
    listed = [*codes, *(code for code in sorted(shown) if code not in codes and len(code) <= _LONGEST)]
    return tuple(_row(form, code, code in shown) for code in listed)


def _row(form: Form, code: str, was: bool) -> TypedCut:
    ticked = form.flag(f"on.{code}")
    tick: Tick = "" if ticked == was else "drilled" if ticked else "not drilled"
    return TypedCut(
        code,
        tick,
        _length(form, f"x.{code}", "The distance from the left edge"),
        _length(form, f"y.{code}", "The distance from the front edge"),
        _between(form, code),
        _length(form, f"m.{code}", "The width measured"),
    )


def _length(form: Form, name: str, words: str) -> float | None:
    return form.length(name, words) if form.text(name) else None


def _between(form: Form, code: str) -> TwoDistances | None:
    names = [f"{kind}.{code}" for kind in ("a", "ad", "b", "bd")]
    if not any(form.text(name) for name in names):
        return None
    for name, words in zip(names, ("the first hole", "the distance to it") * 2, strict=True):
        if not form.text(name):
            form.problems.setdefault(name, f"Type {words.replace('first', 'second') if name[0] == 'b' else words}.")
            form.values.setdefault(name, "")
    distances = [form.length(names[k], "The distance") if form.text(names[k]) else 0.0 for k in (1, 3)]
    return TwoDistances((form.text(names[0]), form.text(names[2])), (distances[0], distances[1]))
