"""Older files made current step by step; the format of today has no older one yet, so the steps are made up."""

from __future__ import annotations

import json
from typing import Any

import pytest

from app.document.dump import dumps
from app.document.load import validated
from app.document.migrate import STEPS, migrate
from app.document.schema import VERSION
from app.errors import DocumentError, VersionError
from tests.unit.document.designs import small_design

Raw = dict[str, Any]


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
