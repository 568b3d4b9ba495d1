"""The page *As built*: every cut with what it should be and what it is, the real board, and what still fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import Final, Literal

from msgspec import Struct

from app.drafting.view.built_picture import built_picture
from app.fit.words.lengths import least, off
from app.fit.words.messages import message
from app.model.as_built import Mark
from app.model.resolved import ResolvedBoard
from app.service.checks.checking import CheckResult
from app.service.checks.real_board import Harm, gone_marks, harm_of, real_board
from app.service.edits.built_typing import last_cuts
from app.service.room.room_wanted import room_is_offered
from app.service.screens.bench.at_board_end import MarkSeen, code_of, gone_words
from app.service.screens.words import counted, length, listed
from app.service.sight import Sight
from app.shop.board_steps import BoardCut
from app.units import Unit, format_named
from app.writers import svg

ON_A_PAGE: Final = 20
"""Cuts on one page: a form has at most 200 fields, and each cut has nine."""

_FINDINGS: Final = 40
"""Findings said here; the board page has them all of the drawn board."""

Show = Literal["all", "left", "off"]
SHOWN: Final[tuple[tuple[Show, str], ...]] = (
    ("all", "All"),
    ("left", "To drill"),
    ("off", "Measured"),
)


class BuiltRow(Struct, frozen=True):
    """A cut.

    Args:
        code: its name in a form.
        name: what it is called.
        what: what is cut, in words.
        place: where its centre should be, from the left and the front datum edge, in words.
        is_hole: whether other holes can be measured to it.
        ticked: whether it is drilled, and of use.
        state: ``drilled``, ``off`` or ``spoilt``; empty where nothing is marked.
        came: how it came out, in words; empty where nothing is to be said.
    """

    code: str
    name: str
    what: str
    place: str
    is_hole: bool
    ticked: bool
    state: Literal["", "drilled", "off", "spoilt"]
    came: str


class BuiltSeen(Struct, frozen=True):
    """The page.

    Args:
        rows: the cuts of the page asked for.
        page, pages: which page of them, from 1, and of how many.
        show: which cuts are listed.
        part: id of the placement whose cuts alone are listed; empty for all.
        parts: id and name of every placement that is drilled.
        found: how many cuts are listed, in words.
        done: how many are drilled, in words.
        left: how many of the listed part or board are not marked at all.
        drilled: names of holes that can be measured to.
        picture: inline SVG.
        arrows: whether the picture has any arrow.
        tally: how the real board does, in a line.
        worst: how it stands as a whole: ``stop``, ``caution`` or ``clear``.
        harm: what the real board has that the drawn one has not.
        others: what it has besides, and the drawn one too.
        more: how many more findings of either kind there are.
        fits: which drilled parts still fit, in words; empty where none is drilled.
        unsure: which holes are known only roughly, in words; empty where none is.
        spoilt: which holes are spoilt, in words; likewise.
        gone: marks of placements that are not drilled in the design any more.
        room: whether making room for the rest is worth offering.
    """

    rows: tuple[BuiltRow, ...]
    page: int
    pages: int
    show: Show
    part: str
    parts: tuple[tuple[str, str], ...]
    found: str
    done: str
    left: int
    drilled: tuple[str, ...]
    picture: str
    arrows: bool
    tally: str
    worst: Literal["stop", "caution", "clear"]
    harm: tuple[Harm, ...]
    others: tuple[Harm, ...]
    more: int
    fits: str
    unsure: str
    spoilt: str
    gone: tuple[MarkSeen, ...]
    room: bool


def built_seen(sight: Sight, show: Show = "all", part: str = "", page: int = 1) -> BuiltSeen:
    """The page for the board in view; a part or a page that is not there is read as all parts, or the nearest page."""
    seen, unit = sight.checked, sight.unit
    board = seen.resolved
    cuts = last_cuts(board)
    parts = {cut.key.placement: cut.letter for cut in cuts}
    part = part if part in parts else ""
    listed_cuts = [cut for cut in cuts if part in ("", cut.key.placement) and _is_shown(board, cut, show)]
    pages = max(1, -(-len(listed_cuts) // ON_A_PAGE))
    page = min(max(1, page), pages)
    real = real_board(seen)
    harm = harm_of(seen, real)
    others = tuple(islice(_as_drawn(real, harm, unit), _FINDINGS))
    drilled = [c for c in cuts if c.key.sort == "hole" and board.as_built.is_drilled(c.key)]
    stops, cautions = len(real.report.stops), len(real.report.cautions)
    return BuiltSeen(
        rows=tuple(_row(board, cut, unit) for cut in listed_cuts[(page - 1) * ON_A_PAGE : page * ON_A_PAGE]),
        page=page,
        pages=pages,
        show=show,
        part=part,
        parts=tuple(parts.items()),
        found=counted(len(listed_cuts), "cut"),
        done=f"{sum(board.as_built.is_drilled(c.key) for c in cuts)} of {counted(len(cuts), 'cut')} drilled",
        left=sum(board.as_built.of(c.key, c.work) is None for c in cuts if part in ("", c.key.placement)),
        drilled=tuple(cut.name for cut in drilled[:_NAMES]),
        picture=svg.embed(built_picture(board), role="built-drawing", names=False),
        arrows=any(mark.distance > 0 for mark in board.as_built.marks),
        tally=_tally(stops, cautions),
        worst="stop" if stops else "caution" if cautions else "clear",
        harm=harm[:_FINDINGS],
        others=others,
        more=max(0, stops + cautions - len(harm[:_FINDINGS]) - len(others)),
        fits=_fits(board, harm),
        unsure=_unsure(board.as_built.marks, unit),
        spoilt=listed(sorted({mark.name for mark in board.as_built.marks if mark.spoilt})),
        gone=tuple(MarkSeen(gone_words(mark), code_of(mark)) for mark in gone_marks(board)),
        room=bool(board.as_built) and room_is_offered(real.report),
    )


_NAMES: Final = 200
"""Names offered while a hole is typed that is measured to; any other may be typed too."""


def _is_shown(board: ResolvedBoard, cut: BoardCut, show: Show) -> bool:
    mark = board.as_built.of(cut.key, cut.work)
    if show == "left":
        return mark is None or mark.spoilt
    return show == "all" or (mark is not None and not mark.is_true)


def _row(board: ResolvedBoard, cut: BoardCut, unit: Unit) -> BuiltRow:
    x0, y0, _, _ = board.outline.bounds
    mark = board.as_built.of(cut.key, cut.work)
    state: Literal["", "drilled", "off", "spoilt"] = ""
    if mark is not None:
        state = "spoilt" if mark.spoilt else "drilled" if mark.is_true else "off"
    return BuiltRow(
        code=cut.code,
        name=cut.name,
        what=_what(cut, unit),
        place=f"{length(cut.at[0] - x0, unit)} from the left, {length(cut.at[1] - y0, unit)} from the front",
        is_hole=cut.key.sort == "hole",
        ticked=mark is not None and not mark.spoilt,
        state=state,
        came=_came(mark, (x0, y0), unit) if mark is not None else "",
    )


def _what(cut: BoardCut, unit: Unit) -> str:
    """``28 mm hole``, ``counterbore 34 mm wide, 6 mm deep, from the underside``."""
    wide = format_named(cut.width, unit)
    under = ", from the underside" if cut.face == "under" else ""
    if cut.depth is None:
        return f"opening, {wide} on its smaller side" if cut.work == "opening" else f"{wide} hole"
    deep = length(cut.depth, unit)
    if cut.work == "screw pilot":
        return f"{wide} screw pilot, {deep} deep{under}"
    side = " on its smaller side" if cut.work == "recess" else " wide"
    return f"{cut.work}, {wide}{side}, {deep} deep{under}"


def _came(mark: Mark, datum: tuple[float, float], unit: Unit) -> str:
    if mark.spoilt:
        return "Spoilt"
    if mark.is_true:
        return "Drilled"
    said = []
    if mark.distance > 0:
        x, y = mark.centre[0] - datum[0], mark.centre[1] - datum[1]
        said.append(f"{off(mark.distance, unit)} off: it is at {length(x, unit)} and {length(y, unit)}")
    if mark.by == "photograph":
        said.append(f"from a photograph, ±{least(mark.within or 0.0, unit)}")
    elif mark.within is not None:
        said.append(f"sure to {least(mark.within, unit)}")
    if mark.measured is not None:
        said.append(f"measured {length(mark.measured, unit)} wide")
    return "Drilled; " + "; ".join(said)


def _as_drawn(real: CheckResult, harm: Sequence[Harm], unit: Unit) -> Iterator[Harm]:
    """What is open on the real board, and just so on the drawn one."""
    words = {one.sentence for one in harm}
    for finding in real.report.open:
        if finding.severity != "note" and (sentence := message(finding, real.resolved, unit)) not in words:
            yield Harm(finding.severity, sentence, finding.subjects)


def _tally(stops: int, cautions: int) -> str:
    if not stops and not cautions:
        return "As built: no stops, no cautions."
    counts = [counted(number, word) for number, word in ((stops, "stop"), (cautions, "caution")) if number]
    return f"As built: {listed(counts)}."


def _fits(board: ResolvedBoard, harm: Sequence[Harm]) -> str:
    hurt = {placement for one in harm for placement in one.subjects}
    here = [p for p in board.drilled if p.id in board.as_built.placements]
    good = [p.label or p.part.name for p in here if p.id not in hurt]
    if not here:
        return ""
    if not good:
        return "None of what is drilled fits as well as drawn."
    if len(good) == len(here):
        return "Everything that is drilled fits as well as drawn."
    more = f" and {len(good) - _LETTERS} more" if len(good) > _LETTERS else ""
    return f"Fits as well as drawn: {', '.join(good[:_LETTERS])}{more}."


_LETTERS: Final = 30


def _unsure(marks: Sequence[Mark], unit: Unit) -> str:
    said = []
    for by, how in (("", "placed by two distances"), ("photograph", "measured in a photograph")):
        rough = [mark for mark in marks if mark.within and mark.by == by]
        if rough:
            worst = max(mark.within or 0.0 for mark in rough)
            more = [f"{len(rough) - _LETTERS} more"] if len(rough) > _LETTERS else []
            names = listed([*(mark.name for mark in rough[:_LETTERS]), *more])
            were = "was" if len(rough) == 1 else "were"
            said.append(f"{names} {were} {how}, and may be up to {least(worst, unit)} from there.")
    if not said:
        return ""
    said.append(
        "The checks allow for your drilling method, not for that besides: where one is tight, measure again from the "
        "edges."
    )
    return " ".join(said)
