"""Holes that a photograph told of, in rows: where each is, how far off that is, and what is kept of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from app.model.resolved import ResolvedBoard
from app.service.edits.built_photo import PhotoHole
from app.service.photo import PhotoAsked
from app.service.screens.words import counted, length
from app.shop.board_steps import BoardCut
from app.units import FRACTION, INCH, Unit, format_named

if TYPE_CHECKING:
    from app.photo.measuring import Measured, PhotoMeasured

SINGLY: Final = 150
"""Holes that are chosen one by one; of more, all of a part are chosen together, as a form has at most 200 fields."""

_TELLS: Final = 0.1  # a shift along one side that is said [mm]


class PhotoRow(Struct, frozen=True):
    """A hole that was measured, or a part of which many were.

    Args:
        ident: its number on the page.
        code: its name in a form.
        name: what it is called.
        place: where its centre is, in words; empty of several.
        wide: how wide it is, likewise.
        off: how far that is from the design, in words.
        within: how sure that is, in words.
        ticked: whether it is chosen before anybody has looked.
        far: whether it is farther off than it may be wrong.
        known: what was said of it before; empty if nothing was.
        holes: what is kept of it.
    """

    ident: int
    code: str
    name: str
    place: str
    wide: str
    off: str
    within: str
    ticked: bool
    far: bool
    known: str
    holes: tuple[PhotoHole, ...]


def photo_rows(
    board: ResolvedBoard, asked: PhotoAsked, found: PhotoMeasured, good: list[tuple[BoardCut, Measured]]
) -> Iterator[PhotoRow]:
    """A row for each hole; where there are many, for each part."""
    if len(good) <= SINGLY:
        for ident, (cut, measured) in enumerate(good, 1):
            yield _row(board, asked, found, cut, measured, ident)
        return
    parts: dict[str, list[tuple[BoardCut, Measured]]] = {}
    for cut, measured in good:
        parts.setdefault(cut.key.placement, []).append((cut, measured))
    for ident, several in enumerate(list(parts.values())[:SINGLY], 1):
        yield _together(board, asked, found, several, ident)


def _row(
    board: ResolvedBoard, asked: PhotoAsked, found: PhotoMeasured, cut: BoardCut, measured: Measured, ident: int
) -> PhotoRow:
    unit = Unit(board.units)
    x0, y0, _, _ = board.outline.bounds
    hole = photo_hole(asked, found, cut, measured)
    dx, dy = hole.x - (cut.at[0] - x0), hole.y - (cut.at[1] - y0)
    mark = board.as_built.of(cut.key, cut.work)
    by_hand = mark is not None and not mark.by and mark.off != (0.0, 0.0)
    known = "Measured by hand before" if by_hand else "Marked spoilt" if mark is not None and mark.spoilt else ""
    far = math.hypot(dx, dy) > hole.within
    wide = f"{length(measured.diameter, unit)} wide (±{_sure(measured.wide_within, unit)})"
    if hole.measured is None:
        wide = f"as wide as it should be, {format_named(cut.width, unit)} (±{_sure(measured.wide_within, unit)})"
    return PhotoRow(
        ident=ident,
        code=cut.code,
        name=cut.name,
        place=f"{length(hole.x, unit)} from the left, {length(hole.y, unit)} from the front",
        wide=wide,
        off=_off_words(dx, dy, unit) if far else "Where it should be, as far as the picture tells",
        within=f"±{_sure(hole.within, unit)}",
        ticked=not known,
        far=far,
        known=known,
        holes=(hole,),
    )


def _together(
    board: ResolvedBoard, asked: PhotoAsked, found: PhotoMeasured, several: list[tuple[BoardCut, Measured]], ident: int
) -> PhotoRow:
    unit = Unit(board.units)
    x0, y0, _, _ = board.outline.bounds
    holes = tuple(photo_hole(asked, found, cut, measured) for cut, measured in several)
    worst = max(
        math.hypot(h.x - (c.at[0] - x0), h.y - (c.at[1] - y0)) for h, (c, _) in zip(holes, several, strict=True)
    )
    sure = max(h.within for h in holes)
    return PhotoRow(
        ident, several[0][0].key.placement, several[0][0].letter, "", counted(len(holes), "hole"),
        f"{length(worst, unit)} off at most", f"±{_sure(sure, unit)}", True, worst > sure, "", holes,
    )  # fmt: skip


def photo_hole(asked: PhotoAsked, found: PhotoMeasured, cut: BoardCut, measured: Measured) -> PhotoHole:
    """What is kept: a width only where it is surely another than that of the bit."""
    x = measured.x if found.cards.face == "top" else asked.size[0] - measured.x
    differs = abs(measured.diameter - cut.width) > measured.wide_within
    wide = round(measured.diameter, 2) if differs else None
    return PhotoHole(cut.code, round(x, 3), round(measured.y, 3), math.ceil(100 * measured.within) / 100, wide)


def _off_words(dx: float, dy: float, unit: Unit) -> str:
    """``1.2 mm off: 1 mm to the right, 0.66 mm to the front``."""
    said = []
    if abs(dx) >= _TELLS:
        said.append(f"{length(abs(dx), unit)} to the {'right' if dx > 0 else 'left'}")
    if abs(dy) >= _TELLS:
        said.append(f"{length(abs(dy), unit)} to the {'back' if dy > 0 else 'front'}")
    return f"{length(math.hypot(dx, dy), unit)} off: {', '.join(said)}"


def _sure(mm: float, unit: Unit) -> str:
    """How sure something is, to 0.1 mm or 1/64 in, rounded up."""
    step = INCH / FRACTION if unit is Unit.INCH else 0.1
    return length(math.ceil(mm / step - 1e-6) * step, unit)
