"""DXF files as ezdxf and KLayout read them."""

import io
import re
import subprocess
import sys
from functools import partial
from math import pi, sqrt

import pytest
from ezdxf._options import options as ezdxf_options
from ezdxf.document import Drawing
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read as read_dxf
from hypothesis import given
from hypothesis import strategies as st
from klayout import db

from app.errors import WriterError
from app.scene.primitives import (
    Arc,
    ArcTo,
    Circle,
    CubicTo,
    Group,
    Line,
    LineTo,
    Path,
    Text,
)
from app.writers import dxf
from tests.long_run import examples
from tests.tools import ROOT
from tests.unit.writers import scenes
from tests.unit.writers.scenes import INK

OUTLINE = Path(
    (0.0, 0.0),
    (
        LineTo((600.0, 0.0)),
        LineTo((600.0, 180.0)),
        ArcTo((560.0, 220.0), (560.0, 180.0), 90.0),
        LineTo((40.0, 220.0)),
        ArcTo((0.0, 180.0), (40.0, 180.0), 90.0),
    ),
    INK,
    closed=True,
    layer="OUTLINE",
)
OUTLINE_AREA = 600.0 * 220.0 - 2 * (1 - pi / 4) * 40.0**2
"""A rectangle less what two quarter circles leave of their squares [mm²]."""


scene = partial(scenes.scene, corner=(-10.0, -10.0), size=(620.0, 240.0))


def read(data: bytes) -> Drawing:
    document = read_dxf(io.StringIO(data.decode("utf-8")))
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    return document


def klayout_areas(data: bytes, folder: str) -> dict[str, float]:
    """Area on each layer [mm²], as KLayout reads it."""
    file = f"{folder}/board.dxf"
    with open(file, "wb") as stream:  # noqa: PTH123 - KLayout wants a path as text
        stream.write(data)
    options = db.LoadLayoutOptions()
    options.dxf_unit = 1.0  # one drawing unit is one unit of the layout; only numbers are compared
    options.dxf_dbu = 0.0001
    options.dxf_circle_points = 720
    # In the automatic mode it draws circles with 32 points as soon as there is a closed polyline.
    options.dxf_polyline_mode = 3
    layout = db.Layout()
    layout.read(file, options)
    areas = {}
    for index in layout.layer_indexes():
        region = db.Region(layout.top_cell().begin_shapes_rec(index))
        if not region.is_empty():
            areas[layout.get_info(index).name] = region.area() * layout.dbu**2
    return areas


def layers_in_file(data: bytes) -> list[str]:
    """Names in the layer table as they stand in the file: some readers add their own while loading."""
    table = re.search(r"\nTABLE\n  2\nLAYER\n(.*?)\nENDTAB", data.decode(), re.DOTALL)
    assert table
    return re.findall(r"\nAcDbLayerTableRecord\n  2\n([^\n]*)\n", table[1])


def test_the_header_says_millimetres() -> None:
    document = read(dxf.write(scene(OUTLINE)))
    assert document.dxfversion == "AC1024"  # release 2010
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    assert document.header["$EXTMIN"] == pytest.approx((0.0, 0.0, 0.0))
    assert document.header["$EXTMAX"] == pytest.approx((600.0, 220.0, 0.0))


@examples(25)
@given(
    centre=st.tuples(st.floats(0.0, 600.0), st.floats(0.0, 220.0)),
    radius=st.floats(0.5, 60.0),
    shift=st.tuples(st.floats(-90.0, 90.0), st.floats(-90.0, 90.0)),
)
def test_a_circle_stays_a_circle(centre: tuple[float, float], radius: float, shift: tuple[float, float]) -> None:
    hole = Circle(centre, radius, INK, "TOP_THROUGH_28")
    (entity,) = read(dxf.write(scene(Group((hole,), shift=shift)))).modelspace()
    assert entity.dxftype() == "CIRCLE"
    assert entity.dxf.radius == pytest.approx(radius, abs=1e-9)
    assert tuple(entity.dxf.center)[:2] == pytest.approx((centre[0] + shift[0], centre[1] + shift[1]), abs=1e-9)


def test_an_outline_is_one_closed_polyline_with_bulges() -> None:
    (entity,) = read(dxf.write(scene(OUTLINE))).modelspace()
    assert isinstance(entity, LWPolyline)
    assert entity.closed
    assert len(entity) == 6
    # A quarter turn has a bulge of tan(90° / 4) = √2 − 1.
    assert [round(v[4], 9) for v in entity if v[4]] == [pytest.approx(sqrt(2) - 1)] * 2


def test_an_outline_that_returns_to_its_start_does_not_repeat_the_point() -> None:
    steps = (LineTo((10.0, 0.0)), LineTo((10.0, 5.0)), LineTo((0.0, 5.0)), LineTo((0.0, 0.0)))
    (entity,) = read(dxf.write(scene(Path((0.0, 0.0), steps, INK, True, "OUTLINE")))).modelspace()
    assert isinstance(entity, LWPolyline)
    assert entity.closed
    assert len(entity) == 4


def test_areas_agree_with_klayout(tmp_path: object) -> None:
    hole = Circle((300.0, 110.0), 15.0, INK, "TOP_THROUGH_30")
    slot = Path(
        (100.0, 100.0),
        (LineTo((120.0, 100.0)), ArcTo((120.0, 110.0), (120.0, 105.0), 180.0), LineTo((100.0, 110.0)),
         ArcTo((100.0, 100.0), (100.0, 105.0), 180.0)),
        INK, closed=True, layer="TOP_SLOT",
    )  # fmt: skip
    curve = Path(
        (0.0, 0.0),
        (CubicTo((0.0, 40.0), (60.0, 40.0), (60.0, 0.0)),),
        INK, closed=True, layer="RECESS",
    )  # fmt: skip
    areas = klayout_areas(dxf.write(scene(OUTLINE, hole, slot, curve)), str(tmp_path))
    # KLayout makes a polygon of 720 points around a circle: (tan x) / x more area, x = π / 720.
    assert areas["TOP_THROUGH_30"] == pytest.approx(pi * 15.0**2, rel=2e-5)
    assert areas["OUTLINE"] == pytest.approx(OUTLINE_AREA, rel=2e-5)
    # A slot: a rectangle 20 × 10 and two half circles.
    assert areas["TOP_SLOT"] == pytest.approx(200.0 + pi * 5.0**2, rel=2e-5)
    assert areas["RECESS"] == pytest.approx(bezier_area(), rel=1e-4)


def bezier_area() -> float:
    """∫ y dx of the curve (0,0) (0,40) (60,40) (60,0), by Simpson's rule on its exact polynomials."""
    n = 2000

    def integrand(t: float) -> float:
        y = 3 * t * (1 - t) ** 2 * 40 + 3 * t**2 * (1 - t) * 40
        dx = 6 * t * (1 - t) * 60
        return y * dx

    weights = [1, *([4, 2] * (n // 2 - 1)), 4, 1]
    return sum(w * integrand(i / n) for i, w in enumerate(weights)) / (3 * n)


@pytest.mark.parametrize(("start", "sweep"), [(10.0, 100.0), (110.0, -100.0), (350.0, 40.0), (-20.0, 300.0)])
def test_an_arc_covers_the_same_angles(start: float, sweep: float) -> None:
    (entity,) = read(dxf.write(scene(Arc((50.0, 60.0), 25.0, start, sweep, INK, "MARK")))).modelspace()
    assert entity.dxftype() == "ARC"
    low, high = sorted((start, start + sweep))
    assert entity.dxf.start_angle % 360 == pytest.approx(low % 360)
    assert (entity.dxf.end_angle - entity.dxf.start_angle) % 360 == pytest.approx(high - low)


def test_a_full_turn_is_a_circle_and_a_line_a_line() -> None:
    items = (
        Arc((50.0, 60.0), 25.0, 30.0, -360.0, INK, "A"),
        Line((0.0, 0.0), (100.0, 50.0), INK, "B"),
        Text((5.0, 6.0), "CHECK 50", 5.0, INK, layer="C", angle=90.0),
    )
    circle, line, text = read(dxf.write(scene(*items))).modelspace()
    assert (circle.dxftype(), line.dxftype(), text.dxftype()) == ("CIRCLE", "LINE", "TEXT")
    assert tuple(line.dxf.end)[:2] == (100.0, 50.0)
    assert text.dxf.text == "CHECK 50"
    assert text.dxf.rotation == 90.0
    assert text.dxf.height == pytest.approx(3.3)


def test_only_items_with_a_layer_are_written_and_no_layer_is_empty() -> None:
    items = (
        OUTLINE,
        Circle((10.0, 10.0), 5.0, INK),
        Text((0.0, 0.0), "a note", 4.0, INK),
        Circle((50.0, 50.0), 16.0, INK, "UNDER_COUNTERBORE_32_DEPTH_9.5"),
    )
    data = dxf.write(scene(*items))
    used = {entity.dxf.layer for entity in read(data).modelspace()}
    assert used == {"OUTLINE", "UNDER_COUNTERBORE_32_DEPTH_9.5"}
    # Layer 0 is demanded by the format and cannot be left out.
    assert set(layers_in_file(data)) == used | {"0"}


def test_the_same_cut_is_written_once() -> None:
    items = (
        Circle((10.0, 10.0), 5.0, INK, "A"),
        Group((Circle((0.0, 10.0), 5.0, INK, "A"),), shift=(10.0, 0.0)),
        Circle((10.0, 10.0), 5.0, INK, "B"),
        Line((0.0, 0.0), (9.0, 0.0), INK, "A"),
        Line((9.0, 0.0), (0.0, 0.0), INK, "A"),
        Arc((0.0, 0.0), 5.0, 0.0, 90.0, INK, "A"),
        Arc((0.0, 0.0), 5.0, 90.0, -90.0, INK, "A"),
        OUTLINE,
        OUTLINE,
    )
    kinds = sorted((e.dxftype(), e.dxf.layer) for e in read(dxf.write(scene(*items))).modelspace())
    assert kinds == [("ARC", "A"), ("CIRCLE", "A"), ("CIRCLE", "B"), ("LINE", "A"), ("LWPOLYLINE", "OUTLINE")]


@given(st.lists(st.text(st.characters(codec="utf-8"), min_size=1, max_size=300), max_size=8))
def test_layer_names_are_valid_and_stay_apart(layers: list[str]) -> None:
    names = dxf.layer_names(layers)
    assert set(names) == set(layers)
    assert len(set(names.values())) == len(names)
    for name in names.values():
        # Characters that DXF forbids in a name are < > / \ " : ; ? * | = ` and ,
        assert re.fullmatch(r"[A-Z0-9_.-]{1,255}", name)
        assert name != "0"


def test_trade_names_of_layers_are_kept() -> None:
    wanted = ["TOP_THROUGH_28", "UNDER_COUNTERBORE_32_DEPTH_9.5", "OUTLINE", "CHECK_SQUARE"]
    assert list(dxf.layer_names(wanted).values()) == wanted
    assert dxf.layer_names(["a/b", "a:b"]) == {"a/b": "A_B", "a:b": "A_B_2"}


def test_the_same_scene_gives_the_same_bytes() -> None:
    drawing = scene(OUTLINE, Circle((50.0, 50.0), 15.0, INK, "TOP_THROUGH_30"), title="Deck Ω", note="mm")
    first = dxf.write(drawing)
    dxf.write(scene(Circle((1.0, 1.0), 1.0, INK, "X")))
    assert dxf.write(drawing) == first
    assert not ezdxf_options.write_fixed_meta_data_for_testing, "the library's own switch is left on"


@pytest.mark.parametrize("words", ['</x>"', "a\n  0\nEOF\n", "nul \x00", "lone \ud800", "Ω Ж 漢", "%%c ^J {\\f}"])
def test_hostile_words_do_not_break_the_file(words: str) -> None:
    drawing = scene(OUTLINE, Text((0.0, 0.0), words, 4.0, INK, layer=words), title=words, note=words)
    document = read(dxf.write(drawing))
    assert len(document.modelspace()) == 2


def test_nothing_to_cut_is_an_error() -> None:
    with pytest.raises(WriterError, match="nothing to cut"):
        dxf.write(scene(Circle((10.0, 10.0), 5.0, INK)))


def test_a_clipped_cut_is_refused_because_it_would_come_out_whole() -> None:
    with pytest.raises(WriterError, match="clip"):
        dxf.write(scene(Group((Group((OUTLINE,)),), clip=(0.0, 0.0, 100.0, 100.0))))


AT_ONCE = """
import sys, threading
from app.scene.primitives import Circle, Scene
from app.writers import dxf
from tests.unit.writers.scenes import INK

scene, failed = Scene(0, 0, 9, 9, (Circle((4, 4), 2, INK, "CUT"),)), []
half_way, overtaken = threading.Event(), threading.Event()

class Half:
    def find_spec(self, name, path=None, target=None):
        if name == "ezdxf.colors":
            half_way.set()
            overtaken.wait(0.5)
        elif name == "ezdxf.filemanagement":
            overtaken.set()

def drawn():
    try:
        dxf.write(scene)
    except Exception as error:
        failed.append(repr(error))

second = threading.Thread(target=lambda: (half_way.wait(), drawn()))
sys.meta_path.insert(0, Half())
second.start()
drawn()
second.join()
assert half_way.is_set()
print(failed)
"""


def test_two_drawings_at_once_are_both_written_while_the_library_is_still_being_imported() -> None:
    """As a page asks for the proof of a file and somebody presses its button, first thing after a start."""
    done = subprocess.run([sys.executable, "-c", AT_ONCE], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "[]"
