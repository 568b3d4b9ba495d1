"""The command line as scripts use it: calls, exit codes, outputs, one clear message."""

from __future__ import annotations

import errno
import json
import math
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pymupdf
import pytest
from ezdxf import filemanagement
from svgpathtools import svg2paths2

from app import __version__, cli, outcome, service, serving
from app.errors import HolewiseError, ProofError
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.scene.primitives import Scene
from app.serving import listening
from app.values import replace
from tests.running import free_port
from tests.tools import ROOT

# The keys scripts rely on, as documented in the README.
FINDING_KEYS = {
    "rule", "severity", "subjects", "where", "measured_mm", "required_mm", "margin_mm", "message", "remedy", "source",
}  # fmt: skip

# ISO 216 and ASME Y14.1 sizes, upright [mm].
PAPERS = {
    "a4": (210.0, 297.0),
    "a3": (297.0, 420.0),
    "letter": (8.5 * 25.4, 11 * 25.4),
    "legal": (8.5 * 25.4, 14 * 25.4),
    "tabloid": (11 * 25.4, 17 * 25.4),
    "594x841": (594.0, 841.0),
}


def holewise(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own, as a script would."""
    return subprocess.run(
        [sys.executable, "-m", "app", *map(str, arguments)], cwd=ROOT, capture_output=True, text=True, check=False
    )


def make(out: Path, *more: str, players: str = "1", buttons: str = "6") -> Path:
    """A new design, made through the command line in this process."""
    arguments = ["--players", players, "--buttons", buttons, "--board", "600x260", "--thickness", "18"]
    assert cli.main(["new", *arguments, "--material", "mdf", "--out", str(out), *more]) == 0
    return out


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make(tmp_path_factory.mktemp("design") / "good.json")


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two players: two arrangements of one board."""
    return make(tmp_path_factory.mktemp("design") / "two.json", "--board", "1000x260", players="2")


@pytest.fixture
def bad(good: Path, tmp_path: Path) -> Path:
    """The good design with its first two buttons in the same place."""
    document = json.loads(good.read_text("utf-8"))
    first, second, *_ = document["boards"][0]["arrangements"][0]["placements"]
    second["x"], second["y"] = first["x"] + 1.0, first["y"]
    path = tmp_path / "bad.json"
    path.write_text(json.dumps(document), "utf-8")
    return path


def refused(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> str:
    """Run what must fail with 2; returns its one message."""
    assert cli.main([str(argument) for argument in arguments]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("holewise")
    assert said.err.count("\n") == 1
    assert "Traceback" not in said.err
    return said.err


# -- new ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("command", cli._commands())
def test_the_parser_of_one_command_is_what_it_is_among_all(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    for parser in (cli.make_parser(), cli.make_parser(command)):
        with pytest.raises(SystemExit):
            parser.parse_args([command, "--help"])
    _, whole, alone = capsys.readouterr().out.split(f"usage: holewise {command}")
    assert whole == alone
    with pytest.raises(SystemExit):
        cli.make_parser(command).parse_args(["no-such-command"])


@pytest.mark.parametrize("players", [1, 2])
@pytest.mark.parametrize("buttons", [1, 4, 6, 8])
def test_a_new_design_has_the_measures_it_was_asked_for_and_fits(players: int, buttons: int, tmp_path: Path) -> None:
    out = make(tmp_path / "d.json", "--board", "1100x280", players=str(players), buttons=str(buttons))
    document = json.loads(out.read_text("utf-8"))
    (board,) = document["boards"]
    corners = board["outline"]["corners"]
    assert max(c["x"] for c in corners) - min(c["x"] for c in corners) == 1100
    assert max(c["y"] for c in corners) - min(c["y"] for c in corners) == 280
    assert [layer["thickness"] for layer in board["layers"]] == [18]
    assert [layer["material"] for layer in board["layers"]] == ["mdf"]
    placements = board["arrangements"][0]["placements"]
    sticks = {p["station"] for p in placements if p["part"].startswith("stick")}
    assert len(sticks) == players
    for station in sticks:
        assert sum(p["station"] == station and p["part"].startswith("button") for p in placements) == buttons
    assert cli.main(["check", str(out)]) == 0


def test_measures_can_be_typed_in_inches_and_then_the_design_shows_inches(tmp_path: Path) -> None:
    out = make(tmp_path / "d.json", "--board", "24inx10 1/4in", "--thickness", "3/4in")
    document = json.loads(out.read_text("utf-8"))
    corners = document["boards"][0]["outline"]["corners"]
    assert max(c["x"] for c in corners) == 609.6  # 24 · 25.4
    assert max(c["y"] for c in corners) == 260.35  # 10.25 · 25.4
    assert document["boards"][0]["layers"][0]["thickness"] == 19.05
    assert document["units"] == "inch"


@pytest.mark.parametrize(
    ("option", "value", "named"),
    [
        ("--board", "600", "WIDTHxDEPTH"),
        ("--board", "0x260", "width"),
        ("--board", "nanx260", "width"),
        ("--board", "600x-5", "depth"),
        ("--board", "600xwide", "depth"),
        ("--thickness", "-18", "hickness"),
        ("--thickness", "1/0", "hickness"),
        ("--thickness", "inf", "hickness"),
        ("--thickness", "6", "6 mm MDF bears only"),
        ("--material", "cheese", "cheese"),
        ("--buttons", "0", "utton"),
        ("--buttons", "999", "utton"),
        ("--buttons", "many", "--buttons"),
        ("--players", "3", "--players"),
        ("--out", "/nonexistent/d.json", "/nonexistent"),
    ],
)
def test_a_new_design_that_cannot_be_is_refused(
    option: str, value: str, named: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    options = {
        "--players": "1", "--buttons": "6", "--board": "600x260", "--thickness": "18", "--material": "mdf",
        "--out": str(tmp_path / "d.json"), option: value,
    }  # fmt: skip
    said = refused(capsys, "new", *(f"{name}={text}" for name, text in options.items()))
    assert named in said
    assert list(tmp_path.iterdir()) == []


# -- check -------------------------------------------------------------------------------------------------


def test_check_of_a_good_design_ends_with_0_and_says_it_fits(good: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["check", str(good)]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert ": fits" in said.out


def test_check_of_a_design_with_stops_ends_with_1_and_says_why(bad: Path) -> None:
    """In a process of its own: its code and its two outputs are what a script has."""
    done = holewise("check", bad)
    assert (done.returncode, done.stderr) == (1, "")
    assert "stop: " in done.stdout
    assert "(web)" in done.stdout
    assert ", needs " in done.stdout


def test_check_as_json_has_exactly_the_documented_keys(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["check", str(bad), "--json"]) == 1
    said: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert set(said) == {"design", "results"}
    assert said["design"] == json.loads(bad.read_text("utf-8"))["title"]
    placements = {p["id"] for p in json.loads(bad.read_text("utf-8"))["boards"][0]["arrangements"][0]["placements"]}
    for result in said["results"]:
        assert set(result) == {"board", "arrangement", "findings", "tightest"}
        for finding in result["findings"]:
            assert set(finding) == FINDING_KEYS
            assert finding["severity"] in {"stop", "caution", "note"}
            assert set(finding["subjects"]) <= placements
            assert [math.isfinite(v) for v in finding["where"]] == [True, True]
            assert finding["message"].endswith(".")
            assert finding["remedy"].endswith(".")
            assert finding["source"]
            if finding["measured_mm"] is not None and finding["required_mm"] is not None:
                expected = finding["measured_mm"] - finding["required_mm"]
                assert finding["margin_mm"] == pytest.approx(expected, abs=1e-12)


def test_check_lists_what_was_judged_when_asked(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["check", str(bad)]) == 1
    plain = capsys.readouterr().out
    assert "judged" not in plain
    assert cli.main(["check", str(bad), "--tightest"]) == 1
    said = capsys.readouterr().out
    assert said.startswith(plain.rstrip("\n"))
    assert re.search(r"^ {4}hole – hole: \d+ pairs, tightest A and B: .+ left, 5 mm needed, .+ short$", said, re.M)


def test_two_buttons_a_millimetre_apart_are_a_web_stop_with_the_right_number(
    bad: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["check", str(bad), "--json"]) == 1
    (result,) = json.loads(capsys.readouterr().out)["results"]
    first, second = json.loads(bad.read_text("utf-8"))["boards"][0]["arrangements"][0]["placements"][:2]
    pair = {first["id"], second["id"]}
    (finding,) = [f for f in result["findings"] if f["rule"] == "web" and pair == set(f["subjects"])]
    assert finding["severity"] == "stop"
    assert finding["measured_mm"] < 1.0 - 24.0  # holes of 24 mm or more, 1 mm apart: deep in each other


def test_check_can_be_narrowed_to_one_arrangement(two: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["check", str(two), "--json"]) == 0
    everything = json.loads(capsys.readouterr().out)["results"]
    assert len(everything) == 2
    one = everything[1]
    narrowed = ["--board", one["board"], "--arrangement", one["arrangement"]]
    assert cli.main(["check", str(two), "--json", *narrowed]) == 0
    assert json.loads(capsys.readouterr().out)["results"] == [one]


@pytest.mark.parametrize("option", ["--board", "--arrangement"])
@pytest.mark.parametrize("command", ["check", "template", "export"])
def test_a_board_or_arrangement_that_is_not_there_is_named(
    command: str, option: str, good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    more = {"check": [], "template": ["--paper", "a4"], "export": ["--format", "svg"]}[command]
    out = [] if command == "check" else ["--out", str(tmp_path / "out")]
    said = refused(capsys, command, good, option, "no-such-id", *more, *out)
    assert "no-such-id" in said
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"not json",
        b"[]",
        b"\xff\xfe\x00",
        b'{"format": "holewise-design", "version": 99}',
        b'{"format": "something-else"}',
        b"[" * 200_000,
        b'{"a":' * 100_000,
        b" " * 20_000_000,
        b'{"format": "holewise-design", "version": NaN}',
    ],
    ids=["empty", "cut", "words", "list", "bytes", "newer", "other", "deep", "deep-objects", "huge", "nan"],
)
def test_a_file_that_is_no_design_ends_with_2_and_one_message(
    content: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "file.json"
    path.write_bytes(content)
    refused(capsys, "check", path)
    assert path.read_bytes() == content


def test_a_file_that_is_not_there_ends_with_2_and_is_named(tmp_path: Path) -> None:
    done = holewise("check", tmp_path / "absent.json")
    assert (done.returncode, done.stdout) == (2, "")
    assert "absent.json" in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_folder_is_no_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert str(tmp_path) in refused(capsys, "check", tmp_path)


def test_the_place_of_what_is_wrong_in_a_file_is_named(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    document = json.loads(good.read_text("utf-8"))
    document["boards"][0]["layers"][0]["thickness"] = -18
    path = tmp_path / "d.json"
    path.write_text(json.dumps(document), "utf-8")
    assert "boards[0].layers[0].thickness" in refused(capsys, "check", path)


# -- template and export -----------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_a_template_is_a_pdf_on_the_paper_that_was_asked_for(good: Path, paper: str, tmp_path: Path) -> None:
    out = tmp_path / "t.pdf"
    assert cli.main(["template", str(good), "--paper", paper, "--out", str(out)]) == 0
    with pymupdf.open(out) as pdf:
        assert len(pdf) >= 1
        for page in pdf:
            sides = sorted((page.rect.width / 72 * 25.4, page.rect.height / 72 * 25.4))
            assert sides == pytest.approx(sorted(PAPERS[paper]), abs=0.01)


@pytest.mark.parametrize("face", ["top", "under"])
def test_a_template_says_what_reading_it_back_has_found(
    good: Path, tmp_path: Path, face: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "t.pdf"
    arguments = ["template", str(good), "--face", face, "--paper", "a4", "--proof", "--out", str(out)]
    assert cli.main(arguments) == 0
    said = capsys.readouterr().out.splitlines()
    told = r"The file agrees with the design: \d+ holes, largest difference 0\.00 mm \("
    told += r".*read back by a second program\)$"
    assert re.match(told, said[0])
    assert said[1] == f"Wrote {out}"


@pytest.mark.parametrize(("fmt", "reader"), [("svg", "a second program"), ("dxf", "a separate reader")])
def test_an_export_says_what_reading_it_back_has_found(
    good: Path, tmp_path: Path, fmt: str, reader: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"d.{fmt}"
    assert cli.main(["export", str(good), "--format", fmt, "--proof", "--kerf", "0.2mm", "--out", str(out)]) == 0
    said = capsys.readouterr().out
    assert re.match(r"The file agrees with the design: \d+ holes, largest difference 0\.00 mm \(", said)
    assert reader in said
    assert b"kerf 0.2 mm" in out.read_bytes()


def test_a_file_that_is_not_true_is_not_written(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault made on purpose: the drawing is one of another board."""
    from app.drafting.export.drawing import export_scene
    from app.service.drawings import board_files

    def wrong(board: ResolvedBoard, face: Face, kerf: float, _: int) -> Scene:
        return export_scene(replace(board, placements=board.placements[1:]), face, kerf)

    monkeypatch.setattr(board_files, "export_scene", wrong)
    out = tmp_path / "d.dxf"
    assert "missing" in refused(capsys, "export", good, "--format", "dxf", "--out", out)
    assert not out.exists()


def test_a_template_is_printed_with_margin_overlap_and_correction(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "t.pdf"
    more = ["--margin", "10", "--overlap", "20mm", "--correction", "1.0000,0.9960", "--proof"]
    assert cli.main(["template", str(good), "--paper", "a4", *more, "--out", str(out)]) == 0
    with pymupdf.open(out) as pdf:
        words = "".join(page.get_text() for page in pdf)
    assert "1.0000" in words and "0.9960" in words


@pytest.mark.parametrize(
    ("flag", "value", "words"),
    [
        ("--correction", "1.0", "X,Y"),
        ("--correction", "0.94,0.94", "0.97 to 1.03"),
        ("--correction", "a,b", "X,Y"),
        ("--margin", "wide", "Margin"),
        ("--overlap", "-5", "Overlap|overlap"),
        ("--only", "99", "99 mm wide"),
    ],
)
def test_a_printing_that_cannot_be_is_refused(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], flag: str, value: str, words: str
) -> None:
    out = tmp_path / "t.pdf"
    assert re.search(words, refused(capsys, "template", good, "--paper", "a4", f"{flag}={value}", "--out", out))
    assert not out.exists()


@pytest.mark.parametrize(("kerf", "words"), [("-1", "Kerf|kerf"), ("25", "0 to 20 mm"), ("thin", "Kerf")])
def test_a_kerf_that_cannot_be_is_refused(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], kerf: str, words: str
) -> None:
    out = tmp_path / "d.svg"
    assert re.search(words, refused(capsys, "export", good, "--format", "svg", f"--kerf={kerf}", "--out", out))
    assert not out.exists()


@pytest.mark.parametrize("more", [["--kerf", "0.2"], ["--proof"]])
def test_a_view_has_neither_kerf_nor_proof(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], more: list[str]
) -> None:
    out = tmp_path / "v.svg"
    assert "--view" in refused(capsys, "export", good, "--format", "svg", "--view", "board", *more, "--out", out)


def test_a_template_of_the_same_design_is_the_same_file(good: Path, tmp_path: Path) -> None:
    """From a process that has done nothing else, and from this one, which has."""
    assert holewise("template", good, "--paper", "a4", "--out", tmp_path / "a.pdf").returncode == 0
    assert cli.main(["template", str(good), "--paper", "a4", "--out", str(tmp_path / "b.pdf")]) == 0
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_the_two_faces_are_mirror_images(good: Path, tmp_path: Path) -> None:
    centres = {}
    for face in ("top", "under"):
        out = tmp_path / f"{face}.dxf"
        assert cli.main(["export", str(good), "--face", face, "--format", "dxf", "--out", str(out)]) == 0
        circles = [e for e in filemanagement.readfile(out).modelspace().query("CIRCLE") if "THROUGH" in e.dxf.layer]
        centres[face] = sorted((round(c.dxf.center.x, 6), round(c.dxf.center.y, 6)) for c in circles)
    assert len(centres["top"]) >= 6
    assert centres["under"] == sorted((round(600 - x, 6), y) for x, y in centres["top"])


def test_an_svg_export_says_its_size_in_mm(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "d.svg"
    assert cli.main(["export", str(good), "--format", "svg", "--out", str(out)]) == 0
    _, _, attributes = svg2paths2(str(out))
    assert attributes["width"].endswith("mm")
    _, _, width, height = (float(v) for v in attributes["viewBox"].split())
    assert float(attributes["width"].removesuffix("mm")) == pytest.approx(width)
    assert float(attributes["height"].removesuffix("mm")) == pytest.approx(height)


@pytest.mark.parametrize("view", ["board", "underside", "section:A"])
@pytest.mark.parametrize(("fmt", "start"), [("svg", b"<?xml"), ("pdf", b"%PDF-")])
def test_a_view_to_read_is_written(view: str, fmt: str, start: bytes, good: Path, tmp_path: Path) -> None:
    out = tmp_path / f"view.{fmt}"
    assert cli.main(["export", str(good), "--view", view, "--format", fmt, "--paper", "letter", "--out", str(out)]) == 0
    assert out.read_bytes().startswith(start)


@pytest.mark.parametrize(
    "more",
    [
        ["--view", "section:nobody", "--format", "svg"],
        ["--view", "sideways", "--format", "pdf"],
        ["--view", "board", "--format", "dxf"],
        ["--view", "board", "--format", "pdf", "--paper", "a9"],
        ["--format", "pdf"],
    ],
)
def test_a_view_that_cannot_be_is_refused(
    more: list[str], good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    refused(capsys, "export", good, *more, "--out", tmp_path / "view.pdf")
    assert list(tmp_path.iterdir()) == []


def test_a_list_is_written_for_other_programs_and_on_paper(good: Path, tmp_path: Path) -> None:
    """Its corners set back 20 mm: a quarter of a circle each, read to half a millimetre."""
    document = json.loads(good.read_text("utf-8"))
    for corner in document["boards"][0]["outline"]["corners"]:
        corner["setback"] = [20, 20]
    rounded = tmp_path / "rounded.json"
    rounded.write_text(json.dumps(document), "utf-8")
    made = {}
    for fmt in ("csv", "json", "pdf"):
        made[fmt] = tmp_path / f"list.{fmt}"
        asked = ("--format", fmt, "--reading", "0.5mm", "--spacing", "5mm", "--out", str(made[fmt]))
        assert cli.main(["sheet", str(rounded), "outline-marking", *asked]) == outcome.DONE
    rows = made["csv"].read_text("utf-8-sig").splitlines()[1:]
    points = json.loads(made["json"].read_text("utf-8"))["offsets"]
    assert len(rows) == len(points) > 4 * 4
    assert all(point["left"] * 2 == round(point["left"] * 2) for point in points)
    assert made["pdf"].read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("kind", "fmt", "said"), [("nothing", "csv", "outline-marking"), ("check-sheet", "json", "is no list")]
)
def test_what_is_no_list_is_refused(
    kind: str, fmt: str, said: str, good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert said in refused(capsys, "sheet", good, kind, "--format", fmt, "--out", tmp_path / "list")


@pytest.mark.parametrize("paper", ["a9", "0x5", "10x10", "nanxnan", "210", "1e9x1e9", "-210x297"])
def test_a_paper_that_cannot_be_is_refused(
    paper: str, good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    refused(capsys, "template", good, f"--paper={paper}", "--out", tmp_path / "t.pdf")
    assert list(tmp_path.iterdir()) == []


def test_a_failed_write_leaves_the_old_file(good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "t.pdf"
    out.write_bytes(b"the old file")
    refused(capsys, "template", good, "--paper", "a9", "--out", out)
    assert out.read_bytes() == b"the old file"


@pytest.mark.skipif(not Path("/dev/null").is_char_device(), reason="no null device here")
def test_the_null_device_survives_being_written_to(good: Path) -> None:
    assert cli.main(["template", str(good), "--paper", "a4", "--out", "/dev/null"]) == 0
    assert Path("/dev/null").is_char_device()


# -- schema, parts, version, help --------------------------------------------------------------------------


def test_the_schema_is_json_schema_for_the_format(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema["properties"]["format"]["const"] == "holewise-design"
    assert schema["additionalProperties"] is False


def test_parts_lists_the_catalogue(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["parts"]) == 0
    rows = capsys.readouterr().out.splitlines()
    assert len(rows) > 24
    assert any(row.startswith("button-30-snap ") for row in rows)


def test_the_version_is_the_packages(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["--version"]) == 0
    assert capsys.readouterr().out == f"holewise {__version__}\n"


def test_help_lists_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["--help"]) == 0
    said = capsys.readouterr().out
    assert all(name in said for name in ("serve", "new", "check", "template", "export", "schema", "parts"))


@pytest.mark.parametrize(
    "arguments", [["frobnicate"], ["check"], ["check", "a", "b"], ["template", "a"], ["schema", "--loud"], ["--loud"]]
)
def test_a_wrong_call_is_one_line_with_where_to_read_more(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert "--help" in refused(capsys, *arguments)


def test_a_fault_of_ours_is_a_sentence_too(
    good: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> object:
        raise ZeroDivisionError("planted")

    monkeypatch.setattr(service, "check_design", broken)
    assert "a fault in Holewise, ZeroDivisionError: planted" in refused(capsys, "check", good)


def test_a_reader_that_stops_reading_is_no_error() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "app", "schema"], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read()
        assert process.wait(timeout=30) == 0
    assert said == b""


def test_a_terminal_without_the_letters_gets_codes_instead_of_an_error(good: Path) -> None:
    env = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(
        [sys.executable, "-m", "app", "check", good], cwd=ROOT, env=env, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "\\xd7" in done.stdout  # the × of the title


# -- serve -------------------------------------------------------------------------------------------------


@pytest.fixture
def taken_port() -> Iterator[int]:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        yield other.getsockname()[1]


def start(*arguments: str | Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-u", "-m", "app", *map(str, arguments)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def first_lines(process: subprocess.Popen[str]) -> list[str]:
    """What the app prints up to and with its address."""
    assert process.stdout is not None
    lines = []
    for line in process.stdout:
        lines.append(line)
        if "http://" in line:
            break
    return lines


@pytest.mark.parametrize("word", [["serve"], []], ids=["serve", "no-command"])
def test_serving_prints_the_address_and_answers_there(word: list[str], tmp_path: Path) -> None:
    port = free_port()
    process = start(*word, "--port", str(port), "--data", tmp_path / "data", "--no-open")
    try:
        (line,) = first_lines(process)
        assert f"http://127.0.0.1:{port}/" in line
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        with opener.open(f"http://127.0.0.1:{port}/", timeout=20) as answer:
            assert answer.status == 200
        assert (tmp_path / "data").is_dir()
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=20)
        assert process.returncode == 0
        assert "Traceback" not in said
    finally:
        process.kill()
        process.communicate()


def test_a_named_port_that_is_taken_is_an_error_that_says_so(taken_port: int, tmp_path: Path) -> None:
    done = holewise("serve", "--port", str(taken_port), "--no-open", "--data", tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert f"Port {taken_port}" in done.stderr
    assert "taken" in done.stderr
    assert done.stderr.count("\n") == 1


def test_without_a_named_port_the_next_free_one_is_taken(monkeypatch: pytest.MonkeyPatch, taken_port: int) -> None:
    monkeypatch.setattr(listening, "DEFAULT_PORT", taken_port)
    with listening.listen("127.0.0.1", None) as listener:
        assert taken_port < listener.getsockname()[1] < taken_port + 100


def test_a_taken_port_is_said_when_another_is_used(
    monkeypatch: pytest.MonkeyPatch, taken_port: int, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(listening, "DEFAULT_PORT", taken_port)
    monkeypatch.setattr(serving, "DEFAULT_PORT", taken_port)
    served: list[int] = []

    def run(listener: socket.socket, settings: serving.Settings, key: str) -> None:
        assert settings == serving.Settings(where=tmp_path, open_browser=False)
        assert key == "", "this computer alone needs none"
        served.append(listener.getsockname()[1])

    monkeypatch.setattr(serving, "run", run)
    assert cli.main(["--no-open", "--data", str(tmp_path)]) == 0
    assert capsys.readouterr().out == f"Port {taken_port} is taken; using {served[0]}.\n"


def test_when_every_port_is_taken_the_message_says_which(monkeypatch: pytest.MonkeyPatch, taken_port: int) -> None:
    monkeypatch.setattr(listening, "DEFAULT_PORT", taken_port)
    monkeypatch.setattr(listening, "_PORTS_TRIED", 1)
    with pytest.raises(HolewiseError, match=f"The ports {taken_port} to {taken_port} of 127.0.0.1 are all taken"):
        listening.listen("127.0.0.1", None)


def test_a_host_that_is_not_this_computer_is_refused() -> None:
    with pytest.raises(HolewiseError, match="Leave --host out"):
        listening.listen("host.invalid", 8000)


def test_a_port_one_may_not_use_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    def denied(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(socket.socket, "bind", denied)
    with pytest.raises(HolewiseError, match=r"needs rights you do not have\. Use a port from 1024 up"):
        listening.listen("127.0.0.1", 80)


@pytest.mark.parametrize("port", ["0", "-1", "65536", "http", "٨٠", "8e3"])
def test_what_is_no_port_is_refused(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert "from 1 to 65535" in refused(capsys, "serve", f"--port={port}")


def test_a_data_folder_that_cannot_be_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    done = holewise("serve", "--port", str(free_port()), "--no-open", "--data", tmp_path / "file")
    assert (done.returncode, done.stdout) == (2, "")
    assert str(tmp_path / "file") in done.stderr
    assert done.stderr.count("\n") == 1


def test_bits_are_named_on_the_command_line(good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A 1 in hole is 25.4 mm and no metric bit is: the set that is named is the one that is used."""
    listed = json.loads(good.read_text("utf-8"))
    listed["shop"]["bits"] = [{"kind": "forstner", "diameter": 50.0}]
    own = tmp_path / "own.json"
    own.write_text(json.dumps(listed), "utf-8")
    assert cli.main(["check", str(good), "--bits", "metric"]) == 0
    assert cli.main(["check", str(good), "--bits", str(own)]) == 1, "one 50 mm bit drills no button"
    capsys.readouterr()
    assert "set of bits" in refused(capsys, "check", good, "--bits", "cubits")


def test_makers_are_listed_with_their_measures_limits_and_defaults(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["makers", "--json"]) == 0
    rows = {row["name"]: row for row in json.loads(capsys.readouterr().out)}
    cone = next(m for m in rows["grille"]["measures"] if m["name"] == "cone")
    assert (cone["kind"], cone["least"], cone["most"], cone["default"]) == ("length", 10.0, 480.0, 88.0)
    assert cli.main(["makers"]) == 0
    said = capsys.readouterr().out
    for name, row in rows.items():
        assert f"{name}: {row['sentence']}" in said and all(m["name"] in said for m in row["measures"])


def test_add_makes_a_board_with_lengths_in_either_unit(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "more.json"
    settings = ["--set", "cone=3 1/2in", "--set", "pitch=18mm", "--set", "hole=10", "--set", "fixing=glue"]
    assert cli.main(["add", str(good), "grille", *settings, "--out", str(out)]) == 0
    assert "Pitch: 18.0 mm" in capsys.readouterr().out
    board = json.loads(out.read_text("utf-8"))["boards"][1]
    measures = {m["name"]: m["value"] for m in board["arrangements"][0]["makers"][0]["measures"]}
    assert (measures["cone"], measures["pitch"], measures["fixing"]) == (88.9, 18.0, "glue")
    assert cli.main(["check", str(out), "--board", "grille"]) == 0


def test_add_puts_it_on_a_board_where_it_is_told_to(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "more.json"
    place = ["--board", "deck", "--at", "120,4in", "--angle", "30"]
    assert cli.main(["add", str(good), "fan", *place, "--set", "guard=no", "--out", str(out)]) == 0
    (board,) = json.loads(out.read_text("utf-8"))["boards"]
    (maker,) = board["arrangements"][0]["makers"]
    assert (maker["x"], maker["y"], maker["angle"], maker["outline"]) == (120.0, 101.6, 30.0, False)
    assert {"name": "guard", "value": False} in maker["measures"]


MANY = [f"--set={one}" for one in ("hole=1.5", "pitch=2.6", "outer=300", "cone=250", "fixing=glue", "width=400")]
LARGE = [f"--set={one}" for one in ("sized=both", "width=301", "height=221")]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["lamp"], "Use one of: grille, fan"),
        (["grille", "--set", "cone"], "NAME=VALUE"),
        (["grille", "--set", "cone=wide"], "not a length"),
        (["grille", "--set", "screws=four"], "Screws is a number, got “four”"),
        (["grille", "--set", "cone=130"], "narrower than the rim"),
        (["fan", "--set", "guard=perhaps"], "yes or no"),
        (["grille", "--set", "hole=10", "--set", "pitch=9"], "pitch: Holes of 10 mm need a pitch of 11 mm or more"),
        (["grille", *MANY], "pitch: A pattern has up to 5,000 holes, got "),
        (["grille", "--set", "width=60", "--set", "height=60", "--set", "fixing=glue"], "width: Its holes reach 10 mm"),
        (["grille", "--board", "deck", "--at", "10,100"], "--at: Its holes reach 30 mm over the edge of "),
        (["door", "--set", "vents=yes", "--set", "vent-width=800"], "vent-width: Its holes reach "),
        (["door", "--set", "vents=yes", "--set", "vent-pitch=5"], "vent-pitch: The pitch is wider than a hole"),
        (["display", "--set", "outer-width=500"], "outer-width: The display is wider than the cabinet: 480 mm between"),
        (["door", *LARGE], "width: The door is wider than an opening of 300 mm: got 301 mm."),
        (["door", *LARGE], "height: The door is wider than an opening of 220 mm: got 221 mm."),
        (["fan", "--at", "1,2"], "Name it with --board"),
        (["fan", "--board", "deck", "--at", "1"], "not X,Y"),
        (["fan", "--board", "deck", "--angle", "steep"], "not a number of degrees"),
    ],
)
def test_what_cannot_be_added_is_said_in_one_line_and_nothing_is_written(
    arguments: list[str], words: str, good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "more.json"
    assert cli.main(["add", str(good), *arguments, "--out", str(out)]) == 2
    told = capsys.readouterr().err
    assert words in told and len(told.splitlines()) == 1 and not out.exists()


def test_two_designs_are_compared_in_sentences_and_as_json(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed, raw = tmp_path / "changed.json", json.loads(good.read_text(encoding="utf-8"))
    placement = raw["boards"][0]["arrangements"][0]["placements"][0]
    placement["x"] += 30
    placement["y"] += 40
    changed.write_text(json.dumps(raw), encoding="utf-8")
    assert cli.main(["compare", str(good), str(changed)]) == 1
    said = capsys.readouterr().out
    assert f"{placement['label']} moved 30 mm to the right and 40 mm to the back." in said
    assert cli.main(["compare", str(good), str(changed), "--json"]) == 1
    rows = json.loads(capsys.readouterr().out)["changes"]
    assert [(row["kind"], row["placements"], row["dx"], row["dy"]) for row in rows] == [
        ("moved", [placement["id"]], pytest.approx(30), pytest.approx(40))
    ]
    assert cli.main(["compare", str(good), str(good)]) == 0
    assert capsys.readouterr().out == "Nothing is different.\n"
    sheet = tmp_path / "changed.pdf"
    asked = ["compare", str(good), str(changed), "--paper", "letter", "--units", "inch", "--out", str(sheet)]
    assert cli.main(asked) == 1
    assert f"Wrote {sheet}" in capsys.readouterr().out
    assert sheet.read_bytes().startswith(b"%PDF")
    assert cli.main([*asked, "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["changes"]
    assert cli.main([*asked[:-1], str(tmp_path / "none" / "x.pdf")]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_things_are_brought_to_other_files_each_whole_or_not_at_all(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    source = tmp_path / "source.json"
    source.write_bytes((ROOT / "scenarios" / "foundry-yard-cabinet.json").read_bytes())
    solo, compact = (tmp_path / f"{name}.json" for name in ("solo", "compact"))
    solo.write_bytes((ROOT / "scenarios" / "lantern-hill-solo.json").read_bytes())
    compact.write_bytes((ROOT / "scenarios" / "pine-shelf-compact.json").read_bytes())
    was = solo.read_bytes(), compact.read_bytes()
    asked = ["bring", str(source), "--boards", "grille, door", "--arrangement", "one"]
    assert cli.main([*asked, "--to", str(solo), str(compact), "--try"]) == 1
    said = capsys.readouterr().out
    assert f"{solo}: passes" in said
    assert f"{compact}: does not pass: it would have new stops" in said
    assert (solo.read_bytes(), compact.read_bytes()) == was
    assert cli.main([*asked, "--to", str(tmp_path / "none.json"), str(compact), str(solo), str(source)]) == 2
    out, err = capsys.readouterr()
    assert f"Wrote {solo}" in out
    assert "none.json cannot be read" in err
    assert "It is the design that these things are of" in err
    assert compact.read_bytes() == was[1]
    boards = [board["id"] for board in json.loads(solo.read_text("utf-8"))["boards"]]
    assert boards == ["deck", "grille", "door"]
    done = solo.read_bytes()
    assert cli.main([*asked, "--to", str(solo)]) == 0
    assert "has it already, as it is" in capsys.readouterr().out
    assert solo.read_bytes() == done
    assert cli.main(["check", str(solo)]) == 0


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ([], "Choose at least one board"),
        (["--boards", "none"], "There is no board"),
        (["--arrangement", "grille/none"], "There is no arrangement"),
        (["--cut-outs", "fan"], "There are no cut-outs “fan”"),
    ],
)
def test_what_cannot_be_brought_ends_with_a_sentence(
    good: Path, capsys: pytest.CaptureFixture[str], more: list[str], said: str
) -> None:
    source = ROOT / "scenarios" / "foundry-yard-cabinet.json"
    before = good.read_bytes()
    assert cli.main(["bring", str(source), "--to", str(good), *more]) == 2
    assert said in capsys.readouterr().err
    assert good.read_bytes() == before


def test_a_shelf_is_saved_and_opened_on_another_computer(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    workshop = service.open_workshop(here)
    workshop.open_file(good.read_bytes())
    workshop.close()
    file = tmp_path / "shelf.zip"
    assert cli.main(["save-shelf", str(file), "--data", str(here)]) == 0
    assert capsys.readouterr().out == f"1 design\nWrote {file}\n"
    title = json.loads(good.read_text("utf-8"))["title"]
    assert cli.main(["open-shelf", str(file), "--data", str(there)]) == 0
    assert capsys.readouterr().out == f"New: {title}\n"
    assert cli.main(["open-shelf", str(file), "--data", str(there)]) == 0
    assert capsys.readouterr().out == f"Here already: {title}\n"
    file.write_bytes(file.read_bytes()[:-30])
    assert cli.main(["open-shelf", str(file), "--data", str(there)]) == 2
    assert "damaged" in capsys.readouterr().err


def test_a_pack_is_written_whole_or_the_reason_is_said_and_nothing_is_left(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    few = ["pack", str(good), "--papers", "a4", "--units", "mm", "--only", "lists,sheets,design"]
    assert cli.main([*few, "--out", str(tmp_path / "there" / "plan.zip")]) == 0
    assert re.search(r"\d+ files, \d+ pages\nWrote .*plan\.zip\n", capsys.readouterr().out)

    raw = json.loads(good.read_text("utf-8"))
    raw["boards"][0]["arrangements"][0]["placements"][0]["x"] += 30
    (tmp_path / "older.json").write_text(json.dumps(raw), "utf-8")
    since = ["--only", "sheets", "--since", str(tmp_path / "older.json"), "--out", str(tmp_path / "there" / "since")]
    assert cli.main([*few[:-2], *since]) == 0
    assert len(list((tmp_path / "there" / "since" / "sheets" / "a4-mm").glob("*-what-changed.pdf"))) == 1
    (tmp_path / "older.json").unlink()

    def broken(*_: object) -> object:
        raise ProofError("It is not true.")

    monkeypatch.setattr("app.service.pack.files.list_of", broken)
    for out in ("new/plan", "new/plan.zip"):
        assert cli.main([*few, "--out", str(tmp_path / out)]) == 2
        assert "It is not true." in capsys.readouterr().err
    (tmp_path / "file").write_text("no folder")
    assert cli.main([*few, "--out", str(tmp_path / "file" / "plan")]) == 2
    assert "cannot be written" in capsys.readouterr().err
    assert cli.main([*few[:-1], "nonsense", "--out", str(tmp_path / "plan")]) == 2
    assert "There are no files “nonsense”" in capsys.readouterr().err
    assert sorted(each.name for each in tmp_path.iterdir() if each != good) == ["file", "there"]


def test_add_reads_no_design_with_a_boundary_that_crosses_itself(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    raw, out = json.loads(good.read_text("utf-8")), tmp_path / "more.json"
    bow = [{"x": x, "y": y} for x, y in ((0, 0), (50, 50), (50, 0), (0, 50))]
    raw["patterns"] = [{"id": "grille", "hole": 5, "pitch": 9, "boundary": {"shape": "outline", "corners": bow}}]
    good.write_text(json.dumps(raw), "utf-8")
    assert cli.main(["add", str(good), "fan", "--out", str(out)]) == 2
    told = capsys.readouterr().err
    assert "patterns[0]: " in told and "cross" in told and not out.exists()
