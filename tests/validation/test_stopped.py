"""Do the sheets, drawings and the command line say that a board cannot be built, in large letters and over nothing?

The PDF is read by PyMuPDF, which had no part in writing it; the DXF by ezdxf. How many stops there are is what the
rules found, asked on a path of its own. Sizes of letters: 5 mm is read at arm's length (common practice, no source).
"""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pymupdf
import pytest
from ezdxf.filemanagement import read as read_dxf

from app import cli, service
from app.catalogue.load import paper_by_text
from app.document.load import loads
from app.document.schema import Design
from app.model.printing import Printing
from app.paper.check.check_sheet import check_sheet
from app.units import Unit
from app.writers import pdf as pdf_writer
from tests.reading.measure import POINT
from tests.tools import ROOT
from tests.unit.drafting.boards import two_player

LARGE = 5.0  # mm
SAID = "NOT BUILDABLE AS DRAWN"


@pytest.fixture(scope="module")
def sound() -> dict[str, Any]:
    found: dict[str, Any] = json.loads((ROOT / "scenarios" / "pine-shelf-compact.json").read_text("utf-8"))
    return found


@pytest.fixture(scope="module")
def spoilt(sound: dict[str, Any]) -> dict[str, Any]:
    """Its second part on top of its first, and its last one over the front edge."""
    document: dict[str, Any] = json.loads(json.dumps(sound))
    placements = document["boards"][0]["arrangements"][0]["placements"]
    placements[1]["x"], placements[1]["y"] = placements[0]["x"] + 1.0, placements[0]["y"]
    placements[-1]["y"] = -1.0
    return document


def design(document: dict[str, Any], units: str = "mm") -> Design:
    return loads(json.dumps(document | {"units": units}).encode())


def stops(of: Design) -> int:
    (found, *_) = service.check_design(of)
    return sum(finding.severity == "stop" for finding in found.report.findings)


def words_of(count: int) -> str:
    return f"{SAID}: {count} stop" + ("s" if count > 1 else "")


def heads(page: pymupdf.Page) -> tuple[list[tuple[str, float, pymupdf.Rect]], list[pymupdf.Rect]]:
    """The words that say it, with their size [mm] and place; and the places of all other words."""
    said, others = [], []
    for block in page.get_text("dict")["blocks"]:
        for line in block.get("lines", ()):
            for span in line["spans"]:
                box = pymupdf.Rect(span["bbox"])
                if SAID in span["text"]:
                    said.append((span["text"].strip(), span["size"] * POINT, box))
                elif span["text"].strip():
                    others.append(box)
    return said, others


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize(("paper", "face"), [("a4", "top"), ("letter", "top"), ("a4", "under"), ("letter", "under")])
def test_cover_and_every_sheet_say_it_over_nothing(spoilt: dict[str, Any], paper: str, face: Any, units: str) -> None:
    bad = design(spoilt, units)
    data = service.template_file(bad, face=face, paper=paper).data
    with pymupdf.open(stream=data) as file:
        assert len(file) > 1
        for page in file:
            ((words, size, box),), others = heads(page)
            assert words == words_of(stops(bad))
            assert size >= LARGE
            assert box in page.rect
            assert not any(box.intersects(other) for other in others)
            # What is drawn of the board is clipped to a window below the band: a hole cannot come under the words.
            clips = [row["scissor"] for row in page.get_drawings(extended=True) if row["type"] == "clip"]
            assert not any(box.intersects(clip) for clip in clips)
            assert page.number == 0 or clips


def test_sheets_of_a_board_that_can_be_built_say_nothing_of_it(sound: dict[str, Any]) -> None:
    good = design(sound)
    assert stops(good) == 0
    with pymupdf.open(stream=service.template_file(good, paper="a4").data) as file:
        assert not any(heads(page)[0] for page in file)


def test_the_sheets_of_one_bit_count_the_stops_of_the_whole_board(spoilt: dict[str, Any]) -> None:
    bad = design(spoilt)
    (seen, *_) = service.check_design(bad)
    bit = min(hole.bit.diameter for p in seen.resolved.drilled for hole in p.holes if hole.bit)
    made = service.template_file(bad, paper="a4", only=bit)
    with pymupdf.open(stream=made.data) as file:
        assert all([said[0] for said in heads(page)[0]] == [words_of(stops(bad))] for page in file)
    assert made.stops == stops(bad)


@pytest.mark.parametrize("unit", [Unit.MM, Unit.INCH])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_check_sheet_says_it_and_measures_the_same(paper: str, unit: Unit) -> None:
    """A frame that depended on the board would be diagnosed wrongly once the board is mended."""
    plain = Printing(paper_by_text(paper))
    stopped = check_sheet(two_player(), Printing(plain.paper, stops=3), unit=unit)
    assert stopped.bars == check_sheet(two_player(), plain, unit=unit).bars
    with pymupdf.open(stream=pdf_writer.write((stopped.scene,), title="check")) as file:
        ((words, size, box),), others = heads(file[0])
        assert words.endswith(words_of(3)) and size >= LARGE
        assert not any(box.intersects(other) for other in others)


@pytest.mark.parametrize("view", ["board", "underside"])
def test_a_view_to_read_says_it_too(spoilt: dict[str, Any], view: str) -> None:
    bad = design(spoilt)
    with pymupdf.open(stream=service.view_file(bad, view=view, fmt="pdf", paper="letter").data) as file:
        ((words, _, box),), others = heads(file[0])
        assert words == words_of(stops(bad))
        assert not any(box.intersects(other) for other in others)


def test_the_notes_of_a_drawing_for_other_programs_say_it(spoilt: dict[str, Any], sound: dict[str, Any]) -> None:
    for document, count in ((spoilt, stops(design(spoilt))), (sound, 0)):
        made = service.export_file(design(document), fmt="dxf")
        space = read_dxf(io.StringIO(made.data.decode())).modelspace()
        notes = [text.dxf.text for text in space.query('TEXT[layer=="NOTES"]')]
        assert [note for note in notes if SAID in note] == ([words_of(count)] if count else [])
        svg = service.export_file(design(document), fmt="svg").data.decode()
        assert (words_of(count) in svg) if count else SAID not in svg
        assert made.stops == count


@pytest.mark.parametrize(
    ("name", "more"),
    [
        ("t.pdf", ["template", "--paper", "a4"]),
        ("d.dxf", ["export", "--format", "dxf"]),
        ("v.pdf", ["export", "--format", "pdf", "--view", "board"]),
    ],
)
def test_the_command_line_warns_and_writes_and_if_strict_writes_nothing(
    spoilt: dict[str, Any], sound: dict[str, Any], tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str,
    more: list[str],
) -> None:  # fmt: skip
    bad, good, out = tmp_path / "bad.json", tmp_path / "good.json", tmp_path / name
    bad.write_text(json.dumps(spoilt), "utf-8")
    good.write_text(json.dumps(sound), "utf-8")
    said = words_of(stops(design(spoilt)))
    command, *options = more
    assert cli.main([command, str(bad), *options, "--out", str(out)]) == 0
    told = capsys.readouterr()
    assert said in told.err and told.out == f"Wrote {out}\n"
    assert out.stat().st_size > 0
    out.unlink()
    assert cli.main([command, str(bad), *options, "--strict", "--out", str(out)]) == 1
    told = capsys.readouterr()
    assert said in told.err and told.err.count("\n") == 1 and told.out == ""
    assert not out.exists()
    assert cli.main([command, str(good), *options, "--strict", "--out", str(out)]) == 0
    assert capsys.readouterr().err == ""
