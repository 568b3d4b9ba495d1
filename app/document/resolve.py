"""A document and the catalogue put together: a board with everything on it at its place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache

from msgspec import Struct

from app.catalogue.hardware import PartEntry
from app.catalogue.load import Catalogue, paper_by_text
from app.catalogue.rates import usual_rates
from app.catalogue.records import part_of
from app.document.as_built import as_built_of, begun
from app.document.board_patterns import entry_on, follows, shown_of
from app.document.coupon import trials_of
from app.document.legends import legend_of, lettering_of
from app.document.makers import air_ways, makings_of
from app.document.outlines import outline_of
from app.document.own_steps import own_steps_of
from app.document.pattern_schema import PatternEntry
from app.document.patterns import pattern_part, pattern_parts
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry, ShopEntry
from app.document.wiring import wiring_plan
from app.errors import CatalogueError, DocumentError, GeometryError, ModelError, NotFoundError, PaperError
from app.geometry.outline import EDGE_NAMES
from app.geometry.shapes import rectangle
from app.model.accepted import Accepted
from app.model.bit_selection import Made, drilled_depth, hole_made
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.coupon import measured_bits
from app.model.material import Layer
from app.model.part import Part
from app.model.resolved import Counterbore, Placed, Recess, ResolvedBoard
from app.model.tooling import Bit, Rates, Tooling
from app.values import replace


def find_board(design: Design, board_id: str | None = None) -> BoardEntry:
    """The board with that id; the deck, or else the first, if no id is given.

    Raises:
        NotFoundError: there is no such board.
    """
    if board_id is None:
        return next((b for b in design.boards if b.role == "deck"), design.boards[0])
    for board in design.boards:
        if board.id == board_id:
            return board
    raise NotFoundError(_absent("board", board_id, [b.id for b in design.boards]))


def find_arrangement(board: BoardEntry, arrangement_id: str | None = None) -> ArrangementEntry:
    """The arrangement with that id; the first if no id is given.

    Raises:
        NotFoundError: there is no such arrangement.
    """
    if arrangement_id is None:
        return board.arrangements[0]
    for arrangement in board.arrangements:
        if arrangement.id == arrangement_id:
            return arrangement
    raise NotFoundError(_absent("arrangement", arrangement_id, [a.id for a in board.arrangements]))


def placements_in(*boards: BoardEntry) -> Iterator[PlacementEntry]:
    """Every placement on some boards, one that several arrangements share as often as they do."""
    return (p for b in boards for a in b.arrangements for p in a.placements)


def resolve(
    design: Design, board_id: str | None, arrangement_id: str | None, catalogue: Catalogue, revision: str = ""
) -> ResolvedBoard:
    """One board with one arrangement, every part at its place and every hole as wide as its bit.

    ``revision`` says which state of the design it is; a file on its own has none.

    Raises:
        NotFoundError: no such board or arrangement.
        DocumentError: an unknown material, part or paper, with its place in the document.
    """
    board = find_board(design, board_id)
    arrangement = find_arrangement(board, arrangement_id)
    place = f"boards[{design.boards.index(board)}]"
    tooling, trials = resolve_shop(design.shop, catalogue), trials_of(design.coupon or ())
    tooling = replace(tooling, bits=measured_bits(tooling.bits, trials)) if trials else tooling
    parts = _PartsOn(design_parts(design, catalogue), {p.id: p for p in design.patterns if follows(p)}, board)
    path = f"{place}.arrangements[{board.arrangements.index(arrangement)}]"
    outline = outline_of(board.outline.corners)
    thickness = sum(layer.thickness for layer in board.layers)
    made: Made = {}
    stay = begun(board, arrangement)
    placed = tuple(
        place_part(p, parts.of(p, path, i), tooling, thickness, board.paint, made, begun=p.id in stay)
        for i, p in enumerate(arrangement.placements)
    )
    return ResolvedBoard(
        id=board.id,
        name=board.name,
        role=board.role,
        arrangement_id=arrangement.id,
        arrangement_name=arrangement.name or arrangement.id,
        title=design.title,
        outline=outline,
        openings=tuple(outline_of(o) for o in board.outline.openings),
        layers=_layers(board, place, catalogue),
        edges=_edges(board),
        free_depth=_depth(board, outline.bounds),
        keep_clear=_keep_clear(board),
        placements=placed,
        tooling=tooling,
        units=design.units,
        revision=revision,
        paint=board.paint,
        accepted=tuple(
            Accepted(a.rule, a.subjects, a.measured, a.reason, a.cause, a.required) for a in arrangement.accepted
        ),
        makers=makings_of(arrangement),
        air=air_ways(design, board, arrangement, catalogue),
        as_built=as_built_of(arrangement),
        own_steps=own_steps_of(design),
        lettering=lettering_of(board.lettering),
        wiring=wiring_plan(arrangement.wiring, placed, catalogue),
        trials=trials,
    )


def _edges(board: BoardEntry) -> tuple[EdgeFeature, ...]:
    entries = ((name, getattr(board.edges, name)) for name in EDGE_NAMES)
    return tuple(EdgeFeature(name, entry.slot_depth, entry.rail) for name, entry in entries)


def _keep_clear(board: BoardEntry) -> tuple[KeepClear, ...]:
    return tuple(
        KeepClear(k.face, rectangle(k.width, k.height, k.x + k.width / 2, k.y + k.height / 2), k.label)
        for k in board.keep_clear
    )


def resolve_shop(entry: ShopEntry, catalogue: Catalogue) -> Tooling:
    """The builder's shop; where nobody lists bits, the metric starter set.

    Raises:
        DocumentError: an unknown paper.
    """
    bits = tuple(Bit(b.kind, b.diameter, b.reach, b.inch) for b in entry.bits)
    try:
        paper = paper_by_text(entry.paper)
    except PaperError as error:
        raise DocumentError(str(error), "shop.paper") from None
    known = bits if bits or entry.owned else catalogue.bit_sets["metric"]
    return Tooling(catalogue.allowances[entry.drilling], known, paper, _rates(entry, catalogue), entry.spares)


def _rates(entry: ShopEntry, catalogue: Catalogue) -> Rates | None:
    """How long work takes where the builder says anything of it; what they do not say is as usual."""
    if entry.rates is None:
        return None
    usual, said = usual_rates(catalogue), entry.rates.model_dump(exclude_none=True)
    return replace(usual, **said)


def design_parts(design: Design, catalogue: Catalogue) -> Mapping[str, Part]:
    """Every part the design can use: the catalogue's, and its own and its patterns, which come before them.

    Raises:
        DocumentError: one of the design's own parts or patterns cannot exist.
    """
    own = _own_parts(_Hardware(design.hardware))
    patterns = pattern_parts(tuple(shown_of(design, entry) for entry in design.patterns)) if design.patterns else {}
    return {**catalogue.parts, **own, **patterns} if own or patterns else catalogue.parts


class _Hardware:
    """The hardware of a design, the same only if it is the very same object: it is frozen, and long to compare."""

    def __init__(self, entries: tuple[PartEntry, ...]) -> None:
        self.entries = entries

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Hardware) and other.entries is self.entries

    def __hash__(self) -> int:
        return id(self.entries)


@lru_cache(maxsize=32)
def _own_parts(hardware: _Hardware) -> dict[str, Part]:
    """A design's own parts by id; kept, because every arrangement of it asks for them."""
    parts = {}
    for index, entry in enumerate(hardware.entries):
        place = f"hardware[{index}]"
        try:
            parts[entry.id] = part_of(entry, place)
        except (CatalogueError, ModelError) as error:
            # A row's error begins with its own, deeper place.
            deeper, said, rest = str(error).partition(": ")
            if not deeper.startswith(place) or not said:
                deeper, rest = place, str(error)
            raise DocumentError(rest, deeper) from None
    return parts


def place_part(
    entry: PlacementEntry,
    part: Part,
    tooling: Tooling,
    thickness: float = 0.0,
    paint: float = 0.0,
    made: Made | None = None,
    *,
    begun: bool = False,
) -> Placed:
    """A part at its place, each round hole as wide as the shop's nearest bit that works.

    Args:
        entry: the placement.
        part: its hardware.
        tooling: whose bits there are.
        thickness: of the board [mm]; 0 if how deep bits reach does not matter.
        paint: thickness on the walls of holes [mm].
        made: bits found before for the same shop and paint.
        begun: whether something of it is in the real board already, which holds it where it is.
    """
    bore = Counterbore(entry.counterbore.diameter, entry.counterbore.depth) if entry.counterbore else None
    recess = _recess(entry)
    at, made = (entry.x, entry.y, entry.angle), {} if made is None else made
    return Placed(
        id=entry.id,
        part=part,
        x=entry.x,
        y=entry.y,
        angle=entry.angle,
        label=entry.label,
        station=entry.station,
        drill=entry.drill,
        holes=tuple(
            hole_made(c, at, tooling, drilled_depth(c, thickness, bore, recess), paint, made) for c in part.cutouts
        ),
        counterbore=bore,
        locked=entry.locked or begun,
        recess=recess,
        maker=entry.maker or "",
        begun=begun,
        legend=legend_of(entry.legend) if entry.legend is not None else None,
    )


def _recess(entry: PlacementEntry) -> Recess | None:
    r = entry.recess
    return Recess(r.width, r.height, min(r.corner, r.width / 2, r.height / 2), r.depth) if r else None


def _layers(board: BoardEntry, place: str, catalogue: Catalogue) -> tuple[Layer, ...]:
    layers = []
    for index, entry in enumerate(board.layers):
        material = catalogue.materials.get(entry.material)
        if material is None:
            raise DocumentError(
                _absent("material", entry.material, list(catalogue.materials)), f"{place}.layers[{index}].material"
            )
        layers.append(Layer(material, entry.thickness))
    return tuple(layers)


def _depth(board: BoardEntry, bounds: tuple[float, float, float, float]) -> DepthPlane | None:
    below = board.depth_below
    if below is None:
        return None
    slope = (below.back - below.front) / (bounds[3] - bounds[1])
    return DepthPlane(below.front - slope * bounds[1], 0.0, slope)


class _PartsOn(Struct, frozen=True):
    """The parts that a board's placements have: by id, and of patterns in its outline by where they are."""

    parts: Mapping[str, Part]
    following: Mapping[str, PatternEntry]
    board: BoardEntry

    def of(self, at: PlacementEntry, path: str, index: int) -> Part:
        part_id = at.part
        entry = self.following.get(part_id)
        if entry is not None:
            try:
                return pattern_part(entry_on(entry, self.board, at.x, at.y, at.angle), follows=True)
            except (ModelError, GeometryError) as error:
                raise DocumentError(str(error), f"{path}.placements[{index}]") from None
        if part_id in self.parts:
            return self.parts[part_id]
        kind = part_id.partition("-")[0]
        near = [known for known in self.parts if known.partition("-")[0] == kind] or list(self.parts)
        raise DocumentError(_absent("part", part_id, near), f"{path}.placements[{index}].part")


def _absent(what: str, got: str, known: list[str]) -> str:
    shown = ", ".join(known[:8]) + (", …" if len(known) > 8 else "")
    return f'There is no {what} "{got[:80]}". Use one of: {shown}.'
