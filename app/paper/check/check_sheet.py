"""The check sheet: one page that shows what a printer does to lengths along both axes and to right angles."""

from __future__ import annotations

import math

from msgspec import Struct

from app.drafting.forms import box_path
from app.drafting.scaling import scaled
from app.drafting.words import revision_words, stop_words, unit_of
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Paper
from app.paper.check.check_frame import CheckBar, CheckFrame, check_frame
from app.scene.metrics import CAP_HEIGHT, fitting_size, shortened, text_width
from app.scene.palette import BAR_DARK, DIMENSION, FRAME, TEXT, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, LineTo, Path, Scene, Text
from app.units import Unit, format_exact, format_inches

_THICK = 2.5
_WORDS = 6.0
_WIDTH, _HEIGHT = 150.0, 190.0  # room of the words inside the frame, before they are scaled to it [mm]
_LARGEST = 2.0
_SMALL = 3.6
_STOPPED = 10.0  # height of the line that says that the board cannot be built [mm]


class CheckSheet(Struct, frozen=True):
    """A check sheet.

    Args:
        scene: the page.
        bars: what to measure on it: ``A`` and ``B`` along the short side of the paper, ``C`` and ``D`` along the long
            side, and the diagonals ``E`` and ``F``.
    """

    scene: Scene
    bars: tuple[CheckBar, ...]


def check_sheet(board: ResolvedBoard, printing: Printing | Paper, *, unit: Unit | None = None) -> CheckSheet:
    """The check sheet for a paper, with a correction if one is in force.

    Args:
        board: the board it is printed with, of which it says the design and the revision; it shows nothing else of it.
        printing: paper, margin and correction.
        unit: what the sides are a round number of, and are named in first; None for the design's own.

    Raises:
        PaperError: the paper is too small.
    """
    unit, printing = unit or unit_of(board), Printing.of(printing)
    frame = check_frame(printing, unit)
    items = (
        Group(_frame(frame), name="check-frame"),
        Group(_names(frame, unit), name="check-names"),
        Group(_inside(board, frame, printing, unit), name="check-words"),
    )
    name = printing.paper.name
    scene = Scene(
        0.0, 0.0, *frame.page, items, title=f"Print check sheet for {name}",
        note=f"{name}, 1:1, {corrected(printing)}", stretch=frame.stretch,
    )  # fmt: skip
    return CheckSheet(scene, frame.bars)


def corrected(printing: Printing) -> str:
    """What stands on a page about the printer's correction."""
    correction = printing.correction
    if correction.none:
        return "no printer correction"
    words = f"corrected x {correction.x:.4f} y {correction.y:.4f}"
    return f"{words} for {correction.printer}" if correction.printer else words


def both_units(mm: float, unit: Unit) -> tuple[str, str]:
    """A length in the unit asked for, and in the other; both say it to 0.02 mm."""
    metric = f"{format_exact(round(mm, 2))} mm"
    inches = format_inches(mm, exactly=True)
    return (inches, metric) if unit is Unit.INCH else (metric, inches)


def _frame(frame: CheckFrame) -> tuple[Item, ...]:
    """Four filled bars: their outer edges are exact, which the edge of a pen line would not be."""
    x0, y0, x1, y1 = frame.box
    t = _THICK
    boxes = ((x0, y0, x1, y0 + t), (x0, y1 - t, x1, y1), (x0, y0, x0 + t, y1), (x1 - t, y0, x1, y1))
    return tuple(box_path(box, BAR_DARK) for box in boxes)


def _names(frame: CheckFrame, unit: Unit) -> tuple[Item, ...]:
    """Letter and length inside each side at its middle; stubs of the diagonals in the corners."""
    x0, y0, x1, y1 = frame.box
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    off, rise = _THICK + 3.0, CAP_HEIGHT * _WORDS
    items: list[Item] = []
    by_name = {bar.name: bar for bar in frame.bars}
    places = {
        "A": ((middle[0], y0 + off), 0.0), "B": ((middle[0], y1 - off - rise), 0.0),
        "C": ((x0 + off + rise, middle[1]), 90.0), "D": ((x1 - off, middle[1]), 90.0),
    }  # fmt: skip
    for name, (at, angle) in places.items():
        first, second = both_units(by_name[name].length, unit)
        room = (x1 - x0 if angle == 0.0 else y1 - y0) - 70.0
        words = f"{name}:  {first}  ({second})"
        items.append(Text(at, words, fitting_size(words, room, _WORDS, True), TEXT, "middle", angle, True))
    for name in ("E", "F"):
        bar = by_name[name]
        for corner, other in ((bar.a, bar.b), (bar.b, bar.a)):
            items += _stub(name, corner, other)
    return tuple(items)


def _stub(name: str, corner: tuple[float, float], other: tuple[float, float]) -> list[Item]:
    """An arrow along a diagonal to the outer corner it is measured from, with its letter."""
    length = math.dist(corner, other)
    ux, uy = (other[0] - corner[0]) / length, (other[1] - corner[1]) / length

    def at(along: float, aside: float = 0.0) -> tuple[float, float]:
        return (corner[0] + along * ux - aside * uy, corner[1] + along * uy + aside * ux)

    tip = 1.5 * _THICK / min(abs(ux), abs(uy)) * 0.8
    head = Path(at(tip), (LineTo(at(tip + 3.2, 1.0)), LineTo(at(tip + 3.2, -1.0))), BAR_DARK, closed=True)
    letter = at(tip + 13.5)
    return [
        Line(at(tip + 3.0), at(tip + 9.0), DIMENSION),
        head,
        Text((letter[0], letter[1] - CAP_HEIGHT * _WORDS / 2), name, _WORDS, TEXT, "middle", bold=True),
    ]


def _inside(board: ResolvedBoard, frame: CheckFrame, printing: Printing, unit: Unit) -> tuple[Item, ...]:
    """Title, settings, what to do and where to write, scaled to the frame and in its middle."""
    x0, y0, x1, y1 = frame.box
    room = (x1 - x0 - 2 * (_THICK + 11.0), y1 - y0 - 2 * (_THICK + 14.0))
    k = min(room[0] / _WIDTH, room[1] / _HEIGHT, _LARGEST)
    shift = ((x0 + x1 - k * _WIDTH) / 2, (y0 + y1 - k * _HEIGHT) / 2)
    return (Group(scaled(_words(board, frame, printing, unit), k), shift=shift),)


def _words(board: ResolvedBoard, frame: CheckFrame, printing: Printing, unit: Unit) -> list[Item]:
    """From the lower left corner of their room."""
    paper = printing.paper
    first, second = ("inches", "mm") if unit is Unit.INCH else ("mm", "inches")
    # The frame stays as it is with stops or without: what is measured on it must not depend on the board.
    top = _HEIGHT - (_STOPPED if printing.stops else 0.0)
    items: list[Item] = [
        Text((0.0, top - 9.0), "Print check sheet", 11.0, TEXT, bold=True),
        _line(f"{paper.name}, {corrected(printing)}", 0.0, top - 17.0, 5.0),
        Text((0.0, top - 22.6), _printed_with(board), _SMALL, TEXT_MUTED),
    ]
    if printing.stops:
        said = f"The board is {stop_words(printing.stops)}"
        items.append(Text((0.0, _HEIGHT - 7.0), said, fitting_size(said, _WIDTH, 6.5, bold=True), TEXT, bold=True))
    y = top - 29.0
    for text in _steps(paper.name, f"{first} or {second}"):
        number, _, rest = text.partition("|")
        if number:
            items.append(Text((0.0, y), number, 5.0, TEXT, bold=True))
        items.append(_line(rest, 8.0, y, 4.6))
        y -= 6.6
    items += _blanks(frame, unit, y - 3.0)
    items.append(_line(_verdict(printing), 0.0, 2.0, 4.0, muted=True))
    return items


def _printed_with(board: ResolvedBoard) -> str:
    """The design and its revision; a long title gives way to the rest."""
    rest = f", {revision_words(board)}; it serves every design."
    return shortened(f"Printed with {board.title}", _WIDTH - text_width(rest, _SMALL), _SMALL) + rest


def _line(text: str, x: float, y: float, size: float, *, muted: bool = False) -> Text:
    return Text((x, y), text, fitting_size(text, _WIDTH - x, size), TEXT_MUTED if muted else TEXT)


def _steps(paper: str, units: str) -> tuple[str, ...]:
    return (
        f"1|Print this page on {paper} at actual size (100 %).",
        "|Fit to page off, borderless off, one page per sheet, single-sided.",
        "2|Wait ten minutes, then lay it flat.",
        "3|Measure the black frame with a steel rule, from the outer edge",
        "|of the ink to the outer edge at the other end, along A, B, C, D.",
        "4|Measure E and F from outer corner to outer corner.",
        f"5|Write them here and type them into the print doctor, in {units}.",
    )


def _blanks(frame: CheckFrame, unit: Unit, top: float) -> list[Item]:
    """A line for every bar: its letter, its place, its true length and room for what was measured."""
    items: list[Item] = []
    columns = (0.0, 9.0, 71.0, 112.0, _WIDTH)
    items.append(Text((columns[2], top), "if true", 4.0, TEXT_MUTED))
    items.append(Text((columns[3], top), "measured", 4.0, TEXT_MUTED))
    pitch = min(13.0, (top - 10.0) / (len(frame.bars) + 0.3))
    y = top - 0.85 * pitch
    for bar in frame.bars:
        length = both_units(bar.length, unit)[0]
        items.append(Text((columns[0], y), bar.name, 6.0, TEXT, bold=True))
        items.append(Text((columns[1], y), bar.place, fitting_size(bar.place, 60.0, 4.6), TEXT))
        items.append(Text((columns[2], y), length, fitting_size(length, 38.0, 4.6), TEXT))
        items.append(Line((columns[3], y - 1.0), (columns[4], y - 1.0), FRAME))
        y -= pitch
    return items


def _verdict(printing: Printing) -> str:
    if printing.correction.none:
        return "If the lengths differ, the print doctor tells you why and what to change. Until then, do not drill."
    return "With the correction all lengths should now be true. If not, go back to the print doctor."
