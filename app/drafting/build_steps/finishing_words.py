"""Steps of finishing in words: arrises, filler, caulk, sandpaper, sealer, paint, moulding, legends."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.drafting.build_steps.step_said import (
    BY_THE_TIN,
    DUST_CAUTION,
    FUME_CAUTION,
    StepSaid,
    boards_words,
    grit,
)
from app.drafting.words import exact
from app.shop.build_steps.build_step import BuildStep
from app.shop.build_steps.design_steps import families_of
from app.shop.parts_list import moulding_length
from app.units import INCH, Unit, format_exact


def ease_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Arrises of holes and edges."""
    families, size = _families(step), exact(catalogue().rule("eased-arris"), unit)
    said, needs = [], list[str]()
    if families & {"mdf", "plywood"}:
        said.append(f"Wood: take about {size} off the arris of every hole and edge, on both faces.")
        needs.append(f"{grit('last-grit')} grit paper on a block")
    if "acrylic" in families:
        said.append("Acrylic: scrape the arris with the back of a blade; no solvent, it crazes.")
        needs.append("scraper")
    if families & {"aluminium", "steel"}:
        said.append("Metal: take every burr off with a file and a countersink turned by hand.")
        needs += ["fine file", "countersink"]
    said.append("Draw a cloth over all of it: where it catches, a finger or a sleeve does too.")
    caution = f"Others will use it: nothing may cut, splinter or pinch. {DUST_CAUTION}"
    return StepSaid(f"Ease the arrises of {boards_words(step.boards)}", tuple(said), tuple(needs), caution=caution)


def fill_words(step: BuildStep, _: Unit) -> StepSaid:
    """Screw and nail holes, open joints."""
    said = (
        "Sink every screw and nail head that shows just below the face.",
        "Fill the holes and any open joint a little proud; let it dry, then sand it flush.",
        "Keep filler out of the drilled holes, the screw pilots and any slot.",
    )
    return StepSaid(
        f"Fill screw holes, nail holes and open joints round {boards_words(step.boards)}",
        said,
        ("wood filler", "filling knife"),
        dries=BY_THE_TIN, caution="Two-part filler: open the windows and wear gloves.",
    )  # fmt: skip


def caulk_words(step: BuildStep, _: Unit) -> StepSaid:
    """Seams that paint goes over."""
    said = (
        "Run a thin bead of caulk that takes paint along every inside seam, and smooth it at once with a wet finger.",
        "It cannot be sanded: wipe off what is too much while it is wet.",
    )
    return StepSaid(
        f"Caulk the seams round {boards_words(step.boards)}",
        said,
        ("caulk that takes paint", "damp cloth"),
        dries=BY_THE_TIN,
    )


def sand_words(step: BuildStep, _: Unit) -> StepSaid:
    """Bare wood made smooth."""
    first, last = grit("first-grit"), grit("last-grit")
    said = [f"Sand with {first} grit until it is flat, then with {last}; brush and wipe the dust off."]
    if "plywood" in _families(step):
        said.append("Plywood: along the grain, and lightly; its face is thin.")
    if any(len(board.layers) > 1 for board in step.boards):
        said.append("Only the wood: take an acrylic or metal cover off first.")
    said.append("Do not round the rims of the holes: flanges bear on them.")
    needs = (f"{first} and {last} grit paper", "sanding block", "brush", "cloth")
    return StepSaid(f"Sand {boards_words(step.boards)}", tuple(said), needs, caution=DUST_CAUTION)


def seal_words(step: BuildStep, _: Unit) -> StepSaid:
    """Cut edges, hole walls and counterbores."""
    families, painted = _families(step), any(board.paint > 0 for board in step.boards)
    said = list[str]()
    if "mdf" in families:
        what = "primer" if painted else "sealer"
        said.append(
            f"MDF: brush {what} on cut edges, hole walls and counterbores; they drink. Let it dry, sand with "
            f"{grit('coat-grit')} grit, and again until the edge is as smooth as the face."
        )
    if "plywood" in families:
        then = "prime them" if painted else "varnish or oil them"
        said.append(f"Plywood: fill gaps in the edges, sand with {grit('last-grit')} grit, then {then}.")
    said.append("Then try a part in its hole. Where a film makes it tight, turn the same bit in it by hand.")
    verb = "Prime" if painted else "Seal"
    of = " and ".join(name for family, name in (("mdf", "MDF"), ("plywood", "plywood")) if family in families)
    needs = ("primer" if painted else "sealer", "small brush", f"{grit('coat-grit')} grit paper")
    return StepSaid(
        f"{verb} the cut edges of the {of}", tuple(said), needs, dries=f"after each coat, {BY_THE_TIN}",
        caution=f"{FUME_CAUTION} {DUST_CAUTION}",
    )  # fmt: skip


def paint_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Paint, of the thickness that the holes allow for."""
    films = sorted({board.paint for board in step.boards})
    allowed = " and ".join(exact(film, unit) for film in films)
    said = [
        f"Thin coats, sanded with {grit('coat-grit')} grit and wiped between them.",
        f"The holes allow for {allowed} of paint on every surface; more makes parts tight.",
        "It has to be hard, not only dry to the touch, before anything is mounted on it.",
    ]
    if "acrylic" in _families(step):
        said.append("Acrylic: only paint made for it, tried on scrap first; solvents craze it.")
    needs = ("paint", "roller or brush", "masking tape", f"{grit('coat-grit')} grit paper")
    return StepSaid(
        f"Paint {boards_words(step.boards)}", tuple(said), needs, dries=f"between coats and before use, {BY_THE_TIN}",
        caution=FUME_CAUTION,
    )  # fmt: skip


def moulding_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Edge moulding pressed into its slot."""
    said = [f"{board.name}: {_long(moulding_length(board), unit)}." for board in step.boards]
    said.append(
        "Begin where the joint shows least. Press it in, tap it home with a soft hammer, notch its barb at corners."
    )
    said.append("Cut it a little long, and trim the end when all of it is in.")
    return StepSaid(
        f"Press the moulding into the edges of {boards_words(step.boards)}", tuple(said),
        ("edge moulding", "soft hammer", "sharp knife"), caution="The knife slips: cut away from yourself.",
    )  # fmt: skip


def legends_words(step: BuildStep, _: Unit) -> StepSaid:
    """Lettering beside the holes."""
    said = (
        "Clean the face, lay each legend beside its hole and rub it down from the middle outwards.",
        "Those under a flange go on before the part.",
    )
    return StepSaid(f"Put the legends on {boards_words(step.boards)}", said, ("legends", "tape", "soft cloth"))


def _families(step: BuildStep) -> set[str]:
    return {family for board in step.boards for family in families_of(board)}


def _long(mm: float, unit: Unit) -> str:
    if unit is Unit.INCH:
        return f"{format_exact(round(mm / (12 * INCH), 1))} ft"
    return f"{format_exact(round(mm / 1000, 2))} m"
