"""An exchange drawing is only proved if it is true: each way of being wrong is made on purpose, and has to be found.

Sources: DXF reference, release 2010 ($INSUNITS 4 = millimetres; LWPOLYLINE group 70 bit 1 = closed; group 230 = up);
CSS Values and Units (1 in = 25.4 mm = 96 px); SVG 2, 8.2 (width, height and viewBox).
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from app.drafting.export.drawing import export_scene
from app.errors import ProofError
from app.geometry.outline import Corner, Outline, rectangle_outline
from app.model.part import Face
from app.model.resolved import Counterbore, Recess, ResolvedBoard
from app.proof import Proof, prove_drawing
from app.scene.primitives import Circle, Item, Path, Scene
from app.service.drawings.formats import drawing_format
from app.values import replace
from tests.unit.drafting.boards import ADMIN, BUTTON, STICK, bare, board, placed, two_player
from tests.unit.proof.altering import Change, altered, doubled, first_circle, lost, repeated, shifted, widened

FORMATS = ("svg", "dxf")


def written(scene: Scene, fmt: str) -> bytes:
    return drawing_format(fmt)[1].write(scene)


def made(fmt: str, face: Face = "top", kerf: float = 0.0, model: ResolvedBoard | None = None) -> bytes:
    return written(export_scene(model or two_player(), face, kerf), fmt)


def proof(data: bytes, fmt: str, face: Face = "top", kerf: float = 0.0, model: ResolvedBoard | None = None) -> Proof:
    return prove_drawing(data, drawing_format(fmt)[1].reader(), model or two_player(), face, kerf)


def spoilt(fmt: str, change: Change, face: Face = "top") -> bytes:
    return written(altered(export_scene(two_player(), face), change), fmt)


def rich() -> ResolvedBoard:
    """Every operation, an opening with set-back corners, an elliptic corner of the outline."""
    made = board(
        (
            placed("a", BUTTON, 100.0, 100.0, "A"),
            placed("b", ADMIN, 180.0, 100.0, "B", bore=Counterbore(32.0, 9.5)),
            replace(placed("c", STICK, 300.0, 110.0, "C", angle=30.0), recess=Recess(97.0, 55.0, 6.0, 9.5)),
        )
    )
    window = Outline((Corner(450, 60, (8, 8)), Corner(560, 60), Corner(560, 140), Corner(450, 140, (10, 20))))
    return replace(made, openings=(window,))


@pytest.mark.parametrize("fmt", FORMATS)
@pytest.mark.parametrize("kerf", [0.0, 0.3])
@pytest.mark.parametrize(("face", "kinds"), [("top", (3, 0, 0, 0, 1)), ("under", (3, 1, 1, 4, 1))])
def test_a_true_drawing_is_proved(fmt: str, face: Face, kerf: float, kinds: tuple[int, ...]) -> None:
    found = proof(made(fmt, face, kerf, rich()), fmt, face, kerf, rich())
    assert tuple(n for _, n in found.kinds) == kinds
    assert found.holes == sum(kinds)
    # SVG has four decimals, DXF sixteen; elliptic corners of DXF are chords within 0.001 mm.
    assert found.largest < 0.0012
    assert found.words == f"{sum(kinds)} holes, largest difference 0.00 mm"


@pytest.mark.parametrize("fmt", FORMATS)
@pytest.mark.parametrize("face", ["top", "under"])
@pytest.mark.parametrize(
    ("change", "words"),
    [
        (shifted(0.02), r"0\.02 mm from its place"),
        (widened(0.03), r"drawn 30\.03 mm wide"),
        (lost, "missing"),
        (doubled, "nothing asks for"),
    ],
)
def test_a_hole_that_is_not_where_it_should_be_is_found(
    change: Callable[[Circle], Item], words: str, face: Face, fmt: str
) -> None:
    with pytest.raises(ProofError, match=words):
        proof(spoilt(fmt, first_circle(change, 30.0), face), fmt, face)


@pytest.mark.parametrize("fmt", FORMATS)
@pytest.mark.parametrize("by", [0.004, 0.008])
def test_what_is_within_the_limit_is_told_by_its_size(fmt: str, by: float) -> None:
    assert proof(spoilt(fmt, first_circle(shifted(by), 30.0)), fmt).largest == pytest.approx(by, abs=0.0006)


def test_a_hole_cut_twice_is_found() -> None:
    # The DXF writer drops doubles of its own; an SVG would have both.
    with pytest.raises(ProofError, match="drawn twice"):
        proof(spoilt("svg", first_circle(repeated, 30.0)), "svg")
    assert proof(spoilt("dxf", first_circle(repeated, 30.0)), "dxf").holes == 16


@pytest.mark.parametrize("fmt", FORMATS)
@pytest.mark.parametrize(
    ("old", "new"),
    [("THROUGH_30", "THROUGH_31"), ("UNDER_THROUGH", "TOP_THROUGH"), ("THROUGH_30", "PILOT_30_DEPTH_9"),
     ("DEPTH_9.5", "DEPTH_9"), ("OPENING", "OUTLINE"), ("RECESS_97_BY_55", "RECESS_97")],
)  # fmt: skip
def test_a_layer_that_says_something_else_is_found(fmt: str, old: str, new: str) -> None:
    data = made(fmt, "under", model=rich())
    assert old.encode() in data
    with pytest.raises(ProofError, match=r"on the layer|outlines|layers"):
        proof(data.replace(old.encode(), new.encode()), fmt, "under", model=rich())


@pytest.mark.parametrize("fmt", FORMATS)
@pytest.mark.parametrize(("drawn", "asked"), [("top", "under"), ("under", "top")])
def test_the_other_face_is_found_even_on_a_board_that_is_its_own_mirror_image(
    fmt: str, drawn: Face, asked: Face
) -> None:
    model = replace(bare(160.0, 120.0), placements=(placed("b", BUTTON, 80.0, 60.0, "A"),))
    assert proof(made(fmt, drawn, model=model), fmt, drawn, model=model).holes == 1
    with pytest.raises(ProofError, match="layer"):
        proof(made(fmt, drawn, model=model), fmt, asked, model=model)


@pytest.mark.parametrize("fmt", FORMATS)
@pytest.mark.parametrize(("drawn", "asked"), [(0.3, 0.0), (0.0, 0.3), (0.3, 0.2)])
def test_another_kerf_is_found(fmt: str, drawn: float, asked: float) -> None:
    with pytest.raises(ProofError):
        proof(made(fmt, kerf=drawn), fmt, kerf=asked)


@pytest.mark.parametrize("fmt", FORMATS)
def test_another_rim_is_found(fmt: str) -> None:
    model = two_player()
    corners = tuple(replace(c, setback=(36.0, 37.0)) if c.setback and c.x > 0 else c for c in model.outline.corners)
    with pytest.raises(ProofError, match="outline"):
        proof(made(fmt, model=replace(model, outline=Outline(corners))), fmt, model=model)
    # As large, but set back on the other side: neither extents nor area would tell.
    left = replace(
        bare(300.0, 200.0), outline=Outline((Corner(0, 0), Corner(300, 0), Corner(300, 200), Corner(0, 200, (50, 50))))
    )
    right = replace(left, outline=Outline((Corner(0, 0), Corner(300, 0), Corner(300, 200, (50, 50)), Corner(0, 200))))
    with pytest.raises(ProofError, match="outline"):
        proof(made(fmt, model=left), fmt, model=right)


@pytest.mark.parametrize("fmt", FORMATS)
def test_an_open_line_is_found(fmt: str) -> None:
    def opened(item: Item) -> Item:
        return replace(item, closed=False) if isinstance(item, Path) and item.layer == "OUTLINE" else item

    with pytest.raises(ProofError, match="open"):
        proof(spoilt(fmt, opened), fmt)


@pytest.mark.parametrize("fmt", FORMATS)
def test_a_check_square_that_is_not_true_is_found(fmt: str) -> None:
    def narrower(item: Item) -> Item:
        if not (isinstance(item, Path) and item.layer == "CHECK_SQUARE"):
            return item
        first = replace(item.steps[0], end=(item.steps[0].end[0] - 0.05, item.steps[0].end[1]))
        second = replace(item.steps[1], end=(item.steps[1].end[0] - 0.05, item.steps[1].end[1]))
        return replace(item, steps=(first, second, *item.steps[2:]))

    with pytest.raises(ProofError, match="check square"):
        proof(spoilt(fmt, narrower), fmt)
    with pytest.raises(ProofError, match="check squares are missing"):
        proof(spoilt(fmt, lambda item: None if getattr(item, "layer", "") == "CHECK_SQUARE" else item), fmt)


@pytest.mark.parametrize("fmt", FORMATS)
def test_a_note_with_another_size_is_found(fmt: str) -> None:
    with pytest.raises(ProofError, match="no note says its size, 640 x 240 mm"):
        proof(made(fmt).replace(b"640 x 240 mm", b"604 x 240 mm"), fmt)


def test_a_board_and_an_opening_may_be_round() -> None:
    corners = tuple(Corner(x, y, (100.0, 100.0)) for x, y in ((0, 0), (200, 0), (200, 200), (0, 200)))
    hole = tuple(Corner(x, y, (20.0, 20.0)) for x, y in ((80, 80), (120, 80), (120, 120), (80, 120)))
    model = replace(bare(200.0, 200.0), outline=Outline(corners), openings=(Outline(hole),))
    for fmt in FORMATS:
        for kerf in (0.0, 0.4):
            assert proof(made(fmt, kerf=kerf, model=model), fmt, kerf=kerf, model=model).holes == 1


# -- what only one of the formats can get wrong ------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (r"(\$INSUNITS\n *70\n) *4\n", r"\g<1>1\n", "INSUNITS"),
        (r"(\$MEASUREMENT\n *70\n) *1\n", r"\g<1>0\n", "MEASUREMENT"),
        (r"\n  0\nCIRCLE\n", r"\n  0\nPOINT\n", "POINT"),
        (r"\n 10\n147\.0\n", r"\n 10\n147.1\n", "from its place"),
        (r"\n  0\nEOF\n", r"\n", "end is missing"),
        (r"AcDbPolyline\n 90\n", r"AcDbPolyline\n 91\n", "unknown group|corners"),
    ],
)
def test_dxf_a_header_or_an_entity_that_is_wrong_is_found(old: str, new: str, words: str) -> None:
    text = made("dxf").decode()
    assert re.search(old, text), "there is something to spoil"
    with pytest.raises(ProofError, match=words):
        proof(re.sub(old, new, text, count=1).encode(), "dxf")


def test_dxf_a_circle_seen_from_below_is_found() -> None:
    """An extrusion of −Z mirrors an entity (DXF reference, object coordinate systems)."""
    text = made("dxf").decode()
    flipped = re.sub(r"(AcDbCircle\n)", r"\g<1>230\n-1.0\n", text, count=1)
    assert flipped != text
    with pytest.raises(ProofError, match="plane"):
        proof(flipped.encode(), "dxf")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (r' width="([0-9.]+)mm"', r' width="\g<1>"', "user unit"),
        (r' height="([0-9.]+)mm"', r' height="\g<1>in"', "user unit|outline"),
        (r' viewBox="0 0 640 ', r' viewBox="0 0 650 ', "user unit"),
        (r"<g ", r'<g transform="scale(0.9996)" ', "outline|hole"),
        (r'cx="147"', r'cx="147.1"', "from its place"),
        (r"<circle ", r'<circle transform="translate(0.1 0)" ', "from its place"),
        (r"<circle ", r'<rect width="9" height="9"/><circle ', "Rect"),
        (r"</svg>", r"", "read back"),
    ],
)
def test_svg_a_size_or_an_element_that_is_wrong_is_found(old: str, new: str, words: str) -> None:
    text = made("svg").decode()
    assert re.search(old, text), "there is something to spoil"
    with pytest.raises(ProofError, match=words):
        proof(re.sub(old, new, text, count=1).encode(), "svg")


def test_the_plain_board_is_proved_without_holes() -> None:
    model = replace(bare(300.0, 200.0), outline=rectangle_outline(300.0, 200.0, 40.0))
    for fmt in FORMATS:
        found = proof(made(fmt, model=model), fmt, model=model)
        assert (found.holes, found.words) == (0, "0 holes, largest difference 0.00 mm")
