"""A board measured in one photograph: what is looked for in it, and the measuring, which is pure and takes long."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import EditError, PhotoError
from app.geometry.shapes import Point
from app.model.part import Face
from app.model.photo_cards import CardPlan, Cards, plan_cards
from app.model.resolved import ResolvedBoard
from app.photo.limits import MOST_BYTES
from app.photo.opencv import INSTALL, is_there
from app.photo.wanted import SoughtHole
from app.service.edits.built_typing import last_cuts
from app.service.screens.words import length
from app.shop.board_steps import BoardCut
from app.units import Unit

if TYPE_CHECKING:
    from app.photo.measuring import PhotoMeasured

FACES: Final[tuple[Face, Face]] = ("top", "under")
MOST: Final = 500
"""Round holes that are looked for in one photograph: each takes about a twentieth of a second."""

MANY: Final = f"not among the first {MOST} holes, and no more are looked for"

_FARTHEST: Final = 0.03  # of a side that a real board may be off its design: more is another board, or a slip
_LEAST: Final = 5.0  # mm, of small boards

__all__ = ["INSTALL", "PhotoAsked", "is_there", "measured_file", "measured_in", "photo_asked"]


class PhotoAsked(Struct, frozen=True):
    """What is looked for in a photograph of a board.

    Args:
        plans: the cards of each face, and what is to be said of them.
        wanted: the round holes to look for, by face.
        left_out: the cuts that are not measured in one, by face, each with why.
        size: width and depth of the real board [mm].
    """

    plans: Mapping[Face, CardPlan]
    wanted: Mapping[Face, tuple[SoughtHole, ...]]
    left_out: Mapping[Face, tuple[tuple[BoardCut, str], ...]]
    size: Point

    @property
    def cards(self) -> tuple[Cards, ...]:
        """The cards that can be laid."""
        return tuple(plan.cards for plan in self.plans.values() if plan.cards is not None)


def photo_asked(board: ResolvedBoard, size: Point | None = None) -> PhotoAsked:
    """What is looked for in a photograph of either face of a board.

    Args:
        board: the board.
        size: width and depth of the real one, where they were measured [mm]; else as it is drawn.

    Raises:
        EditError: it is another size than that board can have, by ``width`` and ``depth``.
    """
    x0, y0, x1, y1 = board.outline.bounds
    drawn = (x1 - x0, y1 - y0)
    real = size or drawn
    problems = {
        name: f"The board is drawn {length(d, Unit(board.units))} {words}; a real one is within "
        f"{length(max(_FARTHEST * d, _LEAST), Unit(board.units))} of that. Measure it again, or change its size first."
        for name, words, d, r in zip(("width", "depth"), ("wide", "deep"), drawn, real, strict=True)
        if abs(r - d) > max(_FARTHEST * d, _LEAST)
    }
    if problems:
        raise EditError.of(problems)
    plans = {face: plan_cards(board, face, real) for face in FACES}
    wanted: dict[Face, tuple[SoughtHole, ...]] = {}
    left_out: dict[Face, tuple[tuple[BoardCut, str], ...]] = {}
    for face in FACES:
        seen, unseen = _looked_for(board, face, real, frozenset(plans[face].covered))
        wanted[face], left_out[face] = tuple(seen), tuple(unseen)
    return PhotoAsked(plans, wanted, left_out, real)


def _looked_for(
    board: ResolvedBoard, face: Face, size: Point, covered: frozenset[str]
) -> tuple[list[SoughtHole], list[tuple[BoardCut, str]]]:
    """The holes to look for on a face, and the other cuts with why they are not."""
    x0, y0, _, _ = board.outline.bounds
    sunk = {p.id for p in board.drilled if p.counterbore is not None or p.recess is not None}
    seen: list[SoughtHole] = []
    unseen: list[tuple[BoardCut, str]] = []
    for cut in last_cuts(board):
        why = _why_not(cut, face, sunk, covered) or (MANY if len(seen) == MOST else "")
        if why:
            unseen.append((cut, why))
            continue
        mark = board.as_built.of(cut.key, cut.work)
        at = mark.centre if mark is not None and not mark.spoilt else cut.at
        x = at[0] - x0
        seen.append(SoughtHole(cut.code, x if face == "top" else size[0] - x, at[1] - y0, cut.width))
    return seen, unseen


def _why_not(cut: BoardCut, face: Face, sunk: set[str], covered: frozenset[str]) -> str:
    if cut.key.sort != "hole":
        return "not measured in a photograph" if face == cut.face else "on the other face"
    if cut.work != "through":
        return "not round"
    if face == "under" and cut.key.placement in sunk:
        return "deep in a counterbore or recess: photograph the top face"
    return "under a card, or too near to one" if cut.key.placement in covered else ""


def measured_in(data: bytes, asked: PhotoAsked) -> PhotoMeasured:
    """Every hole that was looked for; pure, so that it may be done in another process.

    Raises:
        PhotoError: nothing can be measured by the photograph, or what reads it is not installed.
    """
    from app.photo.measuring import measure_photo

    return measure_photo(data, asked.cards, asked.wanted)


def measured_file(
    photo: Path, design: Design, board: str | None, arrangement: str | None, size: Point | None
) -> tuple[ResolvedBoard, PhotoAsked, PhotoMeasured]:
    """A photograph on the disk measured for a board of a design: the board, what was looked for, and what was found.

    Raises:
        HolewiseError: no such board, it is another size than typed, or nothing can be measured by the photograph.
        OSError: the file cannot be read.
    """
    found = resolve(design, board, arrangement, catalogue())
    asked = photo_asked(found, size)
    if photo.stat().st_size > MOST_BYTES:
        raise PhotoError(f"{photo.name} is larger than {MOST_BYTES / 1e6:.0f} MB. Save it as JPEG.")
    return found, asked, measured_in(photo.read_bytes(), asked)
