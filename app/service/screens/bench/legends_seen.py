"""What the page of legends says: every part with its legend, the one in hand as it can be typed, and what is wrong."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.catalogue.signs import SIGNS
from app.drafting.facing import facing
from app.drafting.reading import reading_order
from app.drafting.view.board_view import board_scene
from app.fit.rules import legend_clear, legend_overlap, legend_room, legend_size
from app.model.legend import COLOURS, PLACES, Legend
from app.model.resolved import Placed, ResolvedBoard
from app.paper.legends.legend_table import SIDES
from app.service.screens.board.findings import WordedFinding, worded_finding
from app.service.screens.choices import Choice
from app.service.screens.words import as_typed, capital, counted, length
from app.service.sight import Sight
from app.shop.legends import legend_rows
from app.units import Unit, format_exact
from app.writers import svg

MOST_ROWS: Final = 400
"""Parts listed on the page; the others are chosen from the list of the form."""

_RULES: Final = frozenset(module.RULE.name for module in (legend_clear, legend_overlap, legend_room, legend_size))
_MOST_TOLD: Final = 12


class LegendPart(Struct, frozen=True):
    """A part of the board.

    Args:
        id: of its placement.
        letter: on the plan; its name where it has none.
        name: of the hardware.
        says: its legend in words; empty where it has none.
        place: where that stands, in a word.
        height: of it, in words.
        held: whether it is in hand.
        trouble: what is wrong with its place.
    """

    id: str
    letter: str
    name: str
    says: str
    place: str
    height: str
    held: bool
    trouble: str


class LegendForm(Struct, frozen=True):
    """The legend of the part in hand, as it can be typed.

    Args:
        id: of its placement.
        who: what the plan calls it.
        texts: text of each field by name.
        signs, places: what can be chosen.
        covered: whether it may lie under a flange.
        lettered: whether it has a legend.
        drilled: whether the part is drilled; what is not has nothing lettered.
        usual: height of the board's letters, in words.
        source: where its sign comes from; empty for a text.
    """

    id: str
    who: str
    texts: dict[str, str]
    signs: tuple[Choice, ...]
    places: tuple[Choice, ...]
    covered: bool
    lettered: bool
    drilled: bool
    usual: str
    source: str


class LegendsSeen(Struct, frozen=True):
    """The page.

    Args:
        summed: how many parts have a legend, in words.
        many: how many do.
        parts: every part, as many as the page lists.
        left_out: how many more there are.
        chosen: every part to choose from.
        form: of the part in hand; None on a board without parts.
        height, distance: of the board's letters, as typed.
        colours: to choose from.
        readable: what is read from that distance, in words.
        told: what is wrong with legends.
        more: how many more findings there are.
        drawing: the board with its legends, inline SVG.
    """

    summed: str
    many: int
    parts: tuple[LegendPart, ...]
    left_out: int
    chosen: tuple[Choice, ...]
    form: LegendForm | None
    height: str
    distance: str
    colours: tuple[Choice, ...]
    readable: str
    told: tuple[WordedFinding, ...]
    more: int
    drawing: str


def legends_seen(sight: Sight, held: str = "") -> LegendsSeen:
    """The page with one part in hand: the first that has no legend yet, if ``held`` is none of the board."""
    board, unit = sight.checked.resolved, sight.unit
    order = reading_order(board.placements, facing(board, "top"))
    found = board.placed(held) or next((p for p in order if p.legend is None and p.drill), order[0] if order else None)
    mine = found.id if found else ""
    lettering, rows = board.lettering, {row.placement: row for row in legend_rows(board)}
    told = [f for f in sight.checked.report.open if f.rule in _RULES]
    many = sum(p.legend is not None for p in order)
    parts = tuple(_part(p, board, unit, p.id == mine, rows[p.id].trouble if p.id in rows else "") for p in order)
    return LegendsSeen(
        summed=f"{counted(many, 'part')} of {len(order):,} {'has' if many == 1 else 'have'} a legend.",
        many=many,
        parts=parts[:MOST_ROWS],
        left_out=max(0, len(parts) - MOST_ROWS),
        chosen=tuple(Choice(p.id, _who(p), p.id == mine) for p in order),
        form=_form(found, board, unit) if found else None,
        height=as_typed(lettering.height, unit),
        distance=as_typed(lettering.distance, unit),
        colours=tuple(Choice(colour, capital(colour), colour == lettering.colour) for colour in COLOURS),
        readable=_readable(lettering.distance, unit),
        told=tuple(worded_finding(f, sight.checked, tried=False) for f in told[:_MOST_TOLD]),
        more=max(0, len(told) - _MOST_TOLD),
        drawing=_drawing(board, mine),
    )


def _readable(distance: float, unit: Unit) -> str:
    rule = catalogue().rule
    least, wanted = (length(rule(f"legend-height-{which}") * distance, unit) for which in ("least", "wanted"))
    return f"From {length(distance, unit)}, letters {least} high can be read, and {wanted} high with ease."


def _who(placed: Placed) -> str:
    return f"{placed.label}: {placed.part.name}" if placed.label else placed.part.name


def _part(placed: Placed, board: ResolvedBoard, unit: Unit, held: bool, trouble: str) -> LegendPart:
    legend = placed.legend
    return LegendPart(
        id=placed.id,
        letter=placed.label or placed.part.name,
        name=placed.part.name,
        says=_says(legend),
        place=SIDES[legend.place] if legend else "",
        height=length(legend.height or board.lettering.height, unit) if legend else "",
        held=held,
        trouble=trouble or ("" if placed.drill or legend is None else "not drilled: nothing is lettered"),
    )


def _says(legend: Legend | None) -> str:
    if legend is None:
        return ""
    sign = SIGNS.get(legend.sign)
    return f"sign: {sign.words}" if sign else legend.text


def _form(placed: Placed, board: ResolvedBoard, unit: Unit) -> LegendForm:
    legend = placed.legend or Legend()
    sign = SIGNS.get(legend.sign)
    return LegendForm(
        id=placed.id,
        who=_who(placed),
        texts={
            "text": legend.text,
            "height": "" if legend.height is None else as_typed(legend.height, unit),
            "x": as_typed(legend.x, unit),
            "y": as_typed(legend.y, unit),
            "turn": format_exact(round(legend.turn, 3)),
        },
        signs=(
            Choice("", "No sign", not legend.sign),
            *(Choice(s.name, _sign_words(s.words, s.number), s.name == legend.sign) for s in SIGNS.values()),
        ),
        places=tuple(Choice(place, PLACE_WORDS[place], place == legend.place) for place in PLACES),
        covered=legend.covered,
        lettered=placed.legend is not None,
        drilled=placed.drill,
        usual=length(board.lettering.height, unit),
        source=sign.source if sign else "",
    )


def _sign_words(words: str, number: str) -> str:
    return f"{words} ({number})" if number else words


PLACE_WORDS: Final = {
    "back": "Behind the part",
    "front": "In front of the part",
    "left": "At its left",
    "right": "At its right",
    "ring": "In a ring round it",
    "free": "At two measures",
}
"""Where a legend may stand, as a list to choose from says it."""


def _drawing(board: ResolvedBoard, held: str) -> str:
    selected = (held,) if held else ()
    scene = board_scene(board, selected=selected, with_rulers=False, with_elevation=False)
    shown = tuple(item for item in scene.items if getattr(item, "name", "") not in ("dims", "words"))
    picture = type(scene)(scene.x0, scene.y0, scene.x1, scene.y1, shown, scene.title, scene.note)
    return svg.embed(picture, ident="legends-svg", role="drawing map")
