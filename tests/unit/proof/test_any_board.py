"""No board makes a proof fail: wherever its holes are, even off it or on one another, what is drawn is asked for."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from app.drafting.export.drawing import export_scene
from app.geometry.outline import Corner, Outline
from app.geometry.shapes import rectangle, slot
from app.model.part import Cutout, Face
from app.model.printing import PrintCorrection, Printing
from app.model.resolved import Counterbore, Hole, Placed, Recess, ResolvedBoard
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.proof import prove_drawing, prove_template
from app.service.drawings.formats import DRAWINGS
from app.values import replace
from app.writers import pdf
from tests.long_run import examples
from tests.unit.drafting.boards import A4, ADMIN, BUTTON, LETTER, STICK, board, placed

tenths = st.integers(-600, 7000).map(lambda n: n / 10)


@st.composite
def placements(draw: st.DrawFn) -> Placed:
    part = draw(st.sampled_from((BUTTON, ADMIN, STICK)))
    x, y, angle = draw(tenths), draw(tenths) / 3, draw(st.sampled_from((0.0, 30.0, 90.0, 137.0)))
    made = placed(f"p{draw(st.integers(0, 10**9))}", part, x, y, draw(st.sampled_from("AB")), angle=angle)
    if part is ADMIN and draw(st.booleans()):
        made = replace(made, counterbore=Counterbore(draw(st.sampled_from((24.0, 30.0, 32.0))), 9.5))
    if part is STICK and draw(st.booleans()):
        made = replace(made, recess=Recess(97.0, 55.0, draw(st.sampled_from((0.0, 6.0))), 9.5))
    if draw(st.integers(0, 3)) == 0:
        shape = draw(
            st.sampled_from(
                (slot(40.0, 12.0), rectangle(27.0, 13.0), rectangle(4.0, 4.0), rectangle(50.0, 20.0, corner=2.0))
            )
        )
        cutout = Cutout(shape, 1.0, 60.0)
        made = replace(made, holes=(*made.holes, Hole(cutout, shape.placed(x + 30.0, y, angle), None)))
    return made


@st.composite
def boards(draw: st.DrawFn) -> ResolvedBoard:
    found = draw(st.lists(placements(), max_size=8))
    again = found[:1] if draw(st.booleans()) else []
    made = board((*found, *again), draw(st.sampled_from((150.0, 400.3, 640.0))), draw(st.sampled_from((120.0, 240.7))))
    if draw(st.booleans()):
        setback = draw(st.sampled_from((None, (6.0, 6.0), (4.0, 9.0))))
        corners = tuple(Corner(x, y, setback) for x, y in ((60, 60), (90, 60), (90, 100), (60, 100)))
        made = replace(made, openings=(Outline(corners),))
    return made


@examples(25)
@given(boards(), st.sampled_from(("top", "under")), st.sampled_from((0.0, 0.2)))
def test_the_drawings_of_any_board_are_proved(model: ResolvedBoard, face: Face, kerf: float) -> None:
    scene = export_scene(model, face, kerf)
    for way in DRAWINGS.values():
        assert prove_drawing(way.write(scene), way.reader(), model, face, kerf).largest < 0.002


@examples(25)
@given(
    boards(),
    st.sampled_from(("top", "under")),
    st.sampled_from((A4, LETTER)),
    st.sampled_from((PrintCorrection(), PrintCorrection(1.01, 0.99))),
)
def test_the_template_of_any_board_is_proved(
    model: ResolvedBoard, face: Face, paper: object, correction: PrintCorrection
) -> None:
    printing = Printing(paper, correction=correction)  # type: ignore[arg-type]
    plan = plan_sheets(model, face, printing)
    data = pdf.write(template_pages(model, face, printing))
    assert prove_template(data, model, face, printing, sheets=plan).largest < 0.002
