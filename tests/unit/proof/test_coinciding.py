"""Cuts that lie on each other, or nearly: what is drawn once is counted once, and no drawing of them is withheld."""

from __future__ import annotations

from functools import cache

import pytest

from app.drafting.export.drawing import export_scene
from app.errors import ProofError
from app.geometry.outline import Corner, Outline
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import Counterbore, Recess, ResolvedBoard
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.proof import DXF_READER, Proof, prove_drawing, prove_template
from app.service.drawings.formats import DRAWINGS
from app.values import replace
from app.writers import dxf, pdf
from tests.long_run import in_gate
from tests.unit.drafting.boards import A4, ADMIN, BUTTON, STICK, board, placed

Ring = tuple[tuple[float, float], ...]
BOX: Ring = ((60.0, 60.0), (100.0, 60.0), (100.0, 90.0), (60.0, 90.0))


def opening(ring: Ring = BOX, setback: float = 0.0, by: float = 0.0) -> Outline:
    return Outline(tuple(Corner(x + by, y, (setback, setback) if setback else None) for x, y in ring))


def proofs(model: ResolvedBoard) -> list[Proof]:
    """Of every exchange drawing and of both templates."""
    found: list[Proof] = []
    faces: tuple[Face, ...] = ("top", "under")
    for face in faces:
        for kerf in (0.0, 0.2):
            scene = export_scene(model, face, kerf)
            found += [prove_drawing(way.write(scene), way.reader(), model, face, kerf) for way in DRAWINGS.values()]
        plan = plan_sheets(model, face, Printing(A4))
        pages = pdf.write(template_pages(model, face, Printing(A4)))
        found.append(prove_template(pages, model, face, Printing(A4), sheets=plan))
    return found


def openings_drawn(model: ResolvedBoard, face: Face = "top") -> int:
    return sum(getattr(item, "layer", "") == "OPENING" for item in export_scene(model, face).items)


CHAMFERED: Ring = ((65, 60), (95, 60), (100, 65), (100, 85), (95, 90), (65, 90), (60, 85), (60, 65))
DENTED: Ring = ((60, 60), (100, 60), (80, 70), (100, 90), (60, 90))
DENTED_BEHIND: Ring = ((60, 60), (100, 60), (100, 90), (80, 70), (60, 90))


@pytest.mark.parametrize(
    ("first", "second", "lines"),
    [
        (opening(), opening(), 1),
        (opening(), opening(BOX[1:] + BOX[:1]), 1),
        (opening(), opening(BOX[::-1]), 1),
        (opening(setback=10.0), opening(BOX[2:] + BOX[:2], 10.0), 1),
        (opening(), opening(by=1e-8), 1),
        (opening(), opening(by=7e-7), 2),  # drawn twice, and as good as one
        (opening(), opening(by=1e-5), 2),
        (opening(), opening(by=0.009), 2),
        (opening(), opening(by=0.1), 2),
        (opening(), opening(by=40.0), 2),
        (opening(), opening(((70, 65), (80, 65), (80, 75), (70, 75))), 2),
        (opening(setback=5.0), opening(CHAMFERED), 2),
        (opening(DENTED), opening(DENTED_BEHIND), 2),
    ],
    ids=[
        "the same", "another corner first", "the other way round", "set back", "as good as the same", "rounded apart",
        "hardly apart", "within the tolerance", "overlapping", "side by side", "within", "bend and chamfer",
        "same corners",
    ],
)  # fmt: skip
def test_openings_on_each_other_are_drawn_and_proved(first: Outline, second: Outline, lines: int) -> None:
    model = replace(board(()), openings=(first, second))
    assert openings_drawn(model) == lines
    counted = 1 if first.bounds[0] != second.bounds[0] == pytest.approx(first.bounds[0], abs=2e-6) else lines
    assert [dict(proof.kinds)["opening"] for proof in proofs(model)] == [counted] * 10


PAIRED = (
    placed("b", BUTTON, 100.0 + 1 / 3, 100.0, "B"),
    replace(placed("a", ADMIN, 180.0, 100.0, "A"), counterbore=Counterbore(32.0, 9.5)),
    replace(placed("c", STICK, 300.0, 110.0, "C", angle=30.0), recess=Recess(97.0, 55.0, 6.0, 9.5)),
)


@cache
def alone(number: int) -> list[Proof]:
    return proofs(board((PAIRED[number],)))


@pytest.mark.parametrize(
    "by", in_gate([0.0, 1e-9, 4e-7, 6e-7, 1e-6, 2.1e-6, 1e-3], lambda by: by in {0.0, 6e-7, 1e-6, 2.1e-6})
)
def test_holes_bores_recesses_and_pilots_on_each_other_are_drawn_and_proved(by: float) -> None:
    for number, part in enumerate(PAIRED):
        there = placed("again", part.part, part.x + by, part.y, "D", angle=part.angle)
        there = replace(there, counterbore=part.counterbore, recess=part.recess)
        times = 2 if by > 2e-6 else 1
        wanted = [times * proof.holes for proof in alone(number)]
        assert [proof.holes for proof in proofs(board((part, there)))] == wanted


def test_a_drawing_that_leaves_out_one_of_two_openings_is_refused_unless_both_are_one() -> None:
    drawn = replace(board(()), openings=(opening(),))
    data = dxf.write(export_scene(drawn, "top"))
    for by, proved in ((0.0, True), (1e-6, True), (0.02, False)):
        model = replace(drawn, openings=(opening(), opening(by=by)))
        if proved:
            assert dict(prove_drawing(data, DXF_READER, model, "top").kinds)["opening"] == 1
        else:
            with pytest.raises(ProofError, match="opening 2 is missing"):
                prove_drawing(data, DXF_READER, model, "top")
