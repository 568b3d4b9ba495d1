"""Fixes that findings offer, made to a document."""

from __future__ import annotations

from app.arrange.change import Edit, shown
from app.arrange.design.settings import add_bit
from app.arrange.design.wiring import rewire
from app.arrange.maker.make_anew import make_anew
from app.arrange.placement.edit import move_by, set_counterbore, set_part, set_recess
from app.arrange.placement.legends import letter_again
from app.catalogue.load import Catalogue
from app.document.schema import Design
from app.document.where import Where
from app.model.fix import BuyBit, CounterboreAt, Fix, LegendTo, MoveBy, RecessAt, Remake, Rewire, SeveralFixes


def apply_fix(design: Design, board: str | None, arrangement: str | None, fix: Fix, catalogue: Catalogue) -> Edit:
    """The design with a fix made, as one edit.

    Raises:
        EditError: a placement is locked, or a value of the fix is not allowed.
        NotFoundError: a placement or part of the fix is no longer there.
    """
    if isinstance(fix, SeveralFixes):
        said: list[str] = []
        for step in fix.fixes:
            done = apply_fix(design, board, arrangement, step, catalogue)
            design, said = done.design, [*said, done.summary]
        return Edit(design, said[0] if len(said) == 1 else f"{said[0]}, and {len(said) - 1} more")
    if isinstance(fix, MoveBy):
        return move_by(design, board, arrangement, fix.placement, fix.dx, fix.dy)
    if isinstance(fix, Remake):
        return make_anew(design, Where(board, arrangement), fix.maker, dict(fix.measures), catalogue)
    if isinstance(fix, BuyBit):
        return add_bit(design, fix.kind, fix.diameter, catalogue, fix.reach)
    if isinstance(fix, LegendTo):
        return letter_again(design, board, arrangement, fix.placements, fix.place, fix.height)
    if isinstance(fix, Rewire):
        return rewire(design, board, arrangement, fix, catalogue)
    edits: list[Edit] = []
    for placement in fix.placements:
        if isinstance(fix, CounterboreAt):
            edits.append(set_counterbore(design, board, arrangement, placement, fix.diameter, fix.depth))
        elif isinstance(fix, RecessAt):
            pocket = (fix.width, fix.height, fix.corner, fix.depth)
            edits.append(set_recess(design, board, arrangement, placement, pocket))
        else:
            edits.append(set_part(design, board, arrangement, placement, fix.part, catalogue))
        design = edits[-1].design
    if len(edits) == 1:
        return edits[0]
    if isinstance(fix, CounterboreAt):
        size = f"{shown(fix.diameter, design.units)} wide, {shown(fix.depth, design.units)} deep"
        return Edit(design, f"Counterbored {len(edits)} places {size}")
    if isinstance(fix, RecessAt):
        return Edit(design, f"Recessed {len(edits)} places {shown(fix.depth, design.units)} deep")
    return Edit(design, f"Changed the part at {len(edits)} places")
