"""Whatever is stored and differs is said: a walk over every field of the schema, one design for each."""

from __future__ import annotations

from functools import cache

from app.catalogue.load import catalogue
from app.compare.applying import applied
from app.compare.change import Change
from app.compare.compared import compared, unsaid
from app.document.schema import Design
from app.units import Unit
from tests.unit.compare.every_field import SCHEMA, Place, changes, filled

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


@cache
def said() -> tuple[tuple[str, Place, tuple[Change, ...]], ...]:
    """What is said of each changed field; the laws of applying and of what goes unsaid are held on the way."""
    base = Design.model_validate(filled())
    found = []
    for name, place, design in changes():
        comparison = compared(base, design, catalogue(), Unit.MM, judge=False)
        assert not comparison.is_same, (name, place)
        assert applied(base, comparison.differences).model_dump() == design.model_dump(), (name, place)
        assert bool(unsaid(comparison)) is (name in UNTOLD), (name, place, unsaid(comparison))
        assert bool(comparison.changes) is (name not in UNTOLD), (name, place)
        found.append((name, place, comparison.changes))
    return tuple(found)


def test_a_change_of_any_stored_field_is_said() -> None:
    walked = {name for name, _, _ in said()}
    assert every_field() - walked == (SAME_FOR_ALL | BY_THEIR_PARTS | named_kinds()) - walked
    assert walked >= UNTOLD


def test_it_is_said_as_a_builder_speaks() -> None:
    """No name of a field with its underline, nothing that was and is the same, no word for a field alone."""
    for name, place, changed in said():
        for change in changed:
            sentence = change.sentence
            assert "_" not in sentence, (name, sentence)
            assert not change.words.startswith("has another "), (name, sentence)
            assert " is another." not in sentence, (name, sentence)
            assert change.before != change.after or not change.before, (name, place, sentence)
            assert "is none, was of" not in sentence


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
