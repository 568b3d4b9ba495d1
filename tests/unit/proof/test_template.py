"""A template is only proved if it is true: each way of being wrong is made on purpose, and has to be found.

The limit of 0.01 mm is a choice of this program; each figure is tested on both sides of it. Page geometry after
ISO 32000-1: 14.11.2 (boxes), 8.3.2.3 (UserUnit), 7.7.3.3 (Rotate); 1 pt = 25.4/72 mm.
"""

from __future__ import annotations

import io
from collections.abc import Callable

import pikepdf
import pytest

from app.errors import ProofError
from app.model.part import Face
from app.model.printing import PrintCorrection, Printing
from app.model.resolved import Counterbore, Recess, ResolvedBoard
from app.paper.sheet.sheets import template_pages
from app.proof import Proof, prove_template
from app.scene.palette import PILOT
from app.scene.primitives import Circle, Group, Item, Line, Path, Scene
from app.values import replace
from app.writers import pdf
from tests.unit.drafting.boards import A3, A4, ADMIN, BUTTON, LETTER, STICK, bare, board, placed, two_player
from tests.unit.proof.altering import Change, altered, doubled, first_circle, lost, shifted, widened

TRUE_A4 = Printing(A4)


def made(model: ResolvedBoard, face: Face = "top", printing: Printing = TRUE_A4) -> bytes:
    return pdf.write(template_pages(model, face, printing))


def proof(data: bytes, model: ResolvedBoard | None = None, face: Face = "top", printing: Printing = TRUE_A4) -> Proof:
    return prove_template(data, model or two_player(), face, printing)


def spoilt(change: Change, face: Face = "top") -> bytes:
    return pdf.write([altered(page, change) for page in template_pages(two_player(), face, TRUE_A4)])


def edited(change: Callable[[pikepdf.Pdf], object], data: bytes | None = None) -> bytes:
    with pikepdf.open(io.BytesIO(data or made(two_player()))) as file:
        change(file)
        out = io.BytesIO()
        file.save(out)
    return out.getvalue()


def before(file: pikepdf.Pdf, operators: bytes) -> None:
    """Put drawing operators before everything else on every page."""
    for page in file.pages:
        page.contents_add(pikepdf.Stream(file, operators), prepend=True)


@pytest.mark.parametrize("paper", [A4, LETTER, A3])
@pytest.mark.parametrize(("face", "count"), [("top", 18), ("under", 26)])
def test_a_true_template_is_proved(face: Face, count: int, paper: object) -> None:
    """16 buttons and sticks, two of them with a counterbore, dashed on the top; four pilots for each stick below."""
    printing = Printing(paper)  # type: ignore[arg-type]
    found = proof(made(two_player(), face, printing), face=face, printing=printing)
    assert found.holes == count
    assert found.largest < 0.001, "four decimals of a point are 0.00004 mm"
    assert found.words == f"{count} holes, largest difference 0.00 mm"
    assert found.detail.startswith("16 through holes, 2 counterbores")
    assert "read back by a second program" in found.detail


@pytest.mark.parametrize("face", ["top", "under"])
@pytest.mark.parametrize(
    ("change", "words"),
    [
        (shifted(0.02), r"30 mm .* drawn .* 0\.02 mm from its place|30\.00 mm at .* nothing asks for"),
        (widened(0.03), r"30\.03 mm"),
        (lost, "missing"),
        (doubled, "nothing asks for"),
    ],
)
def test_a_hole_that_is_not_where_it_should_be_is_found(
    change: Callable[[Circle], Item], words: str, face: Face
) -> None:
    with pytest.raises(ProofError, match=words):
        proof(spoilt(first_circle(change, 30.0), face), face=face)


@pytest.mark.parametrize("by", [0.004, 0.008])
def test_what_is_within_the_limit_is_told_by_its_size(by: float) -> None:
    assert proof(spoilt(first_circle(shifted(by), 30.0))).largest == pytest.approx(by, abs=0.0003)


def test_a_counterbore_or_a_pilot_that_is_missing_is_found() -> None:
    circles = [c for page in template_pages(two_player(), "under", TRUE_A4) for c in _circles(page.items)]
    pilot = next(2 * c.radius for c in circles if c.style == PILOT)
    for diameter, what in ((32.0, "counterbore"), (pilot, "screw pilot")):
        assert any(abs(2 * c.radius - diameter) < 1e-9 for c in circles)
        with pytest.raises(ProofError, match=what):
            proof(spoilt(first_circle(lost, diameter), "under"), face="under")


def _circles(items: tuple[Item, ...]) -> list[Circle]:
    found: list[Circle] = []
    for item in items:
        found += _circles(item.items) if isinstance(item, Group) else [item] if isinstance(item, Circle) else []
    return found


def test_a_cross_beside_its_hole_is_found() -> None:
    def moved(item: Item) -> Item:
        if isinstance(item, Line) and item.style.role == "cross" and item.a[1] == item.b[1]:
            return replace(item, a=(item.a[0], item.a[1] + 0.05), b=(item.b[0], item.b[1] + 0.05))
        return item

    crosses = [
        i for p in template_pages(two_player(), "top", TRUE_A4) for g in p.items for i in getattr(g, "items", ())
    ]
    assert any(isinstance(i, Line) and i.style.role == "cross" for i in crosses)
    with pytest.raises(ProofError, match=r"cross of the .* is not at its centre"):
        proof(spoilt(moved))


def test_another_rim_is_found() -> None:
    model = two_player()
    other = replace(model, outline=replace(model.outline, corners=tuple(
        replace(c, setback=(36.0, 37.0)) if c.setback and c.x > 0 else c for c in model.outline.corners)))  # fmt: skip
    with pytest.raises(ProofError, match="outline"):
        proof(made(other), model)


def test_a_shorter_check_bar_is_found() -> None:
    def shorter(scene: Scene) -> Scene:
        items = []
        for item in scene.items:
            if isinstance(item, Group) and item.name == "bar-y-mm":
                item = replace(item, items=tuple(_squeezed(i) for i in item.items))
            items.append(item)
        return replace(scene, items=tuple(items))

    with pytest.raises(ProofError, match="check bar of 100 mm along y"):
        proof(pdf.write([shorter(page) for page in template_pages(two_player(), "top", TRUE_A4)]))


def _squeezed(item: Item) -> Item:
    """A rectangle of a bar made 0.1 % shorter along y, from the page's edge."""
    assert isinstance(item, Path)
    points = [(x, y * 0.999) for x, y in (item.start, *(step.end for step in item.steps))]
    steps = tuple(replace(step, end=p) for step, p in zip(item.steps, points[1:], strict=True))
    return replace(item, start=points[0], steps=steps)


@pytest.mark.parametrize("factor", [0.941, 0.973, 0.999, 1.001])
def test_a_page_whose_content_is_scaled_is_found(factor: float) -> None:
    with pytest.raises(ProofError, match="Page 1"):
        proof(edited(lambda file: before(file, f"{factor} 0 0 {factor} 0 0 cm\n".encode())))


def test_a_page_moved_on_its_sheet_is_found() -> None:
    with pytest.raises(ProofError, match="Page 1"):
        proof(edited(lambda file: before(file, b"1 0 0 1 0.1 0 cm\n")))


def test_a_page_of_another_size_is_found() -> None:
    def larger(file: pikepdf.Pdf) -> None:
        for page in file.pages:
            page.MediaBox = page.CropBox = pikepdf.Array([0, 0, 612, 792])

    with pytest.raises(ProofError, match=r"215\.90 × 279\.40 mm, not A4"):
        proof(edited(larger))


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("/UserUnit", 2, "UserUnit"),
        ("/Rotate", 90, "turned"),
        ("/CropBox", pikepdf.Array([10, 10, 500, 700]), "not A4"),
    ],
)
def test_a_page_a_viewer_would_show_otherwise_is_found(key: str, value: object, words: str) -> None:
    with pytest.raises(ProofError, match=words):
        proof(edited(lambda file: [page.obj.__setitem__(key, value) for page in file.pages]))


def test_sheets_in_another_order_or_missing_are_found() -> None:
    def swapped(file: pikepdf.Pdf) -> None:
        file.pages.append(file.pages[0])
        del file.pages[0]

    def shortened(file: pikepdf.Pdf) -> None:
        del file.pages[-1]

    with pytest.raises(ProofError, match="Page 1"):
        proof(edited(swapped))
    with pytest.raises(ProofError, match="pages, not"):
        proof(edited(shortened))


@pytest.mark.parametrize(("printed", "asked"), [("top", "under"), ("under", "top")])
def test_the_other_face_is_found(printed: Face, asked: Face) -> None:
    with pytest.raises(ProofError):
        proof(made(two_player(), printed), face=asked)


@pytest.mark.parametrize(("printed", "asked"), [("top", "under"), ("under", "top")])
def test_the_other_face_of_a_board_that_is_its_own_mirror_image_is_found_by_its_heading(
    printed: Face, asked: Face
) -> None:
    model = replace(bare(160.0, 120.0), placements=(placed("b", BUTTON, 80.0, 60.0, "A"),))
    assert proof(made(model, printed), model, printed).holes == 1
    with pytest.raises(ProofError, match="headed"):
        proof(made(model, printed), model, asked)


@pytest.mark.parametrize("face", ["top", "under"])
def test_a_correction_is_taken_off_before_comparing(face: Face) -> None:
    corrected = Printing(A4, correction=PrintCorrection(1.012, 0.996))
    data = made(two_player(), face, corrected)
    assert proof(data, face=face, printing=corrected).largest < 0.001
    with pytest.raises(ProofError):
        proof(data, face=face, printing=TRUE_A4)
    with pytest.raises(ProofError):
        proof(data, face=face, printing=Printing(A4, correction=PrintCorrection(0.996, 1.012)))
    with pytest.raises(ProofError):
        proof(made(two_player(), face), face=face, printing=corrected)


@pytest.mark.parametrize("face", ["top", "under"])
def test_a_bad_design_is_still_proved(face: Face) -> None:
    """Holes on one another, over the edge and off the board are findings; their template is true all the same."""
    model = board(
        (
            placed("a", BUTTON, 0.0, 100.0, "A"),
            placed("b", BUTTON, 300.0, 110.0, "B"),
            placed("c", BUTTON, 300.0, 110.0, "C"),
            placed("d", BUTTON, 315.0, 110.0, "D"),
            placed("e", ADMIN, 326.5, 110.0, "E", bore=Counterbore(30.0, 9.5)),
            placed("f", STICK, 301.0, 150.0, "F"),
            replace(placed("g", STICK, 420.0, 100.0, "G", angle=30.0), recess=Recess(97.0, 55.0, 6.0, 9.5)),
            placed("h", BUTTON, -300.0, 110.0, "H"),
        )
    )
    found = proof(made(model, face), model, face)
    assert found.largest < 0.001
    assert found.holes >= 7


def test_words_of_the_design_do_not_pass_for_the_heading() -> None:
    model = replace(two_player(), title="UNDERSIDE and TOP FACE")
    for face in ("top", "under"):
        seen: Face = "top" if face == "top" else "under"
        assert proof(made(model, seen), model, seen).holes > 0


def test_a_file_that_is_no_pdf_is_refused() -> None:
    for data in (b"", b"%PDF-1.7 nothing", made(two_player())[:900]):
        with pytest.raises(ProofError, match="read back"):
            proof(data)
