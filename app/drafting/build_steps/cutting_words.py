"""Steps before drilling in words: outlines, slots, round edges, layers."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.drafting.build_steps.step_said import DUST_CAUTION, EDGES, StepSaid, boards_words, listed
from app.drafting.words import exact, thickness
from app.model.resolved import ResolvedBoard
from app.shop.build_steps.build_step import BuildStep
from app.shop.build_steps.design_steps import families_of, is_wood
from app.units import Unit

_ROUTER = (
    "Feed the router against the turn of its cutter, both hands on it, the board clamped. Unplug it before you change "
    f"the cutter. Ear protection. {DUST_CAUTION}"
)


def cut_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Cutting boards to outline."""
    boards = step.boards
    families = {family for board in boards for family in families_of(board)}
    said = [f"{board.name}: {_size(board, unit)}, {_layers(board, unit)}." for board in boards]
    if len(boards) > 1:
        said.append("Lay all of them out before the first cut, with room for the saw cut between them.")
    said.append("Keep the left and front edges straight and square: everything is measured from them.")
    if any(len(board.outline.pieces) != 4 for board in boards):
        said.append("Curves and slopes are marked out by offsets: print the outline to mark out.")
    needs = ["rule", "square", "pencil", "clamps"]
    if any(is_wood(board) for board in boards):
        needs.append("saw with a straight guide")
    if "acrylic" in families:
        said.append(
            "Acrylic: leave its film on, hold it flat on both sides of the cut, and feed slowly so it stays cool."
        )
        needs.append("fine-toothed blade for acrylic")
    if families & {"aluminium", "steel"}:
        said.append("Metal: file every edge smooth before you take hold of it.")
        needs += ["metal saw", "file"]
    caution = f"Clamp the board and the guide; both hands clear of the blade; eye and ear protection. {DUST_CAUTION}"
    title = f"Cut {boards[0].name} to outline" if len(boards) == 1 else f"Cut the {len(boards)} boards to outline"
    return StepSaid(title, tuple(said), tuple(needs), caution=caution)


def slot_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Slots for edge moulding."""
    said = [f"{board.name}: {_slots(board, unit)}." for board in step.boards]
    said.append("Try the cutter on scrap: the barb of your moulding should need a push, not a hammer.")
    said.append("Cut it before the holes are drilled, while the face beside it is still whole.")
    return StepSaid(
        f"Slot the edges of {boards_words(step.boards)} for the moulding", tuple(said),
        ("router", "slot cutter to suit the moulding", "scrap of the same board", "clamps"), caution=_ROUTER,
    )  # fmt: skip


def round_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Front edges with no moulding."""
    size = exact(catalogue().rule("round-over"), unit)
    said = (
        f"Round over the top arris of the front edge, about {size}: wrists lie on it.",
        "The back and side edges are only eased, later.",
    )
    needs = ("router with a round-over cutter, or plane and sanding block", "clamps")
    return StepSaid(f"Round over the front edge of {boards_words(step.boards)}", said, needs, caution=_ROUTER)


def layers_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Several layers drilled as one board."""
    board = step.board
    said = [
        f"From the top: {_layers(board, unit)}.",
        "Line up the left and front edges, and clamp or tape the layers together so that nothing shifts.",
        "Drill them as one board: the one below backs the one above.",
    ]
    if "acrylic" in families_of(board):
        said.append("Leave the film on the acrylic until everything is drilled.")
    needs = ("clamps", "double-sided tape")
    return StepSaid(f"Lay the layers of {board.name} on each other", tuple(said), needs)


def rails_words(step: BuildStep, unit: Unit) -> StepSaid:
    """Rails glued inside the cabinet."""
    said = [f"{board.name}: {_rails(board, unit)}." for board in step.boards]
    said.append("The board lies on the rails, so their tops are one thickness of it below where its top face shall be.")
    said.append("Glue and clamp them inside the cabinet, and wipe off what squeezes out.")
    return StepSaid(
        f"Glue in the rails for {boards_words(step.boards)}",
        tuple(said),
        ("rails", "wood glue", "clamps", "damp cloth"),
        dries="clamped, for as long as the label of the glue says",
        caution="Clamps pinch: keep fingers out of the joint.",
    )  # fmt: skip


def _size(board: ResolvedBoard, unit: Unit) -> str:
    return f"{exact(board.width, unit)} wide, {exact(board.depth_front_to_back, unit)} front to back"


def _layers(board: ResolvedBoard, unit: Unit) -> str:
    return " on ".join(f"{layer.material.name} {thickness(layer.thickness, unit)}" for layer in board.layers)


def _slots(board: ResolvedBoard, unit: Unit) -> str:
    return listed([f"{EDGES[e.edge]}, {exact(e.slot_depth, unit)} deep" for e in board.edges if e.slot_depth > 0])


def _rails(board: ResolvedBoard, unit: Unit) -> str:
    return listed([f"{EDGES[e.edge]}, {exact(e.rail, unit)} wide" for e in board.edges if e.rail > 0])
