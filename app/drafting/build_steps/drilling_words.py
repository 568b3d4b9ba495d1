"""Steps of drilling in words: from the template to the last screw pilot."""

from __future__ import annotations

from app.drafting.build_steps.step_said import DRILL_CAUTION, DUST_CAUTION, StepSaid, letter_of, letters_of, many
from app.drafting.words import exact, hole_size, recess_size
from app.model.tooling import Bit, kind_words
from app.shop.build_steps.build_step import BuildStep
from app.shop.drilling_run import DrillingStep
from app.units import Unit, format_named

_TORQUE = "A wide bit jerks when it catches: clamp the board, drill slowly, back off often."
_MIRRORED = "Turn the board over. Its underside is the mirror image: the left edge is now at your right."
_FACE_UP = "Turn the board back, top face up."
_MOST_RECESSES = 12


def template_words(step: BuildStep, _: Unit) -> StepSaid:
    """Sticking the template on; on a machine, setting up."""
    board = step.board
    if board.tooling.drilling.id == "cnc":
        said = (
            "Fix the board on a spoil board, the left and front edges along the axes of the machine.",
            "Set its zero at the front-left datum corner, and run the drawing’s reference square in the air first.",
            "The machine makes the holes in the order of the steps below.",
        )
        caution = f"Never reach in while the spindle turns. {DRILL_CAUTION}"
        clamped = ("drawing for other programs", "clamps or screws clear of every hole", "spoil board")
        return StepSaid(f"Set {board.name} up on the machine", said, clamped, caution=caution)
    said = (
        "Print the template at actual size. Measure both check bars on every sheet; print again if they are not true.",
        "Rule the lines that the template names on the board, from the left and front edges.",
        "Lay each sheet on those lines and stick it down flat.",
    )
    needs = ("template of this board", "steel rule", "scissors", "low-tack tape or glue stick")
    return StepSaid(f"Stick the template on {board.name} and check the bars", said, needs)


def pilot_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Punching and piloting every centre."""
    board = step.board
    said = ["Punch every centre through the paper, then take the paper off."]
    said += [f"{_bit(run, unit)}: {many(run.count, 'hole')} right through, on scrap." for run in step.runs]
    said.append("Hold the drill square: these holes carry the places to the other face.")
    needs = ("centre punch", "hammer", "square", "scrap to drill into", "clamps", *_bits(step, unit))
    return StepSaid(f"Punch and pilot the centres of {board.name}", tuple(said), needs, caution=DRILL_CAUTION)


def counterbore_words(step: BuildStep, unit: Unit) -> StepSaid:
    """What is sunk from the underside."""
    works = {run.work for run in step.runs}
    what = "Counterbore and recess" if len(works) > 1 else "Recess" if "recess" in works else "Counterbore"
    said = [_MIRRORED]
    for run in step.runs:
        deep = "" if run.depth is None else f", {exact(run.depth, unit)} deep from the rim of the bit"
        wide = "Rout" if run.work == "recess" else f"{_bit(run, unit)}:"
        said.append(f"{wide} {_sunk(run)}{deep}: {letters_of(run.letters)}.")
    said += _recesses(step, unit)
    said.append("Set the depth stop on scrap of the same thickness first: one turn too deep comes through.")
    needs = ["depth stop", "scrap of the same board", "clamps", *_bits(step, unit)]
    if "recess" in works:
        needs += ["router", "template or fence for the recess"]
    title = f"{what} {step.board.name} from below"
    return StepSaid(title, tuple(said), tuple(needs), caution=f"{_TORQUE} {DRILL_CAUTION}")


def _recesses(step: BuildStep, unit: Unit) -> list[str]:
    """How wide each recess is, which no run of a bit says."""
    found: dict[str, list[str]] = {}
    for placed in step.placements:
        if placed.recess is not None:
            found.setdefault(recess_size(placed.recess, unit), []).append(letter_of(placed))
    sizes = list(found.items())[:_MOST_RECESSES]
    more = "The others are on the template." if len(found) > _MOST_RECESSES else ""
    return [*(f"Recess at {letters_of(letters)}: {size}." for size, letters in sizes), *filter(None, (more,))]


def _sunk(run: DrillingStep) -> str:
    if run.work == "recess":
        return f"{run.count:,} recess{'' if run.count == 1 else 'es'}"
    return many(run.count, "counterbore")


def through_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Holes right through."""
    said = [_FACE_UP] if step.turned else []
    said.append("Clamp the board, top face up, on a backing board that you do not mind drilling into.")
    said += [
        f"{_bit(run, unit)}: {many(run.count, 'hole')} right through: {letters_of(run.letters)}." for run in step.runs
    ]
    said.append("Drill one in scrap first and try the part in it.")
    needs = ("backing board", "clamps", *_bits(step, unit))
    return StepSaid(
        f"Drill the through holes of {step.board.name}", tuple(said), needs, caution=f"{_TORQUE} {DRILL_CAUTION}"
    )


def openings_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Openings that no bit makes."""
    board = step.board
    sizes: dict[str, list[str]] = {}
    for placed in step.placements:
        for hole in placed.holes:
            if not hole.is_circle:
                sizes.setdefault(hole_size(hole, unit), []).append(letter_of(placed))
    said = [f"{many(len(letters), 'opening')} of {size}: {letters_of(letters)}." for size, letters in sizes.items()]
    if board.openings:
        said.append(f"{many(len(board.openings), 'inner opening')} of the outline.")
    said.append("Drill a hole inside each corner for the blade, saw inside the line, and file or rout to it.")
    needs = ("jigsaw or router", "file", "clamps")
    caution = f"The blade comes out below: keep hands and bench clear of it. Eye and ear protection. {DUST_CAUTION}"
    return StepSaid(f"Saw out the openings of {board.name}", tuple(said), needs, caution=caution)


def screws_under_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Pilots of screws from the underside."""
    lies = _MIRRORED if step.turned else "The board still lies underside up: the mirror image."
    return _screws(step, unit, lies, "from below")


def screws_top_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Pilots of screws from the top face."""
    lies = _FACE_UP if step.turned else "The board lies top face up."
    return _screws(step, unit, lies, "from the top")


def _screws(step: BuildStep, unit: Unit, lies: str, side: str) -> StepSaid:
    said = [lies]
    for run in step.runs:
        deep = "" if run.depth is None else f", {exact(run.depth, unit)} deep from the tip of the bit"
        said.append(f"{_bit(run, unit)}: {many(run.count, 'pilot')}{deep}: {letters_of(run.letters)}.")
    said.append("Mark them through the part itself where you have it: its own holes are truer than any list.")
    needs = ("the parts, to mark from", "depth stop or tape on the bit", *_bits(step, unit))
    return StepSaid(f"Drill the screw pilots of {step.board.name} {side}", tuple(said), needs, caution=DRILL_CAUTION)


def bit_words(bit: Bit) -> str:
    """A bit as it is sold: ``28 mm Forstner bit``, ``1 1/8" Forstner bit``."""
    size = format_named(bit.diameter, Unit.INCH if bit.inch else Unit.MM)
    kind = kind_words(bit.kind)
    return f"{size} {kind}" if kind.endswith("saw") else f"{size} {kind} bit"


def _bit(run: DrillingStep, unit: Unit) -> str:
    return (
        bit_words(run.bit)
        if run.bit is not None
        else f"A bit {format_named(run.width, unit)} wide, which you need to get"
    )


def _bits(step: BuildStep, unit: Unit) -> tuple[str, ...]:
    """The bits that a step needs, each once."""
    found = (
        bit_words(run.bit) if run.bit is not None else f"bit {format_named(run.width, unit)} wide (not in your list)"
        for run in step.runs
        if run.bit is not None or run.work != "recess"
    )
    return tuple(dict.fromkeys(found))
