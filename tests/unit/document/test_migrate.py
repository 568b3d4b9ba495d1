"""Older files made current step by step; and a rule of the house: a new field means a new version of the file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from app.document.dump import dumps
from app.document.load import load, loads, validated
from app.document.migrate import STEPS, migrate
from app.document.schema import VERSION, Design
from app.errors import DocumentError, VersionError
from tests.unit.document.designs import small_design

Raw = dict[str, Any]

KEPT = Path(__file__).parent
VERSIONS = range(1, VERSION + 1)


def named_name(raw: Raw) -> Raw:
    """From a made-up version 1 that called the title ``name``."""
    rest = {key: value for key, value in raw.items() if key != "name"}
    return {**rest, "title": raw["name"]}


def without_colour(raw: Raw) -> Raw:
    """From a made-up version 2 that had a colour."""
    return {key: value for key, value in raw.items() if key != "colour"}


def old_file() -> Raw:
    raw: Raw = json.loads(dumps(small_design()))
    raw["name"] = raw.pop("title")
    return {**raw, "version": 1, "colour": "tan"}


def test_each_step_is_taken_once_and_in_order() -> None:
    new = migrate(old_file(), {1: named_name, 2: without_colour}, current=3)
    assert new["version"] == 3
    assert validated({**new, "version": VERSION}) == small_design()


def test_migrating_leaves_what_was_read_as_it_was() -> None:
    raw = old_file()
    before = json.dumps(raw)
    migrate(raw, {1: named_name, 2: without_colour}, current=3)
    assert json.dumps(raw) == before


def test_a_current_file_is_left_as_it_is() -> None:
    raw = {**old_file(), "version": 3}
    assert migrate(raw, {1: named_name, 2: without_colour}, current=3) is raw


def test_there_is_a_step_from_every_older_version() -> None:
    assert set(STEPS) == set(range(1, VERSION))


def test_a_newer_file_is_refused() -> None:
    with pytest.raises(VersionError, match="its version is 4, and this one reads up to 3"):
        migrate({**old_file(), "version": 4}, {}, current=3)


@pytest.mark.parametrize("version", [None, True, 0, -1, 1.0, "1", [1]])
def test_a_version_that_is_no_whole_number_from_1_is_refused(version: object) -> None:
    with pytest.raises(DocumentError, match="The version is a whole number from 1 to 3") as caught:
        migrate({**old_file(), "version": version}, {}, current=3)
    assert caught.value.place == "version"


def kept(version: int) -> str:
    """The same design as a program of that version wrote it."""
    return (KEPT / f"version_{version}.json").read_text(encoding="utf-8")


@pytest.mark.parametrize("version", VERSIONS)
def test_a_file_of_every_version_opens_and_is_the_same_design(version: int) -> None:
    """Whoever raises the version keeps a file of the one before."""
    assert json.loads(kept(version))["version"] == version
    title = f"Kept from version {VERSION}"
    assert dumps(load(KEPT / f"version_{version}.json").model_copy(update={"title": title})) == kept(VERSION)


def test_what_version_1_called_ease_is_the_set_back_of_its_corner() -> None:
    outline, read = json.loads(kept(1))["boards"][0]["outline"], loads(kept(1)).boards[0].outline
    rings = zip([outline["corners"], *outline["openings"]], [read.corners, *read.openings], strict=True)
    pairs = [pair for was, now in rings for pair in zip(was, now, strict=True)]
    assert len([was for was, _ in pairs if "ease" in was]) == 5
    for was, now in pairs:
        assert (was["x"], was["y"], tuple(was.get("ease", ()))) == (now.x, now.y, now.setback or ())


@pytest.mark.parametrize(
    ("version", "spelled", "place"),
    [
        (1, "setback", "boards[0].outline.corners[2].setback"),
        (VERSION, "ease", "boards[0].outline.corners[2].ease"),
    ],
)
def test_no_version_takes_the_name_of_another(version: int, spelled: str, place: str) -> None:
    raw = json.loads(kept(version))
    raw["boards"][0]["outline"]["corners"][2] = {"x": 400.0, "y": 200.0, spelled: [40.0, 30.0]}
    with pytest.raises(DocumentError, match="Unknown field") as caught:
        loads(json.dumps(raw))
    assert caught.value.place == place


@pytest.mark.parametrize(
    "odd", [None, 7, "deck", [], [None], [[]], {}, {"corners": 3}, {"corners": [4], "openings": 5}]
)
@pytest.mark.parametrize("where", ["boards", "board", "outline", "openings"])
def test_a_step_leaves_what_is_no_design_to_the_schema(where: str, odd: object) -> None:
    raw = json.loads(kept(1))
    if where == "boards":
        raw["boards"] = odd
    elif where == "board":
        raw["boards"][0] = odd
    else:
        (raw["boards"][0] if where == "outline" else raw["boards"][0]["outline"])[where] = odd
    if (where, odd) == ("openings", []):  # an outline may have none
        assert loads(json.dumps(raw)).boards[0].outline.openings == ()
        return
    with pytest.raises(DocumentError) as caught:
        loads(json.dumps(raw))
    assert (caught.value.place or "").startswith("boards")


def fields_of(schema: Raw) -> list[str]:
    """Every field that a file may have, with the kind of object it is in."""
    objects = {"Design": schema, **schema["$defs"]}
    return sorted(f"{name}.{field}" for name, each in objects.items() for field in each.get("properties", ()))


def test_the_fields_are_those_this_version_was_published_with() -> None:
    """A field that comes, goes or is renamed raises the version, has a step in ``migrate`` and a kept file here."""
    listed = (KEPT / f"fields_of_version_{VERSION}.txt").read_text(encoding="utf-8").split()
    assert fields_of(Design.model_json_schema()) == listed
