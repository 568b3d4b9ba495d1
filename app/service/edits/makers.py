"""Makers as pages and the command line offer them: what they ask, what follows from it, and the edits they make."""

from __future__ import annotations

import json
from collections.abc import Mapping

from msgspec import Struct

from app.arrange.change import Edit
from app.arrange.maker.checked import checked
from app.arrange.maker.figured import figures_of
from app.arrange.maker.made import Figure, Maker
from app.arrange.maker.make import make_board, make_on_board
from app.arrange.maker.make_anew import find_maker, make_anew, remove_maker
from app.arrange.maker.registry import MAKERS, maker_named
from app.arrange.pattern.over_edge import refuse_over_edge
from app.catalogue.load import catalogue
from app.document.makers import given_of
from app.document.outlines import outline_of
from app.document.resolve import find_arrangement, find_board, placements_in, resolve_shop
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError, LengthError
from app.model.maker.door import DOOR
from app.model.maker.measure import Asked, Measure, Value, answered
from app.numbers import typed
from app.service.edits.changes import DesignChange
from app.shop.rates import rates_of
from app.units import Unit, format_area, format_exact, format_length, parse_length

_PER_THOUSAND = {"current": "A", "power": "W"}
_YES, _NO = ("yes", "true", "on", "1"), ("no", "false", "off", "0")


class MakerSeen(Struct, frozen=True):
    """A maker of an arrangement, with its measures as they are and what follows from them.

    Args:
        id: which placements bear.
        maker: what it is.
        asked: every measure.
        figures: that follow; none where a file gives it measures nothing can be made of.
        letters: of its pieces.
        outline: whether it made the board too.
        wrong: why nothing can be made of its measures; empty where something can.
    """

    id: str
    maker: Maker
    asked: Asked
    figures: tuple[Figure, ...]
    letters: tuple[str, ...]
    outline: bool
    wrong: str = ""


def makers_seen(design: Design, where: Where) -> tuple[MakerSeen, ...]:
    """The makers of an arrangement that this program knows."""
    within = find_arrangement(find_board(design, where.board), where.arrangement)
    known = {maker.name: maker for maker in MAKERS}
    found = []
    for entry in within.makers:
        if (maker := known.get(entry.maker)) is None:
            continue
        asked, wrong, figures = answered(maker.measures, given_of(entry)), "", tuple[Figure, ...]()
        try:
            figures = figures_for(design, maker.name, dict(asked.values))
        except EditError as error:
            wrong = str(error)
        letters = tuple(p.label for p in within.placements if p.maker == entry.id and p.label)
        found.append(MakerSeen(entry.id, maker, asked, figures, letters, entry.outline, wrong))
    return tuple(found)


def figures_for(design: Design, maker: str, measures: Mapping[str, Value]) -> tuple[Figure, ...]:
    """What follows from measures of a maker, as this design's shop drills.

    Raises:
        NotFoundError: there is no such maker.
        EditError: measures that are not allowed.
    """
    found = maker_named(maker)
    made = found.make(checked(found, measures, design.units), catalogue())
    shop = resolve_shop(design.shop, catalogue())
    return figures_of(made, shop.drilling, rates_of(shop).hole)


def board_made(maker: str, measures: Mapping[str, Value]) -> DesignChange:
    """Make a companion board."""

    def change(design: Design) -> Edit:
        done = make_board(design, maker, measures, catalogue())
        return _on_the_board(None, done, done.board, _fields(maker))

    return change


def made_on_board(
    where: Where, maker: str, measures: Mapping[str, Value], at: tuple[float, float] | None = None, angle: float = 0.0
) -> DesignChange:
    """Put what a maker makes on a board, its middle at a place [mm]; in the middle of the board where none is said."""

    def change(design: Design) -> Edit:
        x0, y0, x1, y1 = outline_of(find_board(design, where.board).outline.corners).bounds
        x, y = ((x0 + x1) / 2, (y0 + y1) / 2) if at is None else at
        done = make_on_board(design, where, maker, measures, x, y, angle, catalogue())
        return _on_the_board(design, done, where.board, ("x", "y"))

    return change


def made_anew(
    where: Where,
    maker_id: str,
    measures: Mapping[str, Value],
    *,
    x: float | None = None,
    y: float | None = None,
    angle: float | None = None,
    reset: bool = False,
) -> DesignChange:
    """Make what a maker made anew, with some other measures or at another place."""

    def change(design: Design) -> Edit:
        done = make_anew(design, where, maker_id, measures, catalogue(), x=x, y=y, angle=angle, reset=reset)
        entry = find_maker(find_arrangement(find_board(design, where.board), where.arrangement), maker_id)
        moved = (x, y) != (None, None) and (x, y) != (entry.x, entry.y)
        fields = ("x", "y") if moved or not (entry.outline or entry.maker == DOOR) else _fields(entry.maker)
        return _on_the_board(design, done, where.board, fields, maker_id)

    return change


def _fields(maker: str) -> tuple[str, str]:
    """The measures by which holes of a maker go over the edge of a board that it makes: across, and up."""
    return ("vent-width", "vent-height") if maker == DOOR else ("width", "height")


def _on_the_board(
    before: Design | None, done: Edit, board: str | None, fields: tuple[str, str], maker_id: str = ""
) -> Edit:
    """The edit, if the holes it makes are on the board.

    Raises:
        EditError: they are not, beside the measure.
    """
    ids = tuple(
        p.id
        for p in placements_in(find_board(done.design, board))
        if p.maker is not None and (p.maker == maker_id or p.id in done.several or before is None)
    )
    refuse_over_edge(before, done.design, board, ids, fields)
    return done


def maker_removed(where: Where, maker_id: str) -> DesignChange:
    """Take a maker and what it made out of an arrangement."""
    return lambda design: remove_maker(design, where, maker_id)


def measures_typed(maker: str, texts: Mapping[str, str], unit: Unit) -> dict[str, Value]:
    """Measures as they were typed, by name; what is empty is left out. Their limits are checked where they are used.

    Args:
        maker: its name.
        texts: what was typed.
        unit: of a length that names none.

    Raises:
        NotFoundError: there is no such maker.
        EditError: a measure it does not have, or a text that is no value of its sort: every problem, by field.
    """
    known = {m.name: m for m in maker_named(maker).measures}
    found, problems = dict[str, Value](), dict[str, str]()
    for name, text in texts.items():
        if name not in known:
            problems[name] = f"There is no measure “{name[:40]}”. Use one of: {', '.join(known)}."
        elif text.strip():
            try:
                found[name] = _value(known[name], text.strip(), unit)
            except (EditError, LengthError) as error:
                problems[name] = str(error)
    if problems:
        raise EditError.of(problems)
    return found


def _value(measure: Measure, text: str, unit: Unit) -> Value:
    if measure.kind == "length":
        return parse_length(text, unit, what=measure.label)
    if measure.kind == "choice":
        return text
    if measure.kind == "yes-no":
        if text.lower() not in (*_YES, *_NO):
            raise EditError(f"{measure.label} is yes or no, got “{text[:40]}”. Choose one.", measure.name)
        return text.lower() in _YES
    number = typed(text.removesuffix("%").strip().replace(",", "."))
    if number is None:
        raise EditError(f"{measure.label} is a number, got “{text[:40]}”. Enter one.", measure.name)
    return number


def maker_rows() -> str:
    """Every maker with its measures, their limits and defaults, as text."""
    lines = []
    for maker in MAKERS:
        lines += [f"{maker.name}: {maker.sentence}"]
        names = max(len(m.name) for m in maker.measures)
        lines += [f"  {m.name.ljust(names)}  {m.label}: {_limits(m)}" for m in maker.measures]
    return "\n".join(lines)


def _limits(measure: Measure) -> str:
    only = f"; with {measure.only[0]} {' or '.join(map(str, measure.only[1]))}" if measure.only else ""
    board = "; of a board it makes" if measure.board else ""
    if measure.kind == "choice":
        return f"{', '.join(name for name, _ in measure.choices)} ({measure.default}){only}{board}"
    if measure.kind == "yes-no":
        return f"yes or no ({'yes' if measure.default else 'no'}){only}{board}"
    unit = {"length": " mm", "share": " %"}.get(measure.kind, "")
    return f"{measure.least:g} to {measure.most:g}{unit} ({float(measure.default):g}){only}{board}"


def makers_json() -> str:
    """The same for other programs, as one JSON list."""
    return json.dumps(
        [
            {
                "name": maker.name,
                "title": maker.title,
                "sentence": maker.sentence,
                "measures": [_measure_row(m) for m in maker.measures],
            }
            for maker in MAKERS
        ],
        indent=2,
        ensure_ascii=False,
    )


def _measure_row(measure: Measure) -> dict[str, object]:
    row: dict[str, object] = {"name": measure.name, "label": measure.label, "kind": measure.kind}
    row["default"] = measure.default
    if measure.kind in ("length", "count", "share"):
        row |= {"least": measure.least, "most": measure.most}
    if measure.choices:
        row["choices"] = [name for name, _ in measure.choices]
    if measure.only:
        row["only"] = {measure.only[0]: list(measure.only[1])}
    return {**row, "board": measure.board, "hint": measure.hint}


def figure_words(figure: Figure, unit: Unit) -> str:
    """A figure in words: ``Pitch: 17.5 mm``."""
    if figure.kind == "length":
        return f"{figure.label}: {format_length(figure.value, unit)}"
    if figure.kind == "minutes":
        return f"{figure.label}: {_long(max(1, round(figure.value)))}"
    if figure.kind == "area":
        return f"{figure.label}: {format_area(figure.value, unit)}"
    if figure.kind == "share":
        return f"{figure.label}: {format_exact(round(figure.value, 1))} %"
    if figure.kind in _PER_THOUSAND:
        return f"{figure.label}: {figure.value / 1000:,.2f} {_PER_THOUSAND[figure.kind]}"
    return f"{figure.label}: {figure.value:,.0f}"


def _long(minutes: int) -> str:
    """``45 min``, ``2 h``, ``13 h 45 min``."""
    hours, rest = divmod(minutes, 60)
    return " ".join(said for said in (f"{hours} h" if hours else "", f"{rest} min" if rest else "") if said)
