"""Formats of files: each declared once, with a media type that is registered and a reader of its own."""

from __future__ import annotations

import pickle
import re
from typing import Final

import pytest

from app.drafting.export.drawing import export_scene
from app.errors import ProofError, WriterError
from app.file_commands import FORMATS as NAMES
from app.proof import prove_drawing
from app.service.drawings.formats import (
    DRAWINGS,
    FORMATS,
    VIEWS,
    drawing_format,
    format_named,
    sheet_format,
    view_format,
)
from tests.tools import ROOT
from tests.unit.drafting.boards import two_player

# The registry of media types: RFC 8118 (PDF), RFC 8259 (JSON), RFC 4180 (CSV),
# SVG 2 appendix "mimereg", and image/vnd.dxf.
REGISTERED: Final = {
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
    "pdf": "application/pdf",
    "json": "application/json",
    "csv": "text/csv",
}


def test_every_format_has_its_registered_media_type_and_ending() -> None:
    assert {each.ending: each.media for each in FORMATS.values()} == {f".{n}": m for n, m in REGISTERED.items()}


def test_a_format_stays_itself_on_its_way_between_processes() -> None:
    for each in FORMATS.values():
        assert pickle.loads(pickle.dumps(each)) is each is format_named(each.name)  # noqa: S301 - our own bytes


def test_a_drawing_is_read_back_by_the_reader_of_its_format_and_by_no_other() -> None:
    board = two_player()
    for each, way in DRAWINGS.items():
        data = way.write(export_scene(board, "top"))
        for other, reading in DRAWINGS.items():
            if other is each:
                assert prove_drawing(data, reading.reader(), board, "top").largest < 0.002
            else:
                with pytest.raises(ProofError):
                    prove_drawing(data, reading.reader(), board, "top")


def test_a_format_is_asked_for_by_name_where_it_can_be_written() -> None:
    assert drawing_format("dxf")[0] is FORMATS["dxf"]
    assert view_format("pdf")[0] is sheet_format()[0] is FORMATS["pdf"]
    for ask, name, words in (
        (drawing_format, "pdf", "svg or dxf, got “pdf”"),
        (view_format, "dxf", "svg or pdf, got “dxf”"),
        (sheet_format, "svg", "written as pdf, got “svg”"),
    ):
        with pytest.raises(WriterError, match=words):
            ask(name)
    with pytest.raises(WriterError, match="no format “exe”"):
        format_named("exe")


def test_the_command_line_names_the_formats_there_are() -> None:
    """It must not import the service to say so."""
    assert NAMES.split("|") == [each.name for each in FORMATS.values() if each in DRAWINGS or each in VIEWS]


@pytest.mark.parametrize("package", ["service", "web", "proof", "paper", "writers", "drafting", "store"])
def test_nothing_else_knows_a_media_type_or_asks_which_format_it_is(package: str) -> None:
    known = "|".join(map(re.escape, REGISTERED.values()))
    asks = re.compile(
        rf"{known}|(fmt|form|format|kind|of)(\.name)? (==|!=|in|not in) \(?[\"']({'|'.join(REGISTERED)})\b"
    )
    declared = ROOT / "app" / "service" / "drawings" / "formats.py"
    found = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()}"
        for path in sorted((ROOT / "app" / package).rglob("*.py"))
        if path != declared
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if asks.search(line)
    ]
    assert not found, "\n".join(found)
