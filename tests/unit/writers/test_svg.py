"""SVG files and fragments as other parsers read them."""

import re
from cmath import exp
from math import inf, nan, pi
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgpathtools import Arc as ReadArc
from svgpathtools import Document

from app.errors import WriterError
from app.scene import palette
from app.scene.primitives import (
    Arc,
    ArcTo,
    Circle,
    CubicTo,
    Group,
    Line,
    LineTo,
    Path,
    Scene,
    Style,
    Text,
)
from app.writers import svg
from tests.reading.measure import nearest, svg_circles
from tests.unit.writers.scenes import INK, scene

NAMESPACE = "{http://www.w3.org/2000/svg}"
HOSTILE = [
    '</svg><script>alert("x")</script>',
    "\"' onload='alert(1)' x=\"",
    "<![CDATA[ ]]> <!-- --> <?x?> &amp; &#0;",
    "nul \x00 bell \x07 escape \x1b[31m del \x7f next \x85",
    "lone \ud800 and \udfff halves",
    "not characters \ufffe \uffff \U0001ffff",
    "line\nbreak\r\nand\ttab\u2028",
    "turned \u202e round \u2066 again",
    "{{ 7 * 7 }} {% include 'x' %} ${x}",
]


def parse(text: str) -> ET.Element:
    return ET.fromstring(text.encode("utf-8"))  # noqa: S314 - our own output


def inline(text: str) -> ET.Element:
    """An inline fragment as an HTML page would hold it."""
    return parse(f'<div xmlns="http://www.w3.org/2000/svg">{text}</div>')


@pytest.mark.parametrize(
    ("size", "inches"),
    # ASME Y14.1 sizes A and B, and ISO 216 A4 through 1 in = 25.4 mm (CSS Values and Units, absolute lengths).
    [
        ((215.9, 279.4), (8.5, 11.0)),
        ((279.4, 431.8), (11.0, 17.0)),
        ((210.0, 297.0), (210 / 25.4, 297 / 25.4)),
    ],
)
def test_a_file_is_as_large_as_its_scene_in_mm(size: tuple[float, float], inches: tuple[float, float]) -> None:
    root = parse(svg.write(scene(size=size)))
    for name, mm, inch in zip(("width", "height"), size, inches, strict=True):
        value = root.attrib[name]
        assert value.endswith("mm")
        assert float(value[:-2]) == pytest.approx(mm, abs=1e-4)
        # 1 in = 96 px: what a browser makes of it.
        assert float(value[:-2]) / 25.4 * 96 == pytest.approx(inch * 96, abs=1e-3)
    assert [float(v) for v in root.attrib["viewBox"].split()] == pytest.approx([0, 0, *size], abs=1e-4)


def test_one_user_unit_is_one_millimetre() -> None:
    # The 50 mm square that tells a reader who assumes 72 or 90 dpi (37.5 or 46.9 mm): 50 · 72 / 96 and 50 · 90 / 96.
    square = Path((10.0, 10.0), tuple(LineTo(p) for p in ((60.0, 10.0), (60.0, 60.0), (10.0, 60.0))), INK, True)
    document = Document.from_svg_string(svg.write(scene(square)))
    (path,) = document.paths()
    x0, x1, y0, y1 = path.bbox()
    assert (x1 - x0, y1 - y0) == (50.0, 50.0)
    assert document.root.get("width") == "210mm"
    assert document.root.get("viewBox") == "0 0 210 297"


def test_y_is_up_in_a_scene_and_down_in_the_file() -> None:
    window = Scene(-20.0, -10.0, 180.0, 90.0, (Circle((0.0, 0.0), 5.0, INK),))
    (circle,) = parse(svg.write(window)).iter(f"{NAMESPACE}circle")
    # The origin is 20 mm from the left and 10 mm from the bottom, so 100 − 10 = 90 mm from the top.
    assert (float(circle.attrib["cx"]), float(circle.attrib["cy"])) == (20.0, 90.0)
    # Inline, the board's own x stays and y is negated.
    (circle,) = inline(svg.embed(window)).iter(f"{NAMESPACE}circle")
    assert (float(circle.attrib["cx"]), float(circle.attrib["cy"])) == (0.0, 0.0)
    assert 'viewBox="-20 -90 200 100"' in svg.embed(window)


@given(
    centre=st.tuples(st.floats(0.0, 600.0), st.floats(0.0, 400.0)),
    diameter=st.floats(2.0, 120.0),
    shift=st.tuples(st.floats(-50.0, 50.0), st.floats(-50.0, 50.0)),
)
def test_circles_are_where_they_were_drawn(
    centre: tuple[float, float], diameter: float, shift: tuple[float, float]
) -> None:
    inner = Group((Circle(centre, diameter / 2, INK),), shift=shift)
    text = svg.write(scene(Group((inner,), shift=(3.0, -4.0)), size=(600.0, 400.0)))
    x, y = centre[0] + shift[0] + 3.0, centre[1] + shift[1] - 4.0
    found = nearest(svg_circles(text), x, y, diameter)
    assert (found.x, found.y, found.diameter) == pytest.approx((x, y, diameter), abs=0.001)
    assert text.count("<circle") == 1


@pytest.mark.parametrize("start", [0.0, 37.0, 180.0, -90.0])
@pytest.mark.parametrize("sweep", [30.0, -30.0, 180.0, -180.0, 270.0, -270.0, 359.9, 360.0, -360.0])
def test_arcs_are_true_arcs_the_right_way_round(start: float, sweep: float) -> None:
    (path,) = Document.from_svg_string(svg.write(scene(Arc((100.0, 100.0), 40.0, start, sweep, INK)))).paths()
    assert all(isinstance(step, ReadArc) for step in path)
    # Length of an arc: radius times angle.
    assert path.length() == pytest.approx(40.0 * abs(sweep) * pi / 180.0, abs=0.002)
    # A little way along, the point lies on the side the arc turns to (y up again).
    early = path[0].point(0.01)
    angle = (start + sweep / len(path) * 0.01) * pi / 180.0
    expected = complex(100.0, 297.0 - 100.0) + 40.0 * exp(-1j * angle)
    assert abs(early - expected) < 0.001


def test_a_path_keeps_its_lines_arcs_and_curves() -> None:
    steps = (
        LineTo((50.0, 0.0)),
        ArcTo((60.0, 10.0), (50.0, 10.0), 90.0),
        CubicTo((60.0, 20.0), (50.0, 30.0), (40.0, 30.0)),
    )
    (path,) = Document.from_svg_string(svg.write(scene(Path((0.0, 0.0), steps, INK, closed=True)))).paths()
    assert [type(step).__name__ for step in path] == ["Line", "Arc", "CubicBezier", "Line"]
    assert path.isclosed()
    assert path[1].radius == complex(10, 10)
    assert path[2].control1 == complex(60, 297 - 20)


def test_style_is_written_as_attributes_that_a_stylesheet_may_override() -> None:
    style = Style(stroke="#102030", width=0.35, dash=(2.0, 1.0), fill="#ffeedd", opacity=0.5, role="hole round")
    text = svg.write(scene(Circle((5.0, 5.0), 2.0, style), Line((0.0, 0.0), (1.0, 1.0), Style(stroke=None))))
    (circle,) = parse(text).iter(f"{NAMESPACE}circle")
    assert circle.attrib["class"] == "hole round"
    assert circle.attrib["stroke"] == "#102030"
    assert circle.attrib["stroke-width"] == "0.35"
    assert circle.attrib["stroke-dasharray"] == "2 1"
    assert circle.attrib["fill"] == "#ffeedd"
    assert circle.attrib["fill-opacity"] == circle.attrib["stroke-opacity"] == "0.5"
    assert "opacity" not in circle.attrib
    (line,) = parse(text).iter(f"{NAMESPACE}line")
    assert "stroke" not in line.attrib
    # A strict content policy forbids style attributes and style elements.
    assert "style=" not in text
    assert "<style" not in text


def test_groups_carry_name_data_title_clip_and_shift() -> None:
    group = Group(
        (Line((0.0, 0.0), (300.0, 0.0), INK),),
        name="place p1",
        data={"placement": "p1", "face": "top"},
        title="Button A",
        clip=(10.0, 20.0, 110.0, 70.0),
        shift=(5.0, 6.0),
        role="placement",
    )
    (element,) = parse(svg.write(scene(group))).findall(f"{NAMESPACE}g")
    assert element.attrib["id"] == "place_20_p1"
    assert element.attrib["class"] == "placement"
    assert element.attrib["data-placement"] == "p1"
    assert element.attrib["data-face"] == "top"
    assert element.findtext(f"{NAMESPACE}title") == "Button A"
    assert element.attrib["transform"] == "translate(5,-6)"
    (clip,) = element.iter(f"{NAMESPACE}clipPath")
    rectangle = {key: float(value) for key, value in clip[0].attrib.items()}
    # The upper left corner of the clip is (10, 70) with y up: 297 − 70 from the top.
    assert rectangle == {"x": 10.0, "y": 227.0, "width": 100.0, "height": 50.0}
    (clipped,) = element.findall(f"{NAMESPACE}g")
    assert clipped.attrib["clip-path"] == f"url(#{clip.attrib['id']})"


def test_text_stands_at_its_anchor_and_is_as_wide_as_it_was_laid_out() -> None:
    words = Text((20.0, 30.0), "from the left edge", 4.0, palette.TEXT, anchor="end", angle=90.0, bold=True)
    (element,) = parse(svg.write(scene(words))).iter(f"{NAMESPACE}text")
    assert (element.attrib["x"], element.attrib["y"]) == ("20", "267")
    assert element.attrib["text-anchor"] == "end"
    assert element.attrib["font-size"] == "4"
    assert element.attrib["font-weight"] == "bold"
    # Anticlockwise is a negative angle where y is down.
    assert element.attrib["transform"] == "rotate(-90,20,267)"
    assert float(element.attrib["textLength"]) > 20.0
    assert element.text == "from the left edge"


def test_embedding_names_the_drawing_and_its_parts_for_the_keyboard() -> None:
    part = Group((Circle((0.0, 0.0), 5.0, INK),), name="p1", data={"placement": "p1"}, title="Button A, 30 mm")
    page = svg.embed(scene(part, title="Control deck"), ident="plan", prefix="one-", interactive=True)
    (root,) = inline(page)
    assert root.tag == f"{NAMESPACE}svg"
    assert root.attrib["width"] == "100%"
    assert "height" not in root.attrib
    assert root.attrib["aria-label"] == "Control deck"
    (group,) = root.findall(f"{NAMESPACE}g")
    assert group.attrib["id"] == "one-p1"
    assert group.attrib["tabindex"] == "0"
    assert group.attrib["aria-label"] == "Button A, 30 mm"
    assert not page.startswith("<?xml")
    thumbnail = svg.embed(scene(part), names=False)
    assert " id=" not in thumbnail
    assert "tabindex" not in thumbnail


@pytest.mark.parametrize(("role", "pressed"), [("part selected", "true"), ("part locked", "false"), ("handle", None)])
def test_what_a_ring_shows_to_the_eye_is_told_to_a_screen_reader(role: str, pressed: str | None) -> None:
    part = Group((Circle((0.0, 0.0), 5.0, INK),), name="p1", data={"placement": "p1"}, title="Button A", role=role)
    (root,) = inline(svg.embed(scene(part, title="Deck"), interactive=True))
    (group,) = root.findall(f"{NAMESPACE}g")
    assert group.attrib.get("aria-pressed") == pressed


def test_a_swap_holds_what_the_embedded_group_holds() -> None:
    halo = Group((Circle((50.0, 60.0), 17.0, INK),), name="halo", title="Stops", clip=(0.0, 0.0, 90.0, 90.0))
    drawing = scene(Group((halo,), name="board"), title="Deck")
    whole = svg.embed(drawing)
    part = svg.swap(drawing, "halo")
    wrapped = re.fullmatch(r'<svg hx-swap-oob="innerHTML:#halo">(.*)</svg>', part, re.DOTALL)
    assert wrapped
    assert f'<g id="halo">{wrapped[1]}</g>' in whole
    assert svg.swap(drawing, "nothing here") == '<svg hx-swap-oob="innerHTML:#nothing_20_here"></svg>'


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_words_stay_words(words: str) -> None:
    group = Group(
        (Text((1.0, 1.0), words, 4.0, palette.TEXT),), name=words, data={"label": words}, title=words, role="x"
    )
    drawing = scene(group, title=words, note=words)
    for text in (svg.write(drawing), svg.embed(drawing, interactive=True), svg.swap(drawing, words)):
        root = inline(re.sub(r"^<\?xml.*?\?>", "", text))
        assert {element.tag.removeprefix(NAMESPACE) for element in root.iter()} <= {
            *("div", "svg", "g", "defs", "title", "desc", "text"),
        }
        allowed = {"class", "id", "x", "y", "transform", "role", "width", "height", "fill", "tabindex"}
        for element in root.iter():
            assert not [key for key in element.attrib if key.startswith("on")]
            if element.tag.endswith("text"):
                assert set(element.attrib) <= allowed | {"font-size", "textLength", "lengthAdjust"}
        text.encode("utf-8")
    (element,) = parse(svg.write(drawing)).iter(f"{NAMESPACE}text")
    kept = [c for c in words if c.isascii() and c.isprintable()]
    # Characters that cannot be stored may become spaces or marks, but no letter is lost.
    assert "".join(c for c in element.text or "" if c.isascii()).replace(" ", "") == "".join(kept).replace(" ", "")
    for group_element in parse(svg.write(drawing)).iter(f"{NAMESPACE}g"):
        assert re.fullmatch(r"[A-Za-z_][A-Za-z0-9_-]*", group_element.attrib["id"])


@given(words=st.text(st.characters(codec=None), max_size=40))
def test_any_words_are_well_formed(words: str) -> None:
    text = svg.write(scene(Text((1.0, 1.0), words, 4.0, palette.TEXT), title=words))
    parse(text)
    assert len(list(inline(svg.embed(scene(Text((1.0, 1.0), words, 4.0, palette.TEXT), title=words))))) == 1


def test_the_same_scene_gives_the_same_file() -> None:
    drawing = scene(Group((Circle((1.0, 2.0), 3.0, INK),), clip=(0.0, 0.0, 9.0, 9.0)), title="Deck")
    assert svg.write(drawing) == svg.write(drawing)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), 1e9])
def test_a_number_that_cannot_be_drawn_is_refused(value: float) -> None:
    with pytest.raises(WriterError, match="cannot be drawn"):
        svg.write(scene(Circle((value, 0.0), 1.0, INK)))
    with pytest.raises(WriterError, match="cannot be drawn"):
        svg.fragment([Line((0.0, 0.0), (0.0, value), INK)])


def test_a_data_key_must_be_an_attribute_name() -> None:
    with pytest.raises(WriterError, match="data attribute"):
        svg.write(scene(Group((), data={"on click": "x"})))


def test_what_follows_a_drag_is_looked_at_in_every_group_clipped_or_not() -> None:
    for clip in (None, (0.0, 0.0, 5.0, 5.0)):
        for item in (Line((0.0, 0.0), (0.0, nan), INK), Text((0.0, inf), "far", 3.0, INK)):
            for _ in range(2):  # what was refused is not remembered as good
                with pytest.raises(WriterError, match="cannot be drawn"):
                    svg.swap(Scene(0.0, 0.0, 1.0, 1.0, (Group((Group((item,), clip=clip),), name="moving"),)), "moving")
