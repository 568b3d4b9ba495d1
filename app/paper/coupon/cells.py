"""Cells of a coupon: a trial cut at true size with its centre mark, and below it what to drill, to try and to tick."""

from __future__ import annotations

import math
from typing import Final

from msgspec import Struct

from app.drafting.forms import box_path, shape_item
from app.drafting.words import exact
from app.geometry.shapes import Point, Shape, circle
from app.model.tooling import kind_words
from app.paper.cover.text import Paragraph, height, set_text
from app.scene.palette import COUNTERBORE, CROSS, HOLE, RAIL, RECESS, TEXT, TEXT_MUTED
from app.scene.primitives import Item, Line, Style, Text
from app.shop.coupon import Sample
from app.units import INCH, Unit, format_named

_QUARTER: Final = INCH / 4  # to which a length that matters little is said in inches [mm]

WIDTH: Final = 56.0
"""Of a cell at least [mm]: three stand beside each other on A4 and on Letter."""

_AIR: Final = 5.0  # round a cut [mm]
_INDENT: Final = 2.0
_SIZE, _SMALL = 3.1, 2.7  # of the words [mm]
_TICKED: Final = 3.4  # side of a box to tick [mm]
_ARM: Final = (0.6, 4.0)  # where an arm of the cross at a centre begins and ends [mm]
_FITS: Final = ("tight", "right", "loose")
_TICK = Style(stroke="#23272b", width=0.25, role="tick-box")
_LINE = Style(stroke="#8f9396", width=0.18, role="writing-line")


class CouponCell(Struct, frozen=True):
    """A cell, laid out.

    Args:
        sample: what it is of.
        unit: of its words.
        room: the widest cut that is drawn [mm].
    """

    sample: Sample
    unit: Unit
    room: float

    @property
    def shapes(self) -> tuple[tuple[Shape, Style], ...]:
        """What is drawn at true size about the middle of its place; nothing of a cut wider than the sheet."""
        sample = self.sample
        if max(sample.width, sample.length) + 2 * _AIR > self.room:
            return ()
        half = sample.width / 2
        if sample.sort == "recess":
            inner = half - sample.corner
            core = (
                ((-inner, -inner), (inner, -inner), (inner, inner), (-inner, inner)) if inner > 1e-6 else ((0.0, 0.0),)
            )
            return ((Shape(core, sample.corner), _true(RECESS)),)
        if sample.sort == "rail joint":
            long = sample.length / 2
            return ((Shape(((-long, -half), (long, -half), (long, half), (-long, half)), 0.0), _true(RAIL)),)
        rims = ((circle(sample.width), _true(COUNTERBORE) if sample.sort == "counterbore" else HOLE),)
        return (*rims, (circle(sample.hole), HOLE)) if sample.hole else rims

    @property
    def width(self) -> float:
        """Of the cell [mm]."""
        wide = max((shape.bounds[2] - shape.bounds[0] for shape, _ in self.shapes), default=0.0)
        return max(WIDTH, wide + 2 * _AIR)

    @property
    def above(self) -> float:
        """Height of the place of its cut [mm]."""
        return max((shape.bounds[3] - shape.bounds[1] for shape, _ in self.shapes), default=0.0) + 2 * _AIR

    @property
    def below(self) -> float:
        """Height of what stands below that [mm]."""
        return height(self._words, self.width - 2 * _INDENT, _SMALL) + 16.0

    @property
    def _words(self) -> list[Paragraph]:
        sample = self.sample
        found = [Paragraph(f"No. {sample.number}: {head_words(sample, self.unit)}", bold=True)]
        found.append(Paragraph(make_words(sample, self.unit)))
        if not self.shapes:
            found.append(Paragraph("Wider than this sheet: mark its centre on the scrap.", bold=True))
        found.append(Paragraph(try_words(sample)))
        letters = ", ".join(sample.letters[:8]) + (f" and {len(sample.letters) - 8} more" if sample.letters[8:] else "")
        found.append(Paragraph(f"At {letters}", style=TEXT_MUTED))
        return found

    def centre(self, left: float, top: float, above: float) -> Point:
        """The middle of its cut, where ``above`` is the height of the places of its row [mm]."""
        return (left + self.width / 2, top - above / 2)

    def items(self, left: float, top: float, above: float) -> list[Item]:
        """All of it below an ordinate [mm]."""
        at = self.centre(left, top, above)
        items: list[Item] = [shape_item(shape.shifted(*at), style) for shape, style in self.shapes]
        if items and self.sample.sort not in ("recess", "rail joint"):
            items += _cross(at)
        words, low = set_text(self._words, left + _INDENT, top - above, self.width - 2 * _INDENT, _SMALL)
        return [*items, *words, *self._boxes(left + _INDENT, low - 2.0)]

    def _boxes(self, left: float, top: float) -> list[Item]:
        """Three boxes, and a line to write on what was measured."""
        items: list[Item] = []
        step = (WIDTH - 2 * _INDENT) / len(_FITS)
        for number, word in enumerate(_FITS):
            x = left + number * step
            items.append(box_path((x, top - _TICKED, x + _TICKED, top), _TICK))
            items.append(Text((x + _TICKED + 1.2, top - 0.8 * _TICKED), word, _SIZE, TEXT))
        low = top - _TICKED - 6.0
        head = "Measured" if self.sample.sort != "rail joint" else "Notes"
        return [
            *items,
            Text((left, low + 0.6), head, _SMALL, TEXT_MUTED),
            Line((left + 14.0, low), (left + WIDTH - 6.0, low), _LINE),
        ]


def _true(style: Style) -> Style:
    """A line to cut along is never broken here: it is the trial itself."""
    return Style(stroke="#23272b", width=0.25, role=style.role)


def _cross(at: Point) -> list[Item]:
    x, y = at
    near, far = _ARM
    return [
        Line((x + near, y), (x + far, y), CROSS), Line((x - far, y), (x - near, y), CROSS),
        Line((x, y + near), (x, y + far), CROSS), Line((x, y - far), (x, y - near), CROSS),
    ]  # fmt: skip


def head_words(sample: Sample, unit: Unit) -> str:
    """``28 mm hole``, ``34 mm counterbore``."""
    if sample.sort == "recess":
        return f"Recess, corner {exact(sample.corner, unit)}"
    if sample.sort == "rail joint":
        return f"Rail joint, {exact(sample.width, unit)}"
    wide = bit_width(sample, unit)
    return f"{wide} {sample.sort}"


def try_words(sample: Sample) -> str:
    """What to do with it once it is cut."""
    return f"Try {sample.tried}" if sample.tried else "Nothing goes in: look at its edge, and measure it"


def bit_width(sample: Sample, unit: Unit) -> str:
    """Its width as its bit is sold, or as it was asked for."""
    if sample.bit is not None:
        return exact(sample.bit.diameter, Unit.INCH if sample.bit.inch else Unit.MM)
    return format_named(sample.width, unit)


def bit_words(sample: Sample, unit: Unit) -> str:
    """What to drill it with; empty of a joint."""
    if sample.sort == "rail joint":
        return ""
    if sample.bit is None:
        if sample.sort == "recess":
            return "a router bit that leaves that corner"
        return f"a {format_named(sample.width, unit)} bit, which you have not listed"
    return f"{bit_width(sample, unit)} {kind_words(sample.bit.kind)} bit".replace(" bit bit", " bit")


def make_words(sample: Sample, unit: Unit) -> str:
    """What to do, in a sentence."""
    if sample.sort == "rail joint":
        long = exact(sample.length if unit is Unit.MM else math.ceil(sample.length / _QUARTER) * _QUARTER, unit)
        return f"Glue an offcut, about {long} long, along the edge of the scrap, and screw it as on the board."
    with_bit = bit_words(sample, unit)
    how = "right through" if sample.depth is None else f"{exact(sample.depth, unit)} deep"
    first = (
        f"Rout with {with_bit}, {how}" if sample.sort == "recess" else f"{with_bit[:1].upper()}{with_bit[1:]}, {how}"
    )
    return f"{first}; then the hole" if sample.hole else first
