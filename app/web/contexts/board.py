"""The board page: everything on it as typed values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from markupsafe import Markup

from app.catalogue.load import catalogue
from app.document.resolve import design_parts, find_arrangement, find_board
from app.document.schema import Design
from app.drafting.words import exact, length
from app.model.part import Part
from app.model.resolved import Placed, ResolvedBoard
from app.service.changes import grid_of
from app.service.drawings import board_svg, part_picture_width
from app.service.facts import facts_of, sheet_words
from app.service.workshop import Sight
from app.units import Unit
from app.web.contexts.here import Choice, Here, Option
from app.web.contexts.report import ReportBlock, report_block
from app.web.contexts.words import counted, material_words

_GROUPS = (
    ("Buttons", ("button",)),
    ("Sticks and rotaries", ("stick", "rotary", "trackball")),
    ("Switches and locks", ("toggle", "rocker", "lock")),
    ("Sockets, fans, brackets", ("socket", "fan", "speaker", "bracket")),
)


@dataclass(frozen=True, slots=True)
class Tile:
    """One item of hardware to add; ``width`` is how wide its picture is at true size [mm]."""

    part: str
    name: str
    detail: str
    picture: str
    width: float


@dataclass(frozen=True, slots=True)
class TileGroup:
    """Hardware of one sort."""

    title: str
    tiles: tuple[Tile, ...]


@dataclass(frozen=True, slots=True)
class Selected:
    """The selected card of one placement.

    Args:
        id: of the placement.
        label: its letter; may be empty.
        part: name of the hardware.
        x, y: from the datum edges, as shown.
        angle: degrees, as shown.
        drill: whether it is drilled.
        locked: whether it may not be moved.
        counterbore: its counterbore in words; empty if none.
        hole: what is drilled for it, in words.
        source: where the numbers of the part come from.
        parts: other hardware of its kind to use instead.
    """

    id: str
    label: str
    part: str
    x: str
    y: str
    angle: str
    drill: bool
    locked: bool
    counterbore: str
    hole: str
    source: str
    parts: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class PartLine:
    """One line of the list of parts: for finding a part without a pointer."""

    id: str
    words: str
    url: str
    current: bool


@dataclass(frozen=True, slots=True)
class Truth:
    """The line at the foot: what the board asks of the bench."""

    size: str
    material: str
    holes: str
    off: str
    bits: str
    sheets: str


@dataclass(frozen=True, slots=True)
class ShopCard:
    """What the workshop has: fields to change it.

    Args:
        thickness: of the only layer, as shown; empty where a board has several.
        layers: the layers in words.
        drilling: methods to choose from.
        papers: papers to choose from.
        bits: sets of bits to take.
    """

    thickness: str
    layers: str
    drilling: tuple[Choice, ...]
    papers: tuple[Choice, ...]
    bits: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class BoardPage:
    """The board page.

    Args:
        here: the view.
        title: of the design.
        boards, arrangements, faces, units: switches; one with a single way is empty.
        undo, redo: names of the steps; empty if there is none.
        palette: hardware to add.
        drawing: the board, inline SVG.
        report: the fit report.
        selected: the card of the part in hand; None if none or several.
        several: ids of the selected parts, if more than one.
        parts: every part, in reading order.
        truth: the line at the foot.
        shop: what the workshop has.
        unit: unit of fields, ``mm`` or ``inch``.
        grid: step of an arrow key [mm].
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    here: Here
    title: str
    boards: tuple[Option, ...]
    arrangements: tuple[Option, ...]
    faces: tuple[Option, ...]
    units: tuple[Option, ...]
    undo: str
    redo: str
    palette: tuple[TileGroup, ...]
    drawing: Markup
    report: ReportBlock
    selected: Selected | None
    several: tuple[str, ...]
    parts: tuple[PartLine, ...]
    truth: Truth
    shop: ShopCard
    unit: str
    grid: float
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def board_page(
    sight: Sight,
    here: Here,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> BoardPage:
    """The page for a view of a design."""
    board = sight.checked.resolved
    here = here.at(select=tuple(s for s in here.select if board.placed(s) is not None))
    hand = board.placed(here.select[0]) if len(here.select) == 1 else None
    return BoardPage(
        here=here,
        title=sight.design.title,
        **switches_of(sight.design, here, board),
        undo=sight.head.undo or "",
        redo=sight.head.redo or "",
        palette=palette_of(sight.design, here.design),
        drawing=Markup(board_svg(sight.checked, here.face, here.select)),  # noqa: S704 - our own writer's SVG
        report=report_block(sight.checked, here),
        selected=_selected(hand, board, sight.design) if hand is not None else None,
        several=here.select if len(here.select) > 1 else (),
        parts=_part_lines(board, here),
        truth=_truth(board, here),
        shop=_shop(sight.design, board),
        unit=board.units,
        grid=grid_of(Unit(board.units)),
        problems=problems or {},
        typed=typed or {},
    )


def switches_of(
    design: Design, here: Here, board: ResolvedBoard, page: str = "", **more: str
) -> dict[str, tuple[Option, ...]]:
    """The switches of a page of a design: boards, arrangements, faces, units."""
    entry = find_board(design, here.board or None)
    present = find_arrangement(entry, here.arrangement or None)
    plain = here.at(select=())
    boards = tuple(
        Option(b.name or b.id, plain.at(board=b.id, arrangement="").url(page, **more), b.id == entry.id)
        for b in design.boards
    )
    arrangements = tuple(
        Option(a.name or a.id, here.at(arrangement=a.id).url(page, **more), a.id == present.id)
        for a in entry.arrangements
    )
    return {
        "boards": boards if len(boards) > 1 else (),
        "arrangements": arrangements if len(arrangements) > 1 else (),
        "faces": (
            Option("Top", here.at(face="top").url(page, **more), here.face == "top"),
            Option("Underside", here.at(face="under").url(page, **more), here.face == "under"),
        ),
        "units": tuple(Option(u.value, here.at(units=u.value).url(page, **more), board.units == u.value) for u in Unit),
    }


def palette_of(design: Design, design_id: str) -> tuple[TileGroup, ...]:
    """Hardware to add: the design's own first, then the catalogue's by sort."""
    own = tuple(p for id_, p in design_parts(design, catalogue()).items() if id_ not in catalogue().parts)
    first = (TileGroup("This design’s own", tuple(_tile(p, f"/designs/{design_id}") for p in own)),) if own else ()
    return first + _catalogue_palette()


@lru_cache(maxsize=1)
def _catalogue_palette() -> tuple[TileGroup, ...]:
    parts = catalogue().parts.values()
    return tuple(TileGroup(title, tuple(_tile(p) for p in parts if p.kind in kinds)) for title, kinds in _GROUPS)


def _tile(part: Part, under: str = "") -> Tile:
    name, _, detail = part.name.partition(", ")
    size, _, rest = detail.partition(", ")
    # Under the heading “Buttons” the word itself is not needed; the size is what tells one from another.
    title, more = (size[0].upper() + size[1:], rest) if name == "Button" and size else (name, detail)
    return Tile(part.id, title, more, f"{under}/parts/{part.id}.svg", round(part_picture_width(part), 2))


def _selected(placed: Placed, board: ResolvedBoard, design: Design) -> Selected:
    unit = Unit(board.units)
    bore = placed.counterbore
    same = [p for p in design_parts(design, catalogue()).values() if p.kind == placed.part.kind]
    return Selected(
        id=placed.id,
        label=placed.label,
        part=placed.part.name,
        x=length(placed.x, unit),
        y=length(placed.y, unit),
        angle=f"{round(placed.angle, 2) + 0.0:g}°",
        drill=placed.drill,
        locked=placed.locked,
        counterbore=f"{exact(bore.diameter, unit)} wide, {exact(bore.depth, unit)} deep" if bore else "",
        hole=_hole_words(placed, unit),
        source=f"{placed.part.source.basis}: {placed.part.source.text}",
        parts=tuple(Choice(p.id, p.name, p.id == placed.part.id) for p in same),
    )


def _hole_words(placed: Placed, unit: Unit) -> str:
    hole = placed.holes[0]
    if not hole.is_circle:
        return "cut-out"
    if hole.bit is None:
        return f"{exact(hole.diameter, unit)} hole, no bit for it"
    kind = hole.bit.kind.replace("-", " ").replace("forstner", "Forstner")
    return f"{exact(hole.bit.diameter, Unit.INCH if hole.bit.inch else Unit.MM)} {kind} bit"


def _part_lines(board: ResolvedBoard, here: Here) -> tuple[PartLine, ...]:
    unit = Unit(board.units)
    rows = sorted(board.placements, key=lambda p: (-round(p.y / 25.0), p.x))
    return tuple(
        PartLine(
            p.id,
            f"{p.label or '–'} · {p.part.name} · {length(p.x, unit)}, {length(p.y, unit)}"
            + ("" if p.drill else " · not drilled"),
            here.at(select=(p.id,)).url(),
            p.id in here.select,
        )
        for p in rows
    )


def _truth(board: ResolvedBoard, here: Here) -> Truth:
    unit, facts = Unit(board.units), facts_of(board)
    sides = [exact(v, unit) for v in (board.width, board.depth_front_to_back, board.thickness)]
    if unit is Unit.MM:
        sides[:2] = [side.removesuffix(" mm") for side in sides[:2]]
    return Truth(
        size=" × ".join(sides),
        material=material_words(board.layers),
        holes=counted(facts.holes, "hole"),
        off=f"{facts.off} not drilled" if facts.off else "",
        bits=_joined(facts.bits),
        sheets=sheet_words(board, here.face, board.shop.paper),
    )


def _joined(sizes: tuple[str, ...]) -> str:
    """``30 · 28 · 24 mm``: the unit once if all are in millimetres."""
    metric = all(size.endswith(" mm") for size in sizes)
    return (
        " · ".join(size.removesuffix(" mm") for size in sizes) + (" mm" if sizes else "")
        if metric
        else " · ".join(sizes)
    )


def _shop(design: Design, board: ResolvedBoard) -> ShopCard:
    unit, shop = Unit(board.units), design.shop
    papers = [Choice(p.id, p.name, p.id == shop.paper) for p in catalogue().papers.values()]
    if not any(choice.chosen for choice in papers):
        papers.append(Choice(shop.paper, board.shop.paper.name, chosen=True))
    return ShopCard(
        thickness=exact(board.layers[0].thickness, unit) if len(board.layers) == 1 else "",
        layers=" on ".join(f"{exact(la.thickness, unit)} {la.material.name}" for la in board.layers),
        drilling=tuple(Choice(a.id, a.name, a.id == shop.drilling) for a in catalogue().allowances.values()),
        papers=tuple(papers),
        bits=(
            Choice("", f"Keep these {len(board.shop.bits)} bits", chosen=True),
            *(Choice(name, f"Take the {name} set") for name in catalogue().bit_sets),
        ),
    )
