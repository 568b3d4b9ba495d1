"""What is to be done hole by hole, as a table for pages, sheets and files."""

from __future__ import annotations

from app.retrofit.retrofit import Retrofit
from app.retrofit.words import new_words, old_words
from app.scene.table import Column, Table, Value
from app.units import Unit

_COLUMNS = (
    Column("number", "No.", "count"),
    Column("hole", "Hole"),
    Column("kind", "What"),
    Column("done", "How"),
    Column("left", "Left", "length"),
    Column("front", "Front", "length"),
    Column("width", "Wide", "length"),
    Column("minutes", "Work", "minutes"),
    Column("tick", "", "tick"),
)
KIND_WORDS = {"keep": "keep", "enlarge": "enlarge", "plug": "plug", "open": "leave"}


def retrofit_table(found: Retrofit, unit: Unit, *, stays: bool = True) -> Table:
    """Everything that has to be done, in the order it is done; then what ``stays`` as it is, if that is wanted."""
    rows: list[tuple[Value, ...]] = [
        ("the board", "saw", w.words, None, None, None, w.minutes, None) for w in found.board
    ]
    by_kind: dict[str, list[tuple[Value, ...]]] = {"plug": [], "enlarge": [], "open": [], "keep": []}
    for step in found.old_steps:
        x, y = step.cut.shape.centre
        wide = step.taken.wide if step.taken.kind == "plug" and step.taken.wide else step.cut.width
        enlarged = next((s for s in found.new_steps if step.guide and s.cut is step.new), None)
        if enlarged is not None:
            (x, y), wide = enlarged.cut.shape.centre, enlarged.cut.width
        minutes = step.taken.minutes + (enlarged.minutes if enlarged else 0.0)
        kind = KIND_WORDS[step.taken.kind]
        if step.taken.kind == "enlarge" and not step.guide:
            kind = "goes"
        words = old_words(step, found, unit)
        by_kind[step.taken.kind].append((f"old {step.cut.name}", kind, words, x, y, wide, minutes, None))
    guided = {step.new.key for step in found.old_steps if step.guide and step.new is not None}
    fresh = [
        (f"new {s.cut.name}", "drill", new_words(s, unit), *s.cut.shape.centre, s.cut.width, s.minutes, None)
        for s in found.new_steps
        if s.kept is None and s.cut.key not in guided
    ]
    rows += [*by_kind["plug"], *by_kind["enlarge"], *fresh]
    if stays:
        rows += [*by_kind["open"], *by_kind["keep"]]
    numbered = tuple((n, *row) for n, row in enumerate(rows, 1))
    return Table("retrofit", "What to do, hole by hole", _COLUMNS, numbered, unit)
