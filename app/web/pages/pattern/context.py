"""The page of a pattern of holes: its picture on the board, its measures, and what follows from them."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup
from msgspec import Struct, field

from app.service.edits.patterns import PatternAsked, PatternHeld
from app.service.screens.choices import Choice
from app.service.screens.pattern_seen import (
    BY_WORDS,
    MIDDLE_WORDS,
    ORDER_WORDS,
    SHAPE_WORDS,
    PatternSeen,
    field_texts,
    measure_rows,
)
from app.service.sight import Sight
from app.units import Unit
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState


class PatternPage(Struct, frozen=True):
    """The page of a pattern, new or on the board.

    Args:
        view: the view.
        title: of the design.
        action: address of the page, to which its form is sent.
        back_url: the board page.
        units: switch.
        unit: unit of fields, ``mm`` or ``inch``.
        is_new: whether it is not on the board yet.
        seen: the pattern as it would be; as it is where what was typed is not possible.
        drawing: the same on its board, inline SVG.
        fields: text of each field by name.
        shown: what each field was shown with; none where the pattern is new.
        orders, shapes, bys, middles: what can be chosen.
        scope: where a change is made; empty if it is in one place.
        is_made: whether a maker made it, so that it is only read here.
        made_as: what that maker makes, in words; empty if it is not known here.
        maker_url: the page of that maker.
        rows: its measures to read, where that maker alone changes them.
        copied: whether it shares its holes with what a maker made, and is copied when it is changed.
        problems: sentence by field that could not be taken; ``pattern`` for what belongs beside none.
    """

    view: ViewState
    title: str
    action: str
    back_url: str
    units: tuple[Option, ...]
    unit: str
    is_new: bool
    seen: PatternSeen
    drawing: Markup
    fields: Mapping[str, str]
    shown: Mapping[str, str]
    orders: tuple[Choice, ...]
    shapes: tuple[Choice, ...]
    bys: tuple[Choice, ...]
    middles: tuple[Choice, ...]
    scope: tuple[Choice, ...]
    is_made: bool
    made_as: str
    maker_url: str
    rows: tuple[tuple[str, str], ...]
    copied: bool
    problems: Mapping[str, str] = field(default_factory=dict)


def pattern_page(
    sight: Sight,
    view: ViewState,
    base: PatternAsked,
    seen: PatternSeen,
    held: PatternHeld | None = None,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> PatternPage:
    """The page of a pattern.

    Args:
        sight: the design.
        view: the view.
        base: what the fields begin with.
        seen: what came of what was typed, or of ``base``.
        held: the pattern on the board; None for a new one.
        problems: sentence by field.
        typed: what stands in the fields.
    """
    typed, unit = typed or {}, Unit(sight.unit)
    view = view.at(select=(held.placement.id,) if held else ()).showing(sight.revision)
    path = f"/pattern/{held.entry.id}" if held else "/pattern"
    texts = field_texts(base, unit)
    fields = {**texts, **{name: text for name, text in typed.items() if name in texts}}
    if fields["by"] != "pitch" and not problems:  # what was worked out stands in the field, should it be typed next
        fields["pitch"] = seen.pitch_typed
    maker = held.maker if held else ""
    shapes = {k: v for k, v in SHAPE_WORDS.items() if k != "outline" or base.shape == "outline"}
    return PatternPage(
        view=view,
        title=sight.title,
        action=f"/designs/{view.design}{path}",
        back_url=view.url(),
        units=switches_of(sight, view, path)["units"],
        unit=unit.value,
        is_new=held is None,
        seen=seen,
        drawing=Markup(seen.drawing),  # noqa: S704 - our own writer's SVG
        fields=fields,
        shown=texts if held else {},
        orders=_choices(ORDER_WORDS, fields["order"]),
        shapes=_choices(shapes, fields["shape"]),
        bys=_choices(BY_WORDS, fields["by"]),
        middles=_choices(MIDDLE_WORDS, fields["middle"]),
        scope=_scope(held, typed),
        is_made=bool(maker),
        made_as=held.made_as if held else "",
        maker_url=view.url(f"/made/{maker}") if maker else "",
        rows=measure_rows(base, unit) if maker else (),
        copied=held is not None and held.places > 1 and not held.shared and not maker,
        problems=problems or {},
    )


def _choices(words: Mapping[str, str], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(value, said, value == chosen) for value, said in words.items())


def _scope(held: PatternHeld | None, typed: Mapping[str, str]) -> tuple[Choice, ...]:
    if held is None or not held.shared:
        return ()
    here = typed.get("scope") == "here"
    name = held.placement.label or "this one"
    return (
        Choice("all", f"In all {held.places} places with this pattern", not here),
        Choice("here", f"Only at {name}", here),
    )
