"""Wiring as tables: every wire, what to cut and crimp, what encoder boards read and feed; and what is said of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

from app.catalogue.load import catalogue
from app.drafting.words import unit_of
from app.fit.judging.pins import pins_of, tabs_of
from app.model.resolved import ResolvedBoard
from app.scene.table import Column, Table, Value
from app.shop.wiring.bundles import bundles, stretches
from app.shop.wiring.cutting import Crimp, crimps, cut_list
from app.shop.wiring.harness import MOST_ROUTED, Harness, harness_of
from app.shop.wiring.lights import Light, lights_of
from app.shop.wiring.proposals import WiringProposal, proposals
from app.units import INCH, Unit, format_exact

CAUTIONS: Final = (
    "Low voltage only. Unplug everything before you wire, and look over every joint before you plug it in again.",
    (
        "Mains stays inside bought, enclosed, approved supplies; leave anything else to a licensed electrician under "
        "your local code."
    ),
)

_HOW: Final = (
    "Ways run along the underside, round bodies, counterbores, rails and areas to keep clear, and down to the "
    "terminals. Cut lengths have slack and crimps in them, and service length where a wire ends at an encoder board."
)
_GROUNDS: Final = {
    "ring": (
        "Grounds are a ring: out from the encoder board, from part to part, and back. One lost joint loses no other "
        "part."
    ),
    "tree": "Grounds are a tree with the least wire: one lost joint loses all that hangs on it.",
}
_ENDS: Final = {
    "screw": "screw terminal of an encoder board",
    "pin": "contact for a row of pins",
    "tab": "tab of an encoder board",
}


def wiring_tables(harness: Harness | None, board: ResolvedBoard) -> tuple[Table, ...]:
    """The list of wires first, then all that belongs to it; without an encoder board what would do."""
    if harness is None or not harness.face.encoders:
        return (_wires(harness, board), _needs(harness, board), _proposed(harness, board))
    return (
        _wires(harness, board),
        _cuts(harness),
        _crimps(harness),
        _boards(harness),
        _lights(harness),
        _bundles(harness),
    )


def wiring_said(harness: Harness | None) -> tuple[str, ...]:
    """Sentences before the tables: cautions first."""
    if harness is None or not harness.face.encoders:
        return CAUTIONS
    plan, said = harness.plan, [*CAUTIONS, _HOW, _GROUNDS[harness.plan.grounds]]
    said += [sentence for _, sentence in plan.problems]
    if not harness.routed and harness.face.parts:
        many = len(harness.board.drilled)
        said.append(
            f"Ways are looked for among up to {MOST_ROUTED} parts; here are {many:,}. The connections are all here, "
            "without lengths: split the board into two arrangements, one for each half, to have them."
        )
    lost = len(harness.lost)
    if lost:
        said.append(f"{_many(lost, 'wire')} {'has' if lost == 1 else 'have'} no way: see the fit report.")
    if harness.pinned.left:
        said.append(f"{_many(len(harness.pinned.left), 'tab')} without a pin: see the fit report.")
    if harness.face.sound:
        said.append("Loudspeakers are wired to their amplifier, by its own instructions.")
    return tuple(said)


def wiring_card(tables: Sequence[Table]) -> tuple[str, str]:
    """What the wiring holds, in a line, and what has to be done first."""
    first = tables[0]
    if tables[1].name == "needed":
        return first.notes[0], "choose an encoder board" if tables[2].rows else ""
    long = sum(float(row[3] or 0.0) for row in tables[1].rows) / 1000
    metres = f"{long:,.1f} m" if first.unit is Unit.MM else f"{long * 1000 / (12 * INCH):,.0f} ft"
    return f"{_many(len(first.rows), 'wire')}, {metres} in all", "count the pins of your encoder boards"


def _wires(harness: Harness | None, board: ResolvedBoard) -> Table:
    columns = (
        Column("done", "Done", "tick"),
        Column("wire", "Wire", "count"),
        Column("part", "From"),
        Column("terminal", "Terminal"),
        Column("to", "To"),
        Column("pin", "Pin or terminal"),
        Column("colour", "Colour"),
        Column("way", "Way", "length"),
        Column("cut", "Cut to", "length"),
    )
    rows: list[tuple[Value, ...]] = []
    notes = [_needed_words(harness)]
    if harness is not None and harness.face.encoders:
        called = {p.id: p.label or p.part.name for p in board.placements}
        for w in harness.wires:
            one, other = w.one, w.other
            way = None if w.way is None else round(w.way, 1)
            rows.append(
                (None, w.number, called[one.placement], one.name, called[other.placement], other.name,
                 _colour(w.colour), way, w.cut)
            )  # fmt: skip
        notes = [f"All of them are {harness.plan.conductor.name}."]
    return Table("wires", "Every wire", columns, tuple(rows), unit_of(board), tuple(notes))


def _needed_words(harness: Harness | None) -> str:
    if harness is None or not harness.face.parts:
        return "Nothing on this board is wired to an encoder board."
    switches, axes = tabs_of(harness.face.parts, "switch"), -(-tabs_of(harness.face.parts, "turning") // 2)
    said = [_many(switches, "switch")] if switches else []
    said += [f"{axes} turning ax{'is' if axes == 1 else 'es'}"] if axes else []
    return f"{' and '.join(said)} to be read; no encoder board is chosen yet."


def _cuts(harness: Harness) -> Table:
    unit = unit_of(harness.board)
    columns = (
        Column("colour", "Colour"),
        Column("length", "Cut to", "length"),
        Column("count", "Wires", "count"),
        Column("total", "Together", "length"),
    )
    cuts = cut_list(harness.wires)
    rows = tuple((_colour(c.colour), c.length, c.count, c.total) for c in cuts)
    totals: Counter[str] = Counter()
    for cut in cuts:
        totals[_colour(cut.colour)] += cut.total  # type: ignore[assignment]
    each = ", ".join(f"{colour} {_long(total, unit)}" for colour, total in totals.items())
    return Table("cuts", "What to cut", columns, rows, unit, (f"In all: {each}.",) if each else ())


def _crimps(harness: Harness) -> Table:
    found, branches = crimps(harness.wires)
    columns = (Column("what", "For"), Column("wires", "Wires in each", "count"), Column("count", "Needed", "count"))
    rows: list[tuple[Value, ...]] = [(_crimp_words(c), c.wires, c.count) for c in found]
    if branches:
        rows.append(
            ("branch of three wires or more: a bought connector, and one wire on to the terminal", None, branches)
        )
    ties = sum(b.ties for b in bundles(stretches(harness), catalogue().rule("wire-tie")))
    if ties:
        rows.append(("cable tie", None, ties))
    notes = ("Tabs are as in the catalogue (IEC 61210: 2.8, 4.8, 6.3 mm wide): measure yours.",)
    return Table("ends", "Crimps, connectors and ties", columns, tuple(rows), unit_of(harness.board), notes)


def _crimp_words(crimp: Crimp) -> str:
    return _ENDS[crimp.connection] if crimp.connection else f"receptacle for a tab {crimp.tab_width:g} mm wide"


def _boards(harness: Harness) -> Table:
    columns = (
        Column("board", "Encoder board"),
        Column("name", "What it is"),
        Column("used", "Inputs used", "count"),
        Column("inputs", "Inputs it has", "count"),
        Column("axes", "Axis pins used", "count"),
        Column("pins", "Axis pins it has", "count"),
        Column("drawn", "Draws", "milliamps"),
        Column("given", "May draw", "milliamps"),
    )
    rows: list[tuple[Value, ...]] = []
    for feed in harness.fed:
        encoder = feed.encoder.part.encoder
        if encoder is None:
            continue
        used = Counter(p.sort for p in harness.pinned.pins if p.encoder == feed.encoder.id)
        rows.append(
            (feed.encoder.label or feed.encoder.id, feed.encoder.part.name, used["switch"], pins_of(encoder, "switch"),
             used["turning"], pins_of(encoder, "turning"), feed.drawn, harness.plan.supply.current)
        )  # fmt: skip
    notes = (f"Each is fed by a {harness.plan.supply.name}: {harness.plan.supply.source.text}",)
    return Table("boards", "Encoder boards", columns, tuple(rows), unit_of(harness.board), notes)


def _lights(harness: Harness) -> Table:
    columns = (
        Column("part", "Part"),
        Column("current", "Draws", "milliamps"),
        Column("resistor", "Resistor in series"),
        Column("lost", "Lost on the way"),
        Column("left", "Left at worst"),
    )
    lights, supply = lights_of(harness), harness.plan.supply
    rows = tuple(_light(light) for light in lights)
    dim = catalogue().rule("light-drop")
    weak = [
        light.placed.label or light.placed.part.name for light in lights if light.drop is not None and light.drop > dim
    ]
    dead = [light for light in lights if light.volts is not None and light.volts < supply.least]
    notes = [
        f"Of {supply.volts:g} V at the supply at worst; there and back, {harness.plan.conductor.resistance:g} Ω/km."
    ]
    if dead:
        notes.append(f"Less than {supply.least:g} V is left at some: use thicker wire, or more encoder boards.")
    elif weak:
        notes.append(f"More than {dim:g} V is lost on the way to {', '.join(weak[:6])}: use thicker wire.")
    return Table(
        "lights", "Lights and turning controls", columns, rows, unit_of(harness.board), tuple(notes) if lights else ()
    )


def _light(light: Light) -> tuple[Value, ...]:
    wiring = light.placed.part.wiring
    built_in = "built in" if wiring is not None and wiring.light_current > 0 else ""
    resistor = built_in if light.resistor is None else f"{format_exact(light.resistor)} Ω"
    lost = "" if light.drop is None else f"{light.drop:.3f} V"
    left = "" if light.volts is None else f"{light.volts:.2f} V"
    return (light.placed.label or light.placed.part.name, light.current, resistor, lost, left)


def _bundles(harness: Harness) -> Table:
    columns = (
        Column("count", "Wires", "count"),
        Column("wires", "Which"),
        Column("length", "Together for", "length"),
        Column("ties", "Ties", "count"),
    )
    found = bundles(stretches(harness), catalogue().rule("wire-tie"))
    rows = tuple((len(b.wires), ", ".join(map(str, b.wires)), round(b.length, 1), b.ties) for b in found)
    return Table("bundles", "Bundles", columns, rows, unit_of(harness.board))


def _needs(harness: Harness | None, board: ResolvedBoard) -> Table:
    columns = (Column("part", "Part"), Column("name", "What it is"), Column("signals", "Signals", "count"))
    parts = harness.face.parts if harness is not None else ()
    rows = tuple((p.label or p.part.name, p.part.name, p.part.wiring.signal_tabs) for p in parts if p.part.wiring)
    return Table("needed", "What has to be read", columns, rows, unit_of(board))


def _proposed(harness: Harness | None, board: ResolvedBoard) -> Table:
    columns = (
        Column("boards", "Encoder boards"),
        Column("count", "How many", "count"),
        Column("spare", "Inputs to spare", "count"),
    )
    rows = tuple((proposal_words(p), p.count, p.spare) for p in proposed(harness))
    notes = ("Typical boards: measure yours, and count its pins.",) if rows else ()
    return Table("proposed", "What would do", columns, rows, unit_of(board), notes)


def proposed(harness: Harness | None) -> tuple[WiringProposal, ...]:
    """Which boards of the catalogue would do."""
    return proposals(harness.face, catalogue().parts) if harness is not None else ()


def proposal_words(proposal: WiringProposal) -> str:
    """As ``2 × Encoder board, 20 inputs, 70 × 40 mm, rows of pins``."""
    return " and ".join(f"{many} × {part.name}" if many > 1 else part.name for part, many in proposal.boards)


def harness_for(board: ResolvedBoard) -> Harness | None:
    """The wiring of a board, by the catalogue that comes with the program."""
    return harness_of(board, catalogue())


def _colour(ident: str) -> str:
    row = catalogue().wire_colours[ident]
    return f"{row.name} ({row.code})"


def _long(mm: float, unit: Unit) -> str:
    return (
        f"{format_exact(round(mm / (12 * INCH), 1))} ft"
        if unit is Unit.INCH
        else f"{format_exact(round(mm / 1000, 2))} m"
    )


def _many(number: int, word: str) -> str:
    plural = f"{word}es" if word.endswith("ch") else f"{word}s"
    return f"{number:,} {word if number == 1 else plural}"
