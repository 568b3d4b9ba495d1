"""Files that are broken, huge or hostile: always a DocumentError that names the place and the remedy."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.document.dump import dumps
from app.document.load import loads
from app.document.schema import VERSION, Design
from app.errors import DocumentError, SizeError, VersionError
from app.model.limits import FILE, NESTING, VALUES
from tests.unit.document.designs import designs, small_design

TEXT = dumps(small_design())
Raw = dict[str, Any]


def changed(change: Callable[[Raw], object]) -> str:
    """The small design's JSON after a change that no edit could make."""
    raw = json.loads(TEXT)
    change(raw)
    return json.dumps(raw)


def board(raw: Raw) -> Raw:
    found: Raw = raw["boards"][0]
    return found


def placement(raw: Raw) -> Raw:
    found: Raw = board(raw)["arrangements"][0]["placements"][1]
    return found


def corner(raw: Raw, index: int) -> Raw:
    found: Raw = board(raw)["outline"]["corners"][index]
    return found


HOSTILE: dict[str, tuple[str | bytes, str, str]] = {
    "empty": ("", "", "not complete JSON"),
    "null": ("null", "", "A design is a JSON object, got null"),
    "a list": ("[1, 2]", "", "A design is a JSON object, got a list"),
    "another format": (changed(lambda r: r.update(format="drawing")), "format", "not a Holewise design"),
    "no format": (changed(lambda r: r.pop("format")), "format", "not a Holewise design"),
    "no version": (changed(lambda r: r.pop("version")), "version", f"whole number from 1 to {VERSION}, got None"),
    "version 0": (changed(lambda r: r.update(version=0)), "version", f"whole number from 1 to {VERSION}, got 0"),
    "version true": (changed(lambda r: r.update(version=True)), "version", "got True"),
    "version in words": (changed(lambda r: r.update(version="one")), "version", "got 'one'"),
    "huge version": (changed(lambda r: r.update(version=10**30)), "version", "written by a newer Holewise"),
    "half a character": (changed(lambda r: r.update(notes="a\ud800b")), "notes", "contains half a character"),
    "half a character in a name of a field": (changed(lambda r: board(r).update({"x\udfff": "\ud800"})),
                                              "boards[0].x\\udfff", "contains half a character"),
    "unknown field": (changed(lambda r: placement(r).update(colour="red")),
                      "boards[0].arrangements[0].placements[1].colour", "Unknown field. Remove it"),
    "missing field": (changed(lambda r: placement(r).pop("x")), "boards[0].arrangements[0].placements[1].x", "missing"),
    "NaN": (TEXT.replace("232.0", "NaN"), "", "NaN is not a length"),
    "minus infinity": (TEXT.replace("232.0", "-Infinity"), "", "-Infinity is not a length"),
    "1e999": (TEXT.replace("232.0", "1e999"), "boards[0].arrangements[0].placements[2].x", "finite number"),
    "huge whole number": (TEXT.replace("232.0", "9" * 400), "boards[0].arrangements[0].placements[2].x", "number"),
    "number of 5,000 digits": (TEXT.replace("232.0", "9" * 5000), "", "more digits than a design can store"),
    "beyond a hundred metres": (TEXT.replace("232.0", "100001"),
                                "boards[0].arrangements[0].placements[2].x", "less than or equal to 100000"),
    "words for a number": (changed(lambda r: placement(r).update(x="wide")),
                           "boards[0].arrangements[0].placements[1].x", "valid number"),
    "a list for a number": (changed(lambda r: placement(r).update(x=[1])),
                            "boards[0].arrangements[0].placements[1].x", "valid number, got a list"),
    "zero width": (changed(lambda r: [corner(r, i).update(x=0, setback=None) for i in range(4)]),
                   "boards[0].outline.corners", "no area"),
    "self-crossing outline": (changed(lambda r: [corner(r, i).update(x=x, setback=None)
                                                 for i, x in ((2, 50), (3, 400))]),
                              "boards[0].outline.corners", "crosses or touches itself"),
    "two corners in one place": (changed(lambda r: corner(r, 1).update(x=0)),
                                 "boards[0].outline.corners", "same place"),
    "set-back longer than the edge": (changed(lambda r: corner(r, 2).update(setback=[180, 500])),
                                    "boards[0].outline.corners", "Reduce them"),
    "negative set-back": (changed(lambda r: corner(r, 2).update(setback=[-1, 5])),
                        "boards[0].outline.corners[2].setback[0]", "greater than or equal to 0"),
    "two corners": (changed(lambda r: board(r)["outline"].update(corners=board(r)["outline"]["corners"][:2])),
                    "boards[0].outline.corners", "at least 3"),
    "opening outside": (changed(lambda r: board(r)["outline"].update(
        openings=[[{"x": 390, "y": 10}, {"x": 410, "y": 10}, {"x": 410, "y": 30}]])),
        "boards[0].outline.openings[0]", "reaches outside the board"),
    "negative thickness": (changed(lambda r: board(r)["layers"][0].update(thickness=-18)),
                           "boards[0].layers[0].thickness", "greater than 0, got -18"),
    "zero thickness": (changed(lambda r: board(r)["layers"][0].update(thickness=0)),
                       "boards[0].layers[0].thickness", "greater than 0"),
    "no layers": (changed(lambda r: board(r).update(layers=[])), "boards[0].layers", "at least 1"),
    "no boards": (changed(lambda r: r.update(boards=[])), "boards", "at least 1"),
    "no arrangements": (changed(lambda r: board(r).update(arrangements=[])), "boards[0].arrangements", "at least 1"),
    "two boards of one id": (changed(lambda r: r["boards"].append(r["boards"][0])), "boards",
                             'board id "deck" is there twice'),
    "two placements of one id": (changed(lambda r: placement(r).update(id="a")),
                                 "boards[0].arrangements[0].placements", 'placement id "a" is there twice'),
    "two parts of one label": (changed(lambda r: placement(r).update(label="A")),
                               "boards[0].arrangements[0].placements", 'label "A" is there twice'),
    "a station that is not there": (changed(lambda r: placement(r).update(station="s9")),
                                    "boards[0].arrangements[0].placements[1].station", 'no station "s9"'),
    "an id with a path in it": (changed(lambda r: placement(r).update(id="../x")),
                                "boards[0].arrangements[0].placements[1].id", "pattern"),
    "a title with a line break": (changed(lambda r: r.update(title="a\nb")), "title", "pattern"),
    "a title of 201 characters": (changed(lambda r: r.update(title="x" * 201)), "title",
                                  "up to 200 characters, got 201"),
    "a lone surrogate, escaped": (TEXT.replace("Small deck", "\\ud800"), "title", "half a character"),
    "a lone surrogate, raw": (TEXT.replace("Small deck", "\ud800"), "", "not UTF-8"),
    "bytes that are no UTF-8": (TEXT.replace("Small", "Sm\xe5ll").encode("latin-1"), "",
                                r"not UTF-8 text \(byte \d+\)"),
    "UTF-16": (TEXT.encode("utf-16"), "", "not UTF-8"),
    "one key twice": (TEXT.replace('"title"', '"title": "x", "title"'), "", '"title" is there twice'),
    "two documents": (TEXT + TEXT, "", "not complete JSON: Extra data"),
    "an unknown bit": (changed(lambda r: r["shop"].update(bits=[{"kind": "laser", "diameter": 3}])),
                       "shop.bits[0].kind", "twist"),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_with_its_place_and_the_remedy(name: str) -> None:
    text, place, said = HOSTILE[name]
    with pytest.raises(DocumentError, match=said) as caught:
        loads(text)
    assert caught.value.place == place
    assert any(verb in str(caught.value) for verb in REMEDIES), f"no remedy in: {caught.value}"


REMEDIES = (
    "Choose", "Correct", "Remove", "Update", "open an older copy", "Keep one", "Give each", "Give one", "Reduce them",
    "Give the board", "List its corners", "Move it", "is finite", "Make it", "Delete one",
)  # fmt: skip


def test_a_newer_file_says_to_update_and_that_nothing_was_lost() -> None:
    with pytest.raises(
        VersionError, match=rf"its version is {VERSION + 1}, .* up to {VERSION}\. Update Holewise.*unchanged"
    ):
        loads(changed(lambda r: r.update(version=VERSION + 1)))


@pytest.mark.parametrize("end", range(0, len(TEXT.encode()) - 2, 50))
def test_a_truncated_file_is_refused_wherever_it_breaks_off(end: int) -> None:
    with pytest.raises(DocumentError, match="not complete JSON"):
        loads(TEXT.encode()[:end])


@given(st.binary(max_size=300))
def test_no_bytes_raise_anything_but_a_document_error(data: bytes) -> None:
    with pytest.raises(DocumentError):
        loads(data)


@given(designs(), st.data())
def test_a_design_with_a_damaged_piece_is_read_or_refused_never_a_crash(design: Design, data: st.DataObject) -> None:
    text = dumps(design)
    start = data.draw(st.integers(0, len(text)))
    piece = data.draw(st.text(max_size=8))
    with suppress(DocumentError):
        dumps(loads(text[:start] + piece + text[start + len(piece) :])).encode("utf-8")


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("lists", "[" * 100_000),
        ("objects", '{"a":' * 100_000),
        ("just too deep", "[" * (NESTING.most + 1) + "]" * (NESTING.most + 1)),
    ],
)
def test_deep_nesting_is_refused_before_the_parser_falls_into_it(name: str, text: str) -> None:
    with pytest.raises(SizeError, match=f"nested more than {NESTING.most} deep"):
        loads(text)


def test_brackets_inside_words_are_not_nesting() -> None:
    design = small_design().model_copy(update={"notes": '[{"' * 100 + "\\"})
    assert loads(dumps(design)) == design


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("ten megabytes", b" " * 10_000_000),
        ("one byte too many", b" " * (FILE.most + 1)),
        ("too many values", b"[" + b"1," * (VALUES.most + 1) + b"1]"),
    ],
)
def test_a_file_larger_than_any_design_is_refused(name: str, text: bytes) -> None:
    with pytest.raises(SizeError, match="Choose a file that Holewise saved"):
        loads(text)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("an unclosed string of escaped quotes", '"' + '\\"' * (FILE.most // 2 - 2)),
        ("a name twice among very many", "{" + ",".join(f'"k{i}":1' for i in range(300_000)) + ',"k299999":2}'),
        ("very many unknown fields", "{" + ",".join(f'"k{i}":1' for i in range(300_000)) + "}"),
        ("one long number", "[" + "1" * (FILE.most - 10) + "]"),
    ],
)
def test_no_file_keeps_the_reader_busy(name: str, text: str) -> None:
    # Each took minutes, or would, with a reader whose time grows with the square of the size.
    before = time.process_time()
    with pytest.raises(DocumentError):
        loads(text)
    assert time.process_time() - before < 10
