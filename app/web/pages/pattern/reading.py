"""The form of a pattern, read as what it asks for; the same whether it is looked at or saved."""

from __future__ import annotations

from typing import cast

from app.service.edits.patterns import BYS, MIDDLES, MOST_HOLES, ORDERS, SHAPES, By, PatternAsked, Shape
from app.values import replace
from app.web.forms import Form

LENGTHS = {
    "hole": "The hole",
    "pitch": "The pitch",
    "length": "The length of a slot",
    "gap": "The distance",
    "width": "The width",
    "height": "The height",
    "corner": "The corner radius",
    "inset": "The distance from the boundary",
}
"""Fields that hold a length, and what each is called in a sentence."""

_MAY_BE_EMPTY = frozenset({"gap", "corner", "inset"})
_NEEDED = {
    "length": ("order", {"slots"}),
    "gap": ("order", {"slots", "rings"}),
    "width": ("shape", {"circle", "rectangle"}),
    "height": ("shape", {"rectangle"}),
    "corner": ("shape", {"rectangle"}),
    "pitch": ("by", {"pitch"}),
}
"""Which choices a field belongs to; beside others it is hidden, and what stands in it is not read."""


def asked_by(form: Form, base: PatternAsked) -> PatternAsked:
    """What a form asks for; fields that still show what was shown leave ``base`` exactly as it is.

    Problems are noted in the form.
    """
    chosen = {
        "order": _one_of(form, "order", "The order", ORDERS, base.entry.order),
        "shape": _one_of(form, "shape", "What they lie in", SHAPES, base.shape),
        "by": _one_of(form, "by", "The pitch", BYS, base.by),
        "middle": _one_of(form, "middle", "The middle", MIDDLES, base.entry.middle),
    }
    old = {**base.entry.model_dump(include=set(LENGTHS)), **base.entry.boundary.model_dump(include=set(LENGTHS))}
    lengths = {name: _length(form, name, old[name], chosen) for name in LENGTHS}
    boundary = base.entry.boundary.model_copy(
        update={name: lengths[name] for name in ("width", "height", "corner", "inset")}
    )
    entry = base.entry.model_copy(
        update={
            "order": chosen["order"],
            "middle": chosen["middle"],
            "name": form.text("name") if form.has("name") else base.entry.name,
            "boundary": boundary,
            **{name: lengths[name] for name in ("hole", "pitch", "length", "gap")},
        }
    )
    by = cast("By", chosen["by"])
    return replace(
        base,
        entry=entry,
        shape=cast("Shape", chosen["shape"]),
        by=by,
        share=_share(form) if by == "share" else base.share,
        many=form.whole("many", "The number of holes", 1, MOST_HOLES) if by == "many" else base.many,
        angle=form.number("angle", "The angle") if form.changed("angle") else base.angle,
        everywhere=form.text("scope") != "here",
    )


def _one_of(form: Form, name: str, words: str, allowed: tuple[str, ...], old: str) -> str:
    return form.one_of(name, words, allowed) if form.has(name) else old


def _length(form: Form, name: str, old: float, chosen: dict[str, str]) -> float:
    of, where = _NEEDED.get(name, ("", set[str]()))
    if not form.has(name) or (of and chosen[of] not in where) or not form.changed(name):
        return old
    if not form.text(name) and name in _MAY_BE_EMPTY:
        return 0.0
    return form.length(name, LENGTHS[name])


def _share(form: Form) -> float:
    form.values["share"] = form.text("share").removesuffix("%").strip()
    return form.number("share", "The open area")
