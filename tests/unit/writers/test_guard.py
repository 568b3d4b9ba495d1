"""What no writer accepts."""

import pytest

from app.errors import WriterError
from app.scene.primitives import Arc, ArcTo, Circle, Group, Item, Line, Path, Scene, Style, Text
from app.writers import guard

INK = Style()
BAD: list[tuple[Item, str]] = [
    (Circle((0.0, 0.0), 0.0, INK), "radius"),
    (Circle((0.0, 0.0), -1.0, INK), "radius"),
    (Arc((0.0, 0.0), 0.0, 0.0, 90.0, INK), "radius"),
    (Arc((0.0, 0.0), 1.0, 0.0, float("nan"), INK), "cannot be drawn"),
    (Line((0.0, 0.0), (float("inf"), 0.0), INK), "cannot be drawn"),
    (Path((0.0, 0.0), (ArcTo((10.0, 0.0), (4.0, 0.0), 180.0),), INK), "from its centre"),
    (Path((0.0, 0.0), (ArcTo((0.0, 0.0), (0.0, 0.0), 180.0),), INK), "from its centre"),
    (Text((0.0, 0.0), "x", 0.0, INK), "more than 0"),
    (Line((0.0, 0.0), (1.0, 0.0), Style(width=-0.1)), "negative"),
    (Line((0.0, 0.0), (1.0, 0.0), Style(opacity=1.5)), "opacity"),
    (Line((0.0, 0.0), (1.0, 0.0), Style(dash=(0.0, 0.0))), "dashes"),
    (Group((), clip=(0.0, 0.0, 0.0, 5.0)), "clip"),
    (Group((), shift=(float("nan"), 0.0)), "shift"),
    (Group((Group((), name="a"), Group((), name="a"))), "unique"),
]


@pytest.mark.parametrize(("item", "words"), BAD)
def test_an_item_that_cannot_be_drawn_is_refused(item: Item, words: str) -> None:
    with pytest.raises(WriterError, match=words):
        guard.check_items([Group((item,))])


def test_a_group_of_several_drawings_is_looked_at_in_each_for_its_name_and_once_for_its_numbers() -> None:
    inner = Group((Circle((0.0, 0.0), 1.0, INK),), name="inner")
    same = Group((inner,), name="same")
    first, second = (Scene(0.0, 0.0, 9.0, 9.0, (same, *more)) for more in ((), (Group((), name="inner"),)))
    guard.check_scenes([first, first])
    with pytest.raises(WriterError, match="unique"):
        guard.check_scenes([first, second])
    bad = Scene(0.0, 0.0, 9.0, 9.0, (same, Circle((0.0, 0.0), -1.0, INK)))
    with pytest.raises(WriterError, match="radius"):
        guard.check_scenes([first, bad])


@pytest.mark.parametrize("window", [(0.0, 0.0, 0.0, 10.0), (0.0, 10.0, 5.0, 0.0), (0.0, 0.0, float("nan"), 1.0)])
def test_a_window_must_enclose_something(window: tuple[float, float, float, float]) -> None:
    with pytest.raises(WriterError, match=r"more than 0|cannot be drawn"):
        guard.check_scene(Scene(*window, ()))


def test_words_keep_every_ordinary_letter() -> None:
    text = "Křídlo Ünïcode Ω Ж 漢字 ½ ″ 🙂"
    assert guard.words(text) == text
    assert guard.words("a\nb\tc\x00d\ud800e\u202ef") == "a b c\ufffdd\ufffde\ufffdf"
