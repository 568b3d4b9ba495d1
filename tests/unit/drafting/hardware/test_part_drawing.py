"""A part by itself: every measure is drawn once, at its own length, and can be read."""

from __future__ import annotations

import math
import re

import pytest

from app.arrange.hardware.measures import PartMeasure, caliper, measures_of
from app.arrange.hardware.part_rows import entry_of
from app.catalogue.load import catalogue
from app.drafting.hardware.part_drawing import part_drawing
from app.model.part import Part
from app.scene.metrics import text_box
from app.scene.palette import TEAL_DEEP
from app.scene.primitives import Group, Item, Line, Scene, Text
from app.units import Unit
from app.writers import svg
from tests.folding import each

PARTS = list(catalogue().parts.values())
each_part = each("part", PARTS)


def drawn(part: Part, *, thickness: float = 18.0, unit: Unit = Unit.MM, highlight: str = "") -> Scene:
    return part_drawing(part, taken(part), thickness=thickness, unit=unit, highlight=highlight)


def taken(part: Part) -> tuple[PartMeasure, ...]:
    return measures_of(entry_of(part))


def groups(scene: Scene) -> dict[str, Group]:
    return {g.data["measure"]: g for g in scene.items if isinstance(g, Group) and g.data}


def words(group: Group) -> Text:
    (text,) = [item for item in group.items if isinstance(item, Text)]
    return text


def measured_line(group: Group) -> Line:
    """The line between the ticks: the first that is drawn as a dimension."""
    return next(item for item in group.items if isinstance(item, Line) and item.style.role == "dimension")


@each_part
@each("thickness", [3.0, 18.0, 25.4])
def test_every_measure_is_drawn_once_at_its_own_length(part: Part, thickness: float) -> None:
    scene = drawn(part, thickness=thickness)
    found = groups(scene)
    assert sorted(found) == sorted(m.name for m in taken(part))
    assert len(found) == sum(isinstance(g, Group) and bool(g.data) for g in scene.items)
    for measure in taken(part):
        line = measured_line(found[measure.name])
        assert math.dist(line.a, line.b) == pytest.approx(measure.value, abs=1e-9), measure.name
        assert line.a[0] == line.b[0] or line.a[1] == line.b[1]


@each_part
@each("unit", list(Unit))
def test_each_figure_says_what_it_is(part: Part, unit: Unit) -> None:
    found = groups(drawn(part, unit=unit))
    for measure in taken(part):
        assert words(found[measure.name]).text == f"{measure.words} {caliper(measure.value, unit)}"


@each_part
def test_figures_do_not_run_into_each_other_and_lie_in_the_drawing(part: Part) -> None:
    scene = drawn(part)
    boxes = {name: text_box(words(g)) for name, g in groups(scene).items()}
    for name, box in boxes.items():
        assert scene.x0 <= box[0][0] and box[2][0] <= scene.x1
        assert scene.y0 <= box[0][1] and box[2][1] <= scene.y1
        for other, across in boxes.items():
            if name < other:
                beside = box[2][0] < across[0][0] or across[2][0] < box[0][0]
                # Descenders of one line may reach the ascenders of the next by a hair.
                above = box[2][1] < across[0][1] + 0.05 or across[2][1] < box[0][1] + 0.05
                assert beside or above, (name, other)


@each_part
def test_only_what_is_asked_for_is_brought_out(part: Part) -> None:
    for measure in taken(part):
        found = groups(drawn(part, highlight=measure.name))
        bold = {name for name, g in found.items() if words(g).bold}
        teal = {name for name, g in found.items() if measured_line(g).style.stroke == TEAL_DEEP}
        marked = {name for name, g in found.items() if "on" in g.role.split()}
        assert bold == teal == marked == {measure.name}
        wide = measured_line(found[measure.name]).style.width
        assert all(wide > measured_line(g).style.width for name, g in found.items() if name != measure.name)
    plain = groups(drawn(part))
    assert not any(words(g).bold or "on" in g.role.split() for g in plain.values())


def test_a_longer_thread_reaches_farther_down() -> None:
    """The thread hangs from the top face, y = 0, and the nut bears on the underside, 18 mm below it."""
    part = catalogue().parts["button-28-nut-long"]
    found = groups(drawn(part))
    thread, nut = measured_line(found["thread_length"]), measured_line(found["nut_height"])
    assert (max(thread.a[1], thread.b[1]), min(thread.a[1], thread.b[1])) == (0.0, -34.0)
    assert (max(nut.a[1], nut.b[1]), min(nut.a[1], nut.b[1])) == (-18.0, -24.0)


@each_part
def test_it_can_stand_on_a_page(part: Part) -> None:
    text = svg.embed(drawn(part), ident="part-drawing", role="part-drawing")
    assert text == svg.embed(drawn(part), ident="part-drawing", role="part-drawing")
    assert "style=" not in text and "<script" not in text
    assert set(re.findall(r'data-measure="([a-z_]+)"', text)) == {m.name for m in taken(part)}


def test_letters_are_one_share_of_the_drawing() -> None:
    """A thumb-size button and a hand-size trackball are read alike: their letters differ by less than a half."""
    shares = []
    for part in PARTS:
        scene = drawn(part)
        text: Item = words(next(iter(groups(scene).values())))
        assert isinstance(text, Text)
        shares.append(text.size / scene.height)
    assert max(shares) < 1.5 * min(shares)
