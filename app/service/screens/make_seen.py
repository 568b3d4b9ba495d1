"""What the page of a maker says: its measures as fields, what they make as a picture, and what follows in figures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from app.arrange.maker.by_hand import done_by_hand
from app.arrange.maker.registry import MAKERS, maker_named
from app.catalogue.load import catalogue
from app.document.resolve import find_board, resolve
from app.document.schema import Design
from app.document.where import Where
from app.drafting.view.board_view import board_scene
from app.errors import EditError, HolewiseError
from app.fit.words.messages import message
from app.model.maker.measure import answered
from app.service.checks.checking import CheckResult, judged
from app.service.edits.makers import board_made, figure_words, figures_for
from app.service.screens.choices import Choice
from app.service.screens.make_asked import MakeRequest, new_making, old_making, put_on
from app.service.screens.make_fields import FieldSeen, field_of, measure_fields, place_fields
from app.service.screens.tally import Tally, tally_of
from app.service.sight import Sight
from app.units import Unit
from app.writers import svg

_MOST: Final = 6  # findings that are told; how many there are is always said


class MakeSeen(Struct, frozen=True):
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
        by_hand: what of it was changed by hand and can be put back, in words; empty for nothing.
        reset: whether that is asked for.
        drawing: what comes of it, inline SVG; empty where nothing can be made.
        figures: that follow, in words.
        tally: stops and cautions of what comes of it; None where nothing can be made.
        findings: the gravest of them, in words.
        problems: sentence by field that could not be taken.
        look_for: what to look for before buying what it is made for, a sentence each.
    """

    maker: str
    title: str
    sentence: str
    fields: tuple[FieldSeen, ...]
    board_fields: tuple[FieldSeen, ...]
    boards: tuple[Choice, ...]
    place: tuple[FieldSeen, ...]
    on: str
    by_hand: str
    reset: bool
    drawing: str
    figures: tuple[str, ...]
    tally: Tally | None
    findings: tuple[str, ...]
    problems: Mapping[str, str]
    look_for: tuple[str, ...] = ()


def make_seen(sight: Sight, maker_name: str, typed: Mapping[str, str], view: Where) -> MakeSeen:
    """A maker with measures as they were typed, its defaults where nothing was; raises as :func:`new_making`.

    Args:
        sight: the design.
        maker_name: which maker.
        typed: text by field; ``on`` is the board that it is put on.
        view: what is looked at.
    """
    where = put_on(sight.design, typed.get("on", ""), view)
    making = new_making(sight.design, maker_name, typed, where, sight.unit)
    on = where.board if where else ""
    there = (Choice(b.id, f"On “{b.name or b.id}”", b.id == on) for b in sight.design.boards)
    return _seen(sight, making, where or Where(), boards=(Choice("", "A board of its own", not on), *there))


def maker_seen(sight: Sight, where: Where, maker_id: str, typed: Mapping[str, str]) -> MakeSeen:
    """A maker that is there, with its measures as they are or were typed anew; raises as :func:`old_making`."""
    where = Where(find_board(sight.design, where.board).id, where.arrangement)
    making = old_making(sight.design, where, maker_id, typed, sight.unit)
    return _seen(sight, making, where, by_hand=_by_hand(sight.design, where, maker_id))


def _by_hand(design: Design, where: Where, maker_id: str) -> str:
    done = done_by_hand(design, where, maker_id, catalogue())
    said = [f"{', '.join(done.moved)} moved"] if done.moved else []
    said += [f"{done.deleted} deleted"] if done.deleted else []
    said += ["the board’s outline or free depth"] if done.board else []
    return "; ".join(said)


def _seen(
    sight: Sight, making: MakeRequest, where: Where, boards: tuple[Choice, ...] = (), by_hand: str = ""
) -> MakeSeen:
    typed, unit, maker = making.typed, sight.unit, making.maker
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
        by_hand=by_hand,
        reset=typed.get("reset") == "on",
        drawing=_drawn(result, unit) if result else "",
        figures=figures,
        tally=tally_of(result) if result else None,
        findings=_told(result, unit) if result else (),
        problems=problems,
        look_for=maker.look_for,
    )


def _drawn(seen: CheckResult, unit: Unit) -> str:
    scene = board_scene(seen.resolved, seen.report.open, unit=unit)
    return svg.embed(scene, ident="make-svg", role="drawing")


def _told(seen: CheckResult, unit: Unit) -> tuple[str, ...]:
    grave = [f for f in seen.report.findings if f.severity in ("stop", "caution")]
    return tuple(message(finding, seen.resolved, unit) for finding in grave[:_MOST])


class MakerCard(Struct, frozen=True):
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
