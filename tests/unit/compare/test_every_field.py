"""Whatever is stored and differs is said: a walk over every field of the schema, one design for each."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.compare.applying import applied
from app.compare.change import Change
from app.compare.compared import compared, unsaid
from app.compare.difference import differences_of
from app.document.schema import Design
from app.units import Unit
from tests.unit.compare.every_field import SCHEMA, changes, filled

SAME_FOR_ALL = {"Design.format", "Design.version"}
UNTOLD = {"Design.gone", "BoardEntry.gone", "ArrangementEntry.retired"}
"""Ids and letters kept so that they are not given again: nobody needs to be told, but that something is, is said."""
BY_THEIR_PARTS = {"BoardEntry.outline", "PatternEntry.boundary"}
"""Walked field by field below."""


def named_kinds() -> set[str]:
    """Fields that say which kind an object is: they never change by themselves."""
    return {
        f"{name}.{field}"
        for name, each in SCHEMA["$defs"].items()
        for field, of in each.get("properties", {}).items()
        if "const" in of
    }


def every_field() -> set[str]:
    of_design = {f"Design.{field}" for field in SCHEMA["properties"]}
    objects = {n: each for n, each in SCHEMA["$defs"].items() if "properties" in each}
    return of_design | {f"{name}.{field}" for name, each in objects.items() for field in each["properties"]}


def test_a_change_of_any_stored_field_is_said_as_a_builder_speaks() -> None:
    """Something is said of each, the laws hold of each, and no sentence is put together from the names of fields."""
    base, walked = Design.model_validate(filled()), set()
    for name, place, design in changes():
        found = compared(base, design, catalogue(), Unit.MM, judge=False)
        assert not found.is_same, (name, place)
        assert tuple(d.inverse for d in found.differences) == differences_of(design, base), (name, place)
        assert applied(base, found.differences) == design, (name, place)
        assert bool(unsaid(found)) is (name in UNTOLD), (name, place, unsaid(found))
        assert bool(found.changes) is (name not in UNTOLD), (name, place)
        for change in found.changes:
            _spoken(name, change)
        walked.add(name)
    assert every_field() - walked == (SAME_FOR_ALL | BY_THEIR_PARTS | named_kinds()) - walked
    assert walked >= UNTOLD


def _spoken(name: str, change: Change) -> None:
    """No name of a field with its underline, nothing that was and is the same, no word for a field alone."""
    sentence = change.sentence
    assert "_" not in sentence, (name, sentence)
    assert not change.words.startswith("has another "), (name, sentence)
    assert " is another." not in sentence, (name, sentence)
    assert "is none, was of" not in sentence, (name, sentence)
    assert change.before != change.after or not change.before, (name, sentence)


def test_measured_trial_cuts_resize_holes_that_nobody_touched() -> None:
    """A hole that was measured makes its bit as wide, so boards drilled by it differ."""
    raw = filled()
    bit = {"kind": "forstner", "diameter": 28.0, "reach": 60.0, "inch": False}
    raw["shop"]["bits"] = [bit]
    trial = {"sort": "hole", "part": None, "kind": "forstner", "diameter": 28.0, "fit": None, "material": "",
             "when": None}  # fmt: skip
    before, after = (Design.model_validate({**raw, "coupon": [{**trial, "measured": wide}]}) for wide in (None, 28.3))
    sentences = [change.sentence for change in compared(before, after, catalogue(), Unit.MM, judge=False).changes]
    assert "The results of trial cuts have changed." in sentences
    assert any(" is drilled 28.3 mm, was 28 mm." in sentence for sentence in sentences), sentences
