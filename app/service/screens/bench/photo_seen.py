"""What a photograph told of a board: each hole in words, over the straightened picture, before anything is kept."""

from __future__ import annotations

import base64
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, Literal

from msgspec import Struct

from app.model.photo_cards import CardPlan
from app.model.resolved import ResolvedBoard
from app.paper.photo.words import lack_words
from app.service.edits.built_typing import last_cuts
from app.service.photo import PhotoAsked
from app.service.screens.bench.photo_rows import SINGLY, PhotoRow, photo_rows
from app.service.screens.words import capital, counted, listed
from app.shop.board_steps import BoardCut
from app.units import Unit

if TYPE_CHECKING:
    from app.photo.measuring import PhotoMeasured

_SHOWN: Final = 1500
"""Circles drawn over the picture: of more nobody sees them."""

WHY: Mapping[str, str] = MappingProxyType(
    {
        "not seen": "no hole is seen there",
        "small": "too few pixels: come closer, or take it with more of them",
        "vague": "its rim cannot be followed all round, or is no circle",
        "two": "there are two rims, and either may be it",
        "not dark": "one does not look through it into the dark: lay something dark below, look straight down",
        "soft": "its border is blurred, as that of a knot or a shadow",
        "line": "it is a drawn line, not a rim",
        "off the picture": "it is not wholly in the picture",
        "unsure": "it cannot be told within 1 mm where it is",
    }
)
"""Why a hole was not measured, by the word for it."""


class Spot(Struct, frozen=True):
    """A circle over the picture: its middle and radius [mm, from the upper left end], its letter, and what it is."""

    x: float
    y: float
    radius: float
    name: str
    state: Literal["found", "doubt"]


class PhotoSeen(Struct, frozen=True):
    """What is shown.

    Args:
        face: the face that was photographed, in words.
        rows: what was measured.
        doubts: why holes were not, each with their names in words.
        missed: how many were not.
        found: how many were measured, in words.
        picture: the straightened photograph, as the address of an image.
        size: width and height of what it shows [mm].
        spots: circles over it.
        pen: a line's width that is seen at its size [mm].
        said: sentences about the photograph as a whole.
    """

    face: str
    rows: tuple[PhotoRow, ...]
    doubts: tuple[tuple[str, str], ...]
    missed: int
    found: str
    picture: str
    size: tuple[float, float]
    spots: tuple[Spot, ...]
    pen: float
    said: tuple[str, ...]


_LISTED: Final = 30

NO_HOLES: Final = "There is no round hole on this board to measure in a photograph."


def card_words(plan: CardPlan, board: ResolvedBoard) -> tuple[str, ...]:
    """What is wrong with the cards of a face, a sentence each; none where nothing is."""
    return lack_words(plan, board)


def photo_seen(board: ResolvedBoard, asked: PhotoAsked, found: PhotoMeasured) -> PhotoSeen:
    """What a photograph told of a board."""
    unit = Unit(board.units)
    cuts = {cut.code: cut for cut in last_cuts(board)}
    good = [(cuts[m.code], m) for m in found.holes if not m.doubt and m.code in cuts]
    rows = tuple(photo_rows(board, asked, found, good))
    doubts = [(cuts[m.code].name, WHY.get(m.doubt, m.doubt)) for m in found.holes if m.doubt and m.code in cuts]
    doubts += [(cut.name, why) for cut, why in asked.left_out[found.cards.face]]
    left, front, right, back = found.picture.box
    size = (right - left, back - front)
    many = counted(len(good), "hole")
    return PhotoSeen(
        face="top face" if found.cards.face == "top" else "underside",
        rows=rows,
        doubts=_by_reason(doubts),
        missed=len(doubts),
        found=f"{many} measured" if good else "No hole could be measured",
        picture="data:image/jpeg;base64," + base64.b64encode(found.picture.jpeg).decode("ascii"),
        size=size,
        spots=tuple(_spots(asked, found, cuts))[:_SHOWN],
        pen=max(size) / 500.0,
        said=tuple(_said(found, unit)),
    )


def _by_reason(doubts: Sequence[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Each reason once, with the names of its holes."""
    names: dict[str, list[str]] = {}
    for name, why in doubts:
        names.setdefault(why, []).append(name)
    return tuple(
        (capital(why), listed([*all_of[:_LISTED], *([f"{len(all_of) - _LISTED} more"] if all_of[_LISTED:] else [])]))
        for why, all_of in names.items()
    )


def _spots(asked: PhotoAsked, found: PhotoMeasured, cuts: Mapping[str, BoardCut]) -> Iterator[Spot]:
    left, _, _, back = found.picture.box
    wanted = {one.code: one for one in asked.wanted[found.cards.face]}
    alone = len(wanted) <= SINGLY
    for measured in found.holes:
        one, cut = wanted.get(measured.code), cuts.get(measured.code)
        if one is None or cut is None:  # the design was changed meanwhile
            continue
        name = cut.name if alone else ""
        if measured.doubt:
            yield Spot(one.x - left, back - one.y, one.diameter / 2, name, "doubt")
        else:
            yield Spot(measured.x - left, back - measured.y, measured.diameter / 2, name, "found")


def _said(found: PhotoMeasured, unit: Unit) -> Iterator[str]:
    yield (
        f"Taken {found.angle:.0f}° from straight above" if found.angle >= 1 else "Taken from straight above"
    ) + f", {found.scale:.1f} pixels to a millimetre. Each figure is within what stands after ±, 99 times of 100."
    printed = [100 * p for p in found.printed]
    if max(abs(p - 100) for p in printed) > 1:
        yield (
            f"The cards came out {printed[0]:.1f} % across and {printed[1]:.1f} % along. That was taken out, but if "
            "the board is another size than typed, every figure is off by as much: measure it."
        )
    if unit is Unit.INCH:
        yield "Inches are rounded to 1/64; what is kept is not."
