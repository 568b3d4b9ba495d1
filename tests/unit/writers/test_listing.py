"""The plain listing follows its own grammar."""

import json

from hypothesis import given
from hypothesis import strategies as st

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
from app.writers import listing
from tests.unit.writers.scenes import scene

INK = Style(stroke="#000000", width=0.5)


def lines(*items: Line | Circle | Arc | Path | Text | Group) -> list[str]:
    return listing.write(scene(*items, size=(100.0, 50.0), title="Deck", note="mm")).splitlines()


def test_every_primitive_is_one_line_of_the_grammar() -> None:
    dashed = Style(stroke=None, width=0.5, dash=(2.0, 1.0), fill="#ffffff", opacity=0.5, role="hole")
    path = Path(
        (0.0, 0.0),
        (LineTo((5.0, 0.0)), ArcTo((0.0, 5.0), (0.0, 0.0), 90.0), CubicTo((1.0, 2.0), (3.0, 4.0), (5.0, 6.0))),
        INK,
        closed=True,
        layer="OUTLINE",
    )
    assert lines(
        Line((0.0, -0.0001), (10.0, 20.0), INK),
        Circle((1.0, 2.0), 1 / 3, dashed, "TOP"),
        Arc((1.0, 2.0), 3.0, 45.0, -90.0, INK),
        path,
        Text((1.0, 2.0), 'A "b"', 4.0, INK, anchor="end", angle=90.0, bold=True),
    ) == [
        'scene 0.000 0.000 100.000 50.000 "Deck" "mm"',
        "line 0.000 0.000 10.000 20.000 stroke #000000 0.500 fill none",
        'circle 1.000 2.000 0.333 stroke none fill #ffffff opacity 0.500 role "hole" layer "TOP"',
        "arc 1.000 2.000 3.000 45.000 -90.000 stroke #000000 0.500 fill none",
        (
            "path closed 0.000 0.000 L 5.000 0.000 A 0.000 5.000 0.000 0.000 90.000 "
            'C 1.000 2.000 3.000 4.000 5.000 6.000 stroke #000000 0.500 fill none layer "OUTLINE"'
        ),
        'text 1.000 2.000 4.000 end 90.000 bold "A \\"b\\"" stroke #000000 0.500 fill none',
    ]


def test_groups_indent_and_shift_what_is_in_them() -> None:
    inner = Group((Circle((0.0, 0.0), 1.0, INK),), name="inner", clip=(0.0, 0.0, 5.0, 5.0), shift=(1.0, 0.0))
    outer = Group((inner,), name="outer", role="r", data={"placement": "p 1"}, title="T", shift=(0.0, 2.0))
    assert lines(outer, Line((0.0, 0.0), (1.0, 0.0), INK))[1:] == [
        'group "outer" "r" "placement=p 1" "T"',
        '  group "inner" "" "" clip 1.000 2.000 6.000 7.000',
        "    circle 1.000 2.000 1.000 stroke #000000 0.500 fill none",
        "line 0.000 0.000 1.000 0.000 stroke #000000 0.500 fill none",
    ]


@given(words=st.text(st.characters(codec=None), max_size=40))
def test_words_cannot_be_mistaken_for_the_grammar(words: str) -> None:
    text = listing.write(Scene(0.0, 0.0, 9.0, 9.0, (Text((0.0, 0.0), words, 4.0, INK),)))
    text.encode("utf-8")
    assert len(text.splitlines()) == 2
    start = text.index("plain ") + len("plain ")
    decoded, _ = json.JSONDecoder().raw_decode(text[start:])
    assert decoded == words
