"""What is bought for a board or several: hardware with its screws and nuts, board by area, moulding by length, bits."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final, Literal

from msgspec import Struct

from app.geometry.outline import edge_of
from app.geometry.pieces import ArcPiece, LinePiece, Piece
from app.model.part import NutFixing, ScrewFixing
from app.model.resolved import Placed, ResolvedBoard
from app.model.tooling import Bit, kind_words
from app.shop.bits_to_buy import bits_to_buy
from app.shop.screw_choice import ScrewChoice, screws_of
from app.units import Unit, format_named

Sort = Literal["hardware", "screw", "nut", "washer", "board", "moulding", "bit"]

_CHORDS: Final = 256  # of an elliptic corner: its length is then a hundred-thousandth short


class Item(Struct, frozen=True):
    """A line of the list.

    Args:
        key: what names it, though counts and letters change: ``part.button-28-nut-long``, ``screw.4.16``.
        sort: what it is.
        name: by kind and measured size.
        letters: of the parts that need it, each once.
        count: how many; of moulding 1.
        spare: how many more to buy in case.
        size: length of a screw or moulding, thickness of board [mm]; None where it has none.
        area: of all boards of it, as blanks are sawn [mm²]; None of others.
        first: what has to be done before it is bought or drilled for; empty for nothing.
    """

    key: str
    sort: Sort
    name: str
    letters: tuple[str, ...]
    count: int
    spare: int = 0
    size: float | None = None
    area: float | None = None
    first: str = ""

    @property
    def total(self) -> int:
        """How many to buy."""
        return self.count + self.spare

    @property
    def measured(self) -> bool:
        """Whether nothing has to be measured or chosen first."""
        return not self.first


class On(Struct, frozen=True):
    """A part that is bought, on the board that carries it, and its letter or name."""

    board: ResolvedBoard
    placed: Placed
    letter: str


def parts_list(boards: ResolvedBoard | Sequence[ResolvedBoard], spares: float) -> tuple[Item, ...]:
    """Everything for one or several boards; what is typical, and must be measured first, on top.

    Args:
        boards: a board with one arrangement, or several. Of one board with several arrangements, what stands in more
            than one of them is one part, and the board is one board.
        spares: share to buy in case, of what is lost or breaks: screws, nuts, washers and buttons [%].
    """
    every = (boards,) if isinstance(boards, ResolvedBoard) else tuple(boards)
    found, called = tuple(_on(every)), _Called(len({board.id for board in every}) > 1)
    items = [
        *_hardware(found, spares, called), *_fixings(found, spares, called), *_materials(every), *_bits(every, called)
    ]  # fmt: skip
    return tuple(sorted(items, key=lambda item: item.measured))


def spare_of(count: int, spares: float) -> int:
    """So many more, whole ones, that the share is reached."""
    return math.ceil(count * spares / 100 - 1e-9)


def _on(boards: Sequence[ResolvedBoard]) -> Iterator[On]:
    """Every part that is drilled for, once for each place on each board."""
    seen = set[tuple[object, ...]]()
    for board in boards:
        for p in board.drilled:
            place = (board.id, p.id, p.part.id, p.x, p.y, p.angle, p.label)
            if p.part.is_pattern or place in seen:
                continue
            seen.add(place)
            yield On(board, p, p.label or p.part.name)


class _Called(Struct, frozen=True):
    """How parts are called on a list: by their letters, after their board where there are several."""

    many: bool

    def letters(self, found: Iterable[tuple[ResolvedBoard, str]]) -> tuple[str, ...]:
        """Each letter once: ``A``, ``B``; of several boards ``Deck: A, B``, one word for each board."""
        if not self.many:
            return tuple(dict.fromkeys(letter for _, letter in found))
        by_board: dict[str, dict[str, None]] = {}
        for board, letter in found:
            by_board.setdefault(board.name, {})[letter] = None
        return tuple(f"{name}: {', '.join(letters)}" for name, letters in by_board.items())

    def of(self, found: Sequence[On]) -> tuple[str, ...]:
        """The same of parts."""
        return self.letters((on.board, on.letter) for on in found)


def _hardware(found: Sequence[On], spares: float, called: _Called) -> Iterator[Item]:
    """What bears one name is one thing to buy: its name is its kind and its measures."""
    groups: dict[tuple[str, str], list[On]] = {}
    for on in found:
        first = "measure it" if on.placed.part.source.basis == "typical" else ""
        groups.setdefault((on.placed.part.name, first), []).append(on)
    for (name, first), group in groups.items():
        part = group[0].placed.part
        spare = spare_of(len(group), spares) if part.kind == "button" else 0
        yield Item(f"part.{part.id}", "hardware", name, called.of(group), len(group), spare, first=first)


def _fixings(found: Sequence[On], spares: float, called: _Called) -> Iterator[Item]:
    screws: dict[tuple[float, bool, float | None, str], tuple[list[On], list[ScrewChoice]]] = {}
    nuts: dict[tuple[float, float], list[On]] = {}
    washers: dict[float, list[On]] = {}
    for on in found:
        fixing = on.placed.part.fixing
        if isinstance(fixing, ScrewFixing):
            for choice in screws_of(on.board, on.placed):
                key = (fixing.screw_diameter, choice.bolt, choice.length, choice.why)
                group = screws.setdefault(key, ([], []))
                group[0].append(on)
                group[1].append(choice)
        elif isinstance(fixing, NutFixing):
            nuts.setdefault((fixing.nut_width, fixing.nut_height), []).append(on)
            if fixing.washer > 0:
                washers.setdefault(fixing.washer, []).append(on)
    for (wide, bolt, long, why), (of, choices) in screws.items():
        count, what = sum(choice.count for choice in choices), "bolt" if bolt else "screw"
        line = f"{what}.{_figure(wide)}.{_figure(long)}"
        name = f"{what.capitalize()}, {wide:g} mm"
        yield Item(line, "screw", name, called.of(of), count, spare_of(count, spares), long, first=why)
    for (across, high), of in nuts.items():
        name = f"Nut, {across:g} mm across corners, {high:g} mm high"
        line = f"nut.{_figure(across)}.{_figure(high)}"
        yield Item(line, "nut", name, called.of(of), len(of), spare_of(len(of), spares))
    for thick, of in washers.items():
        name = f"Washer, {thick:g} mm thick"
        yield Item(f"washer.{_figure(thick)}", "washer", name, called.of(of), len(of), spare_of(len(of), spares))


def _materials(boards: Sequence[ResolvedBoard]) -> Iterator[Item]:
    every = {board.id: board for board in reversed(boards)}
    once = [every[ident] for ident in dict.fromkeys(board.id for board in boards)]
    sheets: dict[tuple[str, float], tuple[str, list[ResolvedBoard]]] = {}
    for board in once:
        for layer in board.layers:
            key = (layer.material.id, layer.thickness)
            sheets.setdefault(key, (layer.material.name, []))[1].append(board)
    for (material, thick), (name, of) in sheets.items():
        area = sum(board.width * board.depth_front_to_back for board in of)
        letters = tuple(dict.fromkeys(board.name for board in of)) if len(once) > 1 else ()
        yield Item(f"board.{material}.{_figure(thick)}", "board", name, letters, len(of), size=thick, area=area)
    long = sum(moulding_length(board) for board in once)
    if long > 0:
        yield Item("moulding", "moulding", "Edge moulding", (), 1, size=long)


def moulding_length(board: ResolvedBoard) -> float:
    """Along the rim, where an edge has a slot for it [mm]."""
    slotted = {edge.edge for edge in board.edges if edge.slot_depth > 0}
    return sum(_length(piece) for piece in board.outline.pieces if edge_of(piece.a, piece.b) in slotted)


def _length(piece: Piece) -> float:
    if isinstance(piece, LinePiece):
        return math.dist(piece.a, piece.b)
    if isinstance(piece, ArcPiece):
        return abs(math.radians(piece.sweep)) * piece.radius
    points = [piece.at(k / _CHORDS) for k in range(_CHORDS + 1)]
    return sum(math.dist(a, b) for a, b in pairwise(points))


def _bits(boards: Sequence[ResolvedBoard], called: _Called) -> Iterator[Item]:
    found: dict[str, tuple[Bit, list[tuple[ResolvedBoard, str]]]] = {}
    for board in boards:
        for lacking in bits_to_buy(board):
            key = f"bit.{lacking.bit.kind}.{_figure(lacking.bit.diameter)}"
            found.setdefault(key, (lacking.bit, []))[1].extend((board, letter) for letter in lacking.letters)
    for key, (bit, letters) in found.items():
        size = format_named(bit.diameter, Unit.INCH if bit.inch else Unit.MM)
        yield Item(key, "bit", f"Bit, {kind_words(bit.kind)}, {size}", called.letters(letters), 1)


def _figure(mm: float | None) -> str:
    """A size within a key."""
    return "any" if mm is None else f"{round(mm, 3):g}"
