"""What the page of a maker says: its measures as fields, what they make as a picture, and what follows in figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from app.arrange.change import Edit
from app.arrange.maker.made import Maker
from app.arrange.maker.make_anew import find_maker
from app.arrange.maker.registry import MAKERS, maker_named
from app.catalogue.load import catalogue
from app.document.makers import given_of
from app.document.outlines import outline_of
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import Design
from app.document.where import Where
from app.drafting.view.board_view import board_scene
from app.errors import EditError, HolewiseError
from app.fit.words.messages import message
from app.model.maker.measure import Asked, Value, answered
from app.service.checks.checking import CheckResult, judged
from app.service.edits.changes import DesignChange
from app.service.edits.makers import board_made, figure_words, figures_for, made_anew, made_on_board
from app.service.screens.choices import Choice
from app.service.screens.make_fields import (
    FieldSeen,
    field_of,
    measure_fields,
    measures_changed,
    place_fields,
    place_texts,
    place_typed,
)
from app.service.screens.tally import Tally, tally_of
from app.service.sight import Sight
from app.units import Unit
from app.writers import svg

_MOST: Final = 6  # findings that are told; how many there are is always said


@dataclass(frozen=True, slots=True)
class MakeSeen:
    """A maker with some measures.

    Args:
        maker: its name.
        title: what it makes.
        sentence: what it is for.
        fields: measures of what it makes.
        board_fields: those of the board that it makes; none where it is put on one.
        boards: to choose what it is put on: a board of its own, or one that is there; none where that stands.
        place: fields of where it is on a board; none of a board of its own.
        on: what the board is called that it is on; empty for one of its own.
        drawing: what comes of it, inline SVG; empty where nothing can be made.
        figures: that follow, in words.
        tally: stops and cautions of what comes of it; None where nothing can be made.
        findings: the gravest of them, in words.
        problems: sentence by field that could not be taken.
    """

    maker: str
    title: str
    sentence: str
    fields: tuple[FieldSeen, ...]
    board_fields: tuple[FieldSeen, ...]
    boards: tuple[Choice, ...]
    place: tuple[FieldSeen, ...]
    on: str
    drawing: str
    figures: tuple[str, ...]
    tally: Tally | None
    findings: tuple[str, ...]
    problems: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Making:
    """A maker as a form asks for it.

    Args:
        maker: it.
        known: its measures before anybody typed.
        given: those that were typed otherwise.
        problems: sentence by field for what could not be read.
        place: where it stood, as it was shown; empty of a board of its own.
        change: makes it; raises EditError for what cannot be read or made.
    """

    maker: Maker
    known: Asked
    given: Mapping[str, Value]
    problems: Mapping[str, str]
    place: Mapping[str, str]
    change: DesignChange

    def checked(self) -> DesignChange:
        """The change, if all that was typed can be read.

        Raises:
            EditError: with a sentence by field.
        """
        if self.problems:
            raise EditError(" ".join(self.problems.values()), next(iter(self.problems)), self.problems)
        return self.change


def new_making(design: Design, maker_name: str, typed: Mapping[str, str], on: str, unit: Unit) -> Making:
    """A maker to make anew, on a board by its id, or, where that is empty, as a board of its own.

    Raises:
        NotFoundError: there is no such maker or board.
    """
    maker = maker_named(maker_name)
    known = answered(maker.measures, {}, design.units)
    given, problems = measures_changed(maker, typed, known, unit)
    if not on:
        return Making(maker, known, given, problems, {}, board_made(maker.name, given))
    x0, y0, x1, y1 = outline_of(find_board(design, on).outline.corners).bounds
    middle = {"x": (x0 + x1) / 2, "y": (y0 + y1) / 2, "angle": 0.0}
    place = place_texts(middle["x"], middle["y"], 0.0, unit)

    def change(before: Design) -> Edit:
        at = middle | place_typed(typed, place, unit)
        return made_on_board(Where(on), maker.name, given, (at["x"], at["y"]), at["angle"])(before)

    return Making(maker, known, given, problems, place, change)


def old_making(design: Design, where: Where, maker_id: str, typed: Mapping[str, str], unit: Unit) -> Making:
    """A maker that is there, to be made anew.

    Raises:
        NotFoundError: there is no such board, arrangement or maker, or this program does not know it.
    """
    entry = find_maker(find_arrangement(find_board(design, where.board), where.arrangement), maker_id)
    maker = maker_named(entry.maker)
    known = answered(maker.measures, given_of(entry), design.units)
    given, problems = measures_changed(maker, typed, known, unit)
    place = {} if entry.outline else place_texts(entry.x, entry.y, entry.angle, unit)

    def change(before: Design) -> Edit:
        moved = place_typed(typed, place, unit)
        return made_anew(where, maker_id, given, **moved, reset=typed.get("reset") == "on")(before)

    return Making(maker, known, given, problems, place, change)


def make_seen(sight: Sight, maker_name: str, typed: Mapping[str, str], on: str = "") -> MakeSeen:
    """A maker with measures as they were typed, its defaults where nothing was; raises as :func:`new_making`."""
    on = on if any(board.id == on for board in sight.design.boards) else ""
    making = new_making(sight.design, maker_name, typed, on, sight.unit)
    there = (Choice(b.id, f"On “{b.name or b.id}”", b.id == on) for b in sight.design.boards)
    return _seen(sight, making, typed, Where(on or None), boards=(Choice("", "A board of its own", not on), *there))


def maker_seen(sight: Sight, where: Where, maker_id: str, typed: Mapping[str, str]) -> MakeSeen:
    """A maker that is there, with its measures as they are or were typed anew; raises as :func:`old_making`."""
    where = Where(find_board(sight.design, where.board).id, where.arrangement)
    return _seen(sight, old_making(sight.design, where, maker_id, typed, sight.unit), typed, where)


def _seen(
    sight: Sight, making: Making, typed: Mapping[str, str], where: Where, boards: tuple[Choice, ...] = ()
) -> MakeSeen:
    unit, maker = sight.unit, making.maker
    design = sight.design.model_copy(update={"units": unit.value})  # what is refused is said in the unit shown
    asked = answered(maker.measures, {**dict(making.known.values), **making.given}, design.units)
    problems, result, figures = dict(making.problems), None, tuple[str, ...]()
    try:
        done = making.checked()(design)
        figures = tuple(figure_words(figure, unit) for figure in figures_for(design, maker.name, dict(asked.values)))
        result = judged(resolve(done.design, done.board or where.board, where.arrangement, catalogue()))
    except EditError as error:
        problems = problems or {field_of(maker, name): said for name, said in error.problems.items()}
    except HolewiseError as error:
        problems = {"form": str(error)}
    asked_here = [m for m in maker.measures if not m.board]
    of_board = [m for m in maker.measures if m.board and not making.place]
    name = next((b.name or b.id for b in design.boards if b.id == where.board), "")
    return MakeSeen(
        maker=maker.name,
        title=maker.title,
        sentence=maker.sentence,
        fields=measure_fields(asked_here, typed, making.known, asked, unit),
        board_fields=measure_fields(of_board, typed, making.known, asked, unit),
        boards=boards,
        place=place_fields(typed, making.place),
        on=name,
        drawing=_drawn(result, unit) if result else "",
        figures=figures,
        tally=tally_of(result) if result else None,
        findings=_told(result, unit) if result else (),
        problems=problems,
    )


def _drawn(seen: CheckResult, unit: Unit) -> str:
    scene = board_scene(seen.resolved, seen.report.open, unit=unit)
    return svg.embed(scene, ident="make-svg", role="drawing")


def _told(seen: CheckResult, unit: Unit) -> tuple[str, ...]:
    grave = [f for f in seen.report.findings if f.severity in ("stop", "caution")]
    return tuple(message(finding, seen.resolved, unit) for finding in grave[:_MOST])


@dataclass(frozen=True, slots=True)
class MakerCard:
    """A maker to choose: its name, what it makes, and what for."""

    name: str
    title: str
    sentence: str


def maker_cards() -> tuple[MakerCard, ...]:
    """Every maker."""
    return tuple(MakerCard(m.name, m.title, m.sentence) for m in MAKERS)


def maker_picture(design: Design, maker_name: str) -> str:
    """What a maker makes of its defaults in a design's shop, as a file.

    Raises:
        NotFoundError: there is no such maker.
    """
    from app.service.drawings.drawings import thumbnail_svg

    bare = design.model_copy(update={"boards": design.boards[:1], "patterns": (), "hardware": ()})
    done = board_made(maker_named(maker_name).name, {})(bare)
    return thumbnail_svg(resolve(done.design, done.board, None, catalogue()))
