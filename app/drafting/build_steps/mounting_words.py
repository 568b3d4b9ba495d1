"""Steps of mounting, wiring and closing in words."""

from __future__ import annotations

from collections import Counter

from app.catalogue.load import catalogue
from app.drafting.build_steps.step_said import StepSaid, boards_words, letter_of, letters_of, listed, many
from app.drafting.words import exact
from app.model.part import NutFixing, ScrewFixing, SnapFixing
from app.model.resolved import Placed, ResolvedBoard
from app.shop.build_steps.build_step import BuildStep
from app.shop.build_steps.design_steps import is_input, is_wired, parts_of
from app.shop.screw_pilots import screw_pilots
from app.units import Unit, format_named

_LOW_VOLTAGE = (
    "Unplug everything first. Low voltage only: keep mains wiring inside bought, enclosed, approved supplies, and "
    "leave anything else to a licensed electrician under local code."
)
_QUARTER = 0.25


def mount_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Putting an item of hardware on a board, and in which order it is tightened."""
    found, part = step.placements, step.placements[0].part
    letters = letters_of(letter_of(placed) for placed in found)
    title = f"Mount on {step.board.name}: {part.name}"
    count = "One" if len(found) == 1 else f"{len(found):,} of them"
    said = [f"{count}, at {letters}." if any(placed.label for placed in found) else f"{count}."]
    needs, caution = list[str](), ""
    match part.fixing:
        case NutFixing():
            more, needs = _nut(found, part.fixing, unit)
            said += more
        case ScrewFixing():
            more, needs = _screws(step, part.fixing, unit)
            said += more
            caution = "A driver slips off a screw: keep your other hand out of its way."
        case SnapFixing():
            said.append("Press each in square from the top until every clip clicks, then pull: it must not come out.")
        case _:
            said += ["Clean both faces, glue it where it is marked, and weigh it down.", "Keep glue off what moves."]
            return StepSaid(
                title, tuple(said), ("glue for both materials", "weight"),
                dries="for as long as the label of the glue says", caution="Open the windows; gloves.",
            )  # fmt: skip
    return StepSaid(title, tuple(said), tuple(needs), caution=caution)


def _nut(found: tuple[Placed, ...], fixing: NutFixing, unit: Unit) -> tuple[list[str], list[str]]:
    turn = catalogue().rule("nut-turn")
    part = "a quarter turn" if turn == _QUARTER else f"{turn:g} of a turn"
    said = ["Push each in from the top and line it up with its row."]
    washer = "washer, then nut" if fixing.washer > 0 else "nut"
    said.append(f"From below: {washer}, run down by hand; then {part} with the spanner and no more. Plastic strips.")
    bores = [placed.counterbore for placed in found if placed.counterbore is not None]
    needs = [f"{many(len(found), 'nut')}, {exact(fixing.nut_width, unit)} across corners", "spanner"]
    if fixing.washer > 0:
        needs.insert(1, f"{many(len(found), 'washer')}, {exact(fixing.washer, unit)} thick")
    if bores:
        depths = sorted({bore.depth for bore in bores})
        deep = listed([exact(depth, unit) for depth in depths])
        said.append(f"The nut sits in a counterbore {deep} deep, where only a box spanner turns it.")
        needs[-1] = "box spanner"
    return said, needs


def _screws(step: BuildStep, fixing: ScrewFixing, unit: Unit) -> tuple[list[str], list[str]]:
    found = step.placements
    count, each = sum(len(placed.screws) for placed in found), "it" if len(found) == 1 else "each"
    side = "from below" if fixing.side == "under" else "from the top"
    if any(placed.recess is not None for placed in found):
        lies = f"Lay {each} into its recess from below"
    elif found[0].part.mount == "under":
        lies = f"Hold {each} against the underside"
    else:
        lies = f"Lay {each} on the top face"
    bolted = all(screw_pilots(step.board, placed) is None for placed in found)
    start = "put all its screws through the board" if bolted else "start all its screws by hand"
    said = [f"{lies}, and {start} {side}."]
    if len(fixing.holes) > 2:
        said.append("Tighten them crosswise, a little at a time, so that it lies flat.")
    else:
        said.append("Tighten them in turn, a little at a time.")
    if not bolted:
        said.append("Stop when the head bears: in MDF and plywood one turn more strips the hole.")
    long = f", {exact(fixing.screw_length, unit)} long" if fixing.screw_length is not None else ", length to be chosen"
    needs = [f"{many(count, 'screw')}, {format_named(fixing.screw_diameter, unit)}{long}", "screwdriver"]
    return said, [*needs, "nuts or what the screws go into"] if bolted else needs


def wire_words(step: BuildStep, _: Unit) -> StepSaid:
    """Wires to everything that has terminals."""
    wired = parts_of(step, is_wired)
    said = [
        f"{many(len(wired), 'part')} with terminals, on {boards_words(step.boards)}.",
        "Run a wire from each signal tab to an input of its own, and join the ground tabs from part to part.",
        "Leave enough slack to lay the board on its face, and tie bundles clear of everything that moves.",
        "Push each crimp on straight, and pull at it: it must stay.",
    ]
    tabs = Counter(p.part.wiring.tab_width for p in wired if p.part.wiring and p.part.wiring.tab_width > 0)
    needs = [f"crimps for {width:g} mm tabs" for width in sorted(tabs)]
    needs += ["wire in two colours or more", "crimping pliers", "wire stripper", "ties"]
    return StepSaid(f"Wire {boards_words(step.boards)}", tuple(said), tuple(needs), caution=_LOW_VOLTAGE)


def trying_words(step: BuildStep, _: Unit) -> StepSaid:
    """Every input tried before the cabinet is closed."""
    inputs = parts_of(step, is_input)
    count = sum(placed.part.wiring.signal_tabs for placed in inputs if placed.part.wiring)
    where = "; ".join(_inputs_on(board, alone=len(step.boards) == 1) for board in step.boards)
    said = (
        f"{many(count, 'input')}. Press or move each in turn; it has to answer, and only that one: {where}.",
        "If one is silent, look at its two tabs, then at its pin; if several are, at the ground wire between them.",
    )
    needs = ("computer with an input test", "this list, to tick")
    return StepSaid("Test each input", said, needs, caution="Unplug it before you touch a terminal.")


def _inputs_on(board: ResolvedBoard, *, alone: bool) -> str:
    letters = letters_of(letter_of(placed) for placed in board.drilled if is_input(placed))
    return letters if alone else f"{board.name} {letters}"


def close_words(step: BuildStep, _: Unit) -> StepSaid:
    """Boards put on the cabinet."""
    said = (
        f"Put {boards_words(step.boards)} in place. No wire may lie under an edge, over a rail or on a sharp corner.",
        "Start all screws before you tighten any. Move every lever, door and button once more.",
        "Turn it on and test each input again.",
    )
    caution = "Others will use it: nothing may cut, pinch or get hot, and air has to reach what is warm."
    return StepSaid("Close the cabinet", said, ("screwdriver",), caution=caution)
