"""What the page of wiring says: the underside with its wires, every wire, what to cut, and what can be chosen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.document.resolve import design_parts
from app.drafting.wiring_picture import wire_words, wiring_picture
from app.fit.judging.pins import pins_of
from app.model.part import Part
from app.model.wiring import WiringPlan
from app.paper.kinds.wiring import NAME, WIRING, harness_in
from app.paper.lists.wiring import proposal_words, proposed
from app.scene.primitives import Scene
from app.scene.table import Table
from app.service.drawings.sheet_files import printing_on
from app.service.drawings.sheet_jobs import sheet_job
from app.service.screens.bench.list_seen import TableSeen, table_seen
from app.service.screens.choices import Choice
from app.service.screens.words import as_typed, capital
from app.service.sight import Sight
from app.shop.wiring.harness import Harness
from app.units import Unit, format_exact
from app.writers import svg

_USUAL_WIDE: Final = 640.0  # mm of board whose letters are as large as they are drawn
_MARGIN: Final = 8.0  # round the board [mm at that width]


class WireSeen(Struct, frozen=True):
    """A wire: its number, the cells of its row, a sentence, and whether it is lit up."""

    number: int
    cells: tuple[str, ...]
    words: str
    lit: bool


class EncoderSeen(Struct, frozen=True):
    """An encoder board in view: its placement, its letter, what it is, and where, as fields are typed."""

    placement: str
    letter: str
    name: str
    left: str
    front: str


class ProposalSeen(Struct, frozen=True):
    """Encoder boards that would do: in words, with what is to spare, and the ids of the parts to add."""

    words: str
    spare: str
    parts: str


class WiringSeen(Struct, frozen=True):
    """The page.

    Args:
        drawing: the underside, inline SVG; empty without an encoder board.
        said: sentences before the tables.
        summed: what there is, in a line.
        heads: of the list of wires, and whether they hold numbers.
        wires: every wire.
        title: above them.
        left_out: how many more of them the files have.
        tables: what belongs to it.
        encoders: those there are.
        proposals: what would do where there are none.
        parts: encoder boards to choose from.
        supplies, conductors, grounds: to choose from.
        ground_colours, supply_colours, signal_colours: likewise.
        values: by name what stands in the fields of numbers.
        tabs: signal tabs, to be put on a pin.
        pinned: those that are on a pin of the builder's choice: placement and words.
        wired, apart: parts that are wired, and that are left out, to change that.
    """

    drawing: str
    said: tuple[str, ...]
    summed: str
    heads: tuple[tuple[str, bool], ...]
    wires: tuple[WireSeen, ...]
    title: str
    left_out: int
    tables: tuple[TableSeen, ...]
    encoders: tuple[EncoderSeen, ...]
    proposals: tuple[ProposalSeen, ...]
    parts: tuple[Choice, ...]
    supplies: tuple[Choice, ...]
    conductors: tuple[Choice, ...]
    grounds: tuple[Choice, ...]
    ground_colours: tuple[Choice, ...]
    supply_colours: tuple[Choice, ...]
    signal_colours: tuple[Choice, ...]
    values: Mapping[str, str]
    tabs: tuple[Choice, ...]
    pinned: tuple[Choice, ...]
    wired: tuple[Choice, ...]
    apart: tuple[Choice, ...]


def wiring_seen(sight: Sight, lit: int = 0) -> WiringSeen:
    """The wiring of the board in view, one wire of it lit up."""
    board = sight.checked.resolved
    job = sheet_job(sight.design, sight.checked, "top", printing_on(board, ""))
    harness, tables = harness_in(job), WIRING.tables(job) if WIRING.tables else ()
    plan = board.wiring
    assert plan is not None  # noqa: S101 - of a board of a design
    shown = harness if harness is not None and harness.face.encoders else None
    wires = table_seen(tables[0])
    rows = zip(shown.wires, wires.rows, strict=False) if shown else ()
    called = {p.id: p.label or p.part.name for p in board.placements}
    return WiringSeen(
        drawing=_drawing(shown, lit) if shown else "",
        said=tuple(WIRING.said(job)),
        summed=tables[0].notes[0],
        heads=wires.heads,
        wires=tuple(WireSeen(w.number, row[1:], wire_words(w, shown), w.number == lit) for w, row in rows)
        if shown
        else (),
        title=wires.title,
        left_out=wires.left_out,
        tables=tuple(table_seen(table) for table in tables[1:] if _worth(table)),
        encoders=_encoders(harness, sight.unit),
        proposals=_proposals(harness),
        parts=_parts(design_parts(sight.design, catalogue()).values()),
        supplies=_choices(((s.id, capital(s.name)) for s in catalogue().supplies.values()), plan.supply.id),
        conductors=_choices(((c.id, c.name) for c in catalogue().conductors.values()), plan.conductor.id),
        grounds=_choices((("ring", "Ring: out and back"), ("tree", "Tree: the least wire")), plan.grounds),
        ground_colours=_colours(plan.ground_colour),
        supply_colours=_colours(plan.supply_colour),
        signal_colours=(Choice("", "One after the other", not plan.signal_colour), *_colours(plan.signal_colour)),
        values=_values(plan, sight.unit),
        tabs=_tabs(harness, called),
        pinned=tuple(
            Choice(p.placement, f"{called.get(p.placement, 'a part that is gone')}, tab {p.tab}: pin {p.pin}")
            for p in plan.pins
        ),
        wired=tuple(Choice(p.id, f"{called[p.id]}, {p.part.name}") for p in (harness.face.parts if harness else ())),
        apart=tuple(Choice(ident, called[ident]) for ident in sorted(plan.apart) if ident in called),
    )


def _worth(table: Table) -> bool:
    """What would do has buttons of its own on the page."""
    return bool(table.rows) and table.name != "proposed"


def _drawing(harness: Harness, lit: int) -> str:
    board = harness.board
    x0, y0, x1, y1 = board.outline.bounds
    scale = max(x1 - x0, 2 * (y1 - y0)) / _USUAL_WIDE
    margin = _MARGIN * scale
    items = wiring_picture(harness, scale, frozenset({lit}))
    scene = Scene(
        x0 - margin, y0 - margin, x1 + margin, y1 + margin, items, title=f"{board.name}, underside with its wires"
    )
    return svg.embed(scene, ident=f"{NAME}-svg", role="drawing")


def _encoders(harness: Harness | None, unit: Unit) -> tuple[EncoderSeen, ...]:
    return tuple(
        EncoderSeen(p.id, p.label or p.id, p.part.name, as_typed(p.x, unit), as_typed(p.y, unit))
        for p in (harness.face.encoders if harness else ())
    )


def _proposals(harness: Harness | None) -> tuple[ProposalSeen, ...]:
    if harness is None or harness.face.encoders:
        return ()
    return tuple(
        ProposalSeen(
            proposal_words(p),
            f"{p.spare} input{'' if p.spare == 1 else 's'} to spare",
            ",".join(part.id for part, many in p.boards for _ in range(many)),
        )
        for p in proposed(harness)[:6]
    )


def _parts(parts: Iterable[Part]) -> tuple[Choice, ...]:
    return tuple(Choice(p.id, p.name) for p in parts if p.encoder is not None)


def _choices(rows: Iterable[tuple[str, str]], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(value, words, value == chosen) for value, words in rows)


def _colours(chosen: str) -> tuple[Choice, ...]:
    return _choices(((c.id, f"{capital(c.name)} ({c.code})") for c in catalogue().wire_colours.values()), chosen)


def _values(plan: WiringPlan, unit: Unit) -> Mapping[str, str]:
    usual = catalogue().rule("wire-step-inch" if unit is Unit.INCH else "wire-step")
    return {
        "slack": format_exact(plan.slack),
        "service": as_typed(plan.service, unit),
        "step": as_typed(plan.step or usual, unit),
    }


def _tabs(harness: Harness | None, called: Mapping[str, str]) -> tuple[Choice, ...]:
    found = []
    for part in harness.face.parts if harness else ():
        many = part.part.wiring.signal_tabs if part.part.wiring else 0
        for tab in range(1, many + 1):
            which = "" if many == 1 else f" {tab}"
            found.append(Choice(f"{part.id}:{tab}", f"{called[part.id]} signal{which}"))
    return tuple(found)


def most_pins(sight: Sight) -> int:
    """The highest number that a pin of an encoder board in view may have."""
    encoders = (p.part.encoder for p in sight.checked.resolved.drilled if p.part.encoder)
    return max((max(pins_of(e, "switch"), pins_of(e, "turning")) for e in encoders), default=1)
