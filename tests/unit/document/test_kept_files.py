"""Files of every version with an example of every field it had, written by the program of that version.

What is kept here is never written again. Whoever adds a field to the version that is not out yet adds an example of it
to its file by hand; the test says which are missing.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import load, loads
from app.document.migrate import migrate
from app.document.resolve import resolve
from app.document.schema import VERSION, Design
from app.errors import VersionError
from app.service.checks.checking import check_design

KEPT = Path(__file__).parent
VERSIONS = range(1, VERSION + 1)
ALWAYS = {"Design.format", "Design.version"}
"""What every file says, so that no example of it is another than usual."""


def kept_file(version: int) -> Path:
    return KEPT / f"every_field_{version}.json"


def said_by(thing: object) -> set[str]:
    """Every field of a design that is not at its default somewhere in it, with the kind of object it is in."""
    if isinstance(thing, tuple | list):
        return set().union(*map(said_by, thing))
    if not isinstance(thing, BaseModel):
        return set()
    found = set[str]()
    for name, field in type(thing).model_fields.items():
        value = getattr(thing, name)
        if field.is_required() or value != field.default:
            found.add(f"{type(thing).__name__}.{name}")
        found |= said_by(value)
    return found


def listed(version: int) -> set[str]:
    return set((KEPT / f"fields_of_version_{version}.txt").read_text(encoding="utf-8").split())


def test_the_file_of_this_version_has_an_example_of_every_field() -> None:
    assert listed(VERSION) - said_by(load(kept_file(VERSION))) == ALWAYS


@pytest.mark.parametrize("version", [v for v in VERSIONS if (KEPT / f"fields_of_version_{v}.txt").exists()])
def test_the_file_of_an_earlier_version_has_an_example_of_every_field_it_had(version: int) -> None:
    """Names have changed since version 1; those of the later versions have only become more."""
    assert listed(version) - said_by(load(kept_file(version))) <= ALWAYS


@pytest.mark.parametrize("version", VERSIONS)
def test_a_file_with_every_field_opens_whole_is_judged_and_is_written_alike_from_then_on(version: int) -> None:
    raw: dict[str, Any] = json.loads(kept_file(version).read_text(encoding="utf-8"))
    assert raw["version"] == version
    design = load(kept_file(version))
    text = dumps(design)
    assert loads(text) == design
    assert dumps(loads(text)) == text
    if version == VERSION:
        assert text == kept_file(version).read_text(encoding="utf-8")
    for board in design.boards:
        for arrangement in board.arrangements:
            resolve(design, board.id, arrangement.id, catalogue())
    assert check_design(design)


@pytest.mark.parametrize("version", VERSIONS)
def test_nothing_of_an_older_file_is_lost(version: int) -> None:
    """Every number and word of the file is in the design it becomes, but the number of its version."""
    raw: dict[str, Any] = json.loads(kept_file(version).read_text(encoding="utf-8"))
    was, now = ([*values_of({**each, "version": 0})] for each in (raw, json.loads(dumps(load(kept_file(version))))))
    for value in was:
        assert value in now
        now.remove(value)


def values_of(raw: object) -> list[object]:
    if isinstance(raw, dict):
        return [value for each in raw.values() for value in values_of(each)]
    if isinstance(raw, list):
        return [value for each in raw for value in values_of(each)]
    return [raw]


def test_a_newer_file_is_refused_with_the_version_that_is_needed_and_the_one_there_is() -> None:
    raw = {**json.loads(kept_file(VERSION).read_text(encoding="utf-8")), "version": VERSION + 1, "news": {"x": 1}}
    with pytest.raises(VersionError) as caught:
        loads(json.dumps(raw))
    said = str(caught.value)
    assert f"its version is {VERSION + 1}" in said
    assert f"up to {VERSION}" in said
    assert "Update Holewise" in said
    with pytest.raises(VersionError):
        migrate(raw)
    assert Design.model_fields["version"].default == VERSION
