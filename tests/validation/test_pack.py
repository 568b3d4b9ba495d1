"""Packs read back by programs that had no part in writing them.

Pages are counted against the contents, every template page of every booklet is measured by PyMuPDF against what the
scenario's JSON asks for (tests/boards/scenario_cuts.py), bookmarks lead where they say, fonts are embedded
(ISO 32000-1, 9.9: a font program in its descriptor), pikepdf opens and checks each file, checksums are hashlib's.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import re
import subprocess
import sys
import zipfile
from collections import Counter
from functools import cache
from pathlib import Path, PurePosixPath

import pikepdf
import pymupdf
import pytest

from app.catalogue.load import catalogue
from app.document.load import loads
from app.document.resolve import design_parts, resolve
from app.model.part import Face
from app.model.printing import Printing
from app.paper.sheet.sheets import plan_sheets
from app.service.pack.packing import CHECKSUMS, PROOF, README, Pack, made_pack, zipped
from app.service.pack.request import PackRequest
from app.values import replace
from tests.boards.scenario_cuts import Case, cases, counterbores, pilots, through_cuts
from tests.long_run import in_gate, long
from tests.reading.measure import POINT, fit_circle, pdf_curves
from tests.tools import ROOT

PAPERS = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}
"""ISO 216 and ASME Y14.1 [mm]."""

TRUE = 0.01
"""Largest error in a file [mm]."""

DECKS = ["lantern-hill-solo", "harbour-lane-two-seater", "foundry-yard-cabinet"]
each_deck = pytest.mark.parametrize("name", in_gate(DECKS, lambda name: name == "harbour-lane-two-seater"))


def text_of(name: str) -> str:
    return (ROOT / "scenarios" / f"{name}.json").read_text("utf-8")


@cache
def pack_of(name: str) -> Pack:
    return made_pack(loads(text_of(name)), PackRequest())


def files_in(name: str, folder: str) -> dict[str, bytes]:
    return {file.path: file.data for file in pack_of(name).files if file.path.startswith(f"{folder}/")}


def booklet_parts(path: str) -> tuple[str, str]:
    """The paper and the unit of a booklet, by its name."""
    paper, unit = PurePosixPath(path).stem.split("-")[-2:]
    return paper, unit


@each_deck
def test_the_pages_of_a_booklet_are_those_of_its_contents(name: str) -> None:
    """Every heading stands on the page that contents and bookmarks name, and every page says which it is."""
    booklets = files_in(name, "booklets")
    arrangements = len(json.loads(text_of(name))["boards"][0]["arrangements"])
    assert len(booklets) == 4 * arrangements
    for path, data in booklets.items():
        paper, _ = booklet_parts(path)
        with pymupdf.open(stream=data, filetype="pdf") as file:
            outline = file.get_toc()
            words = [page.get_text() for page in file]
            front = " ".join(" ".join(words[: outline[0][2] - 1]).split())
            for _, title, page in outline:
                # The title, dots or nothing between, and its page: as a builder reads it.
                assert re.search(rf"{re.escape(title)} {page}\b", front), (path, title, page)
            assert [page for _, _, page in outline] == sorted(page for _, _, page in outline)
            assert outline[-1][1] == "What was proved"
            assert outline[-1][2] == len(words)
            assert "WHAT WAS PROVED" in words[-1]
            for number, (page, said) in enumerate(zip(file, words, strict=True), 1):
                sides = sorted((page.rect.width * POINT, page.rect.height * POINT))
                assert sides == pytest.approx(PAPERS[paper], abs=TRUE)
                numbered = re.findall(r"booklet page (\d+) of (\d+)", said)
                # A sheet that reaches down to where printers stop has no number, but is the only sort without.
                assert numbered == [(str(number), str(len(words)))] or (not numbered and "column" in said), (
                    path,
                    number,
                )


@each_deck
def test_what_begins_under_a_bookmark_is_what_it_says(name: str) -> None:
    for path, data in files_in(name, "booklets").items():
        with pymupdf.open(stream=data, filetype="pdf") as file:
            board = ""
            for level, title, number in file.get_toc():
                said = " ".join(file[number - 1].get_text().split())
                if level == 2:
                    board = title.removesuffix(", underside")
                    assert board.lower() in said.lower(), (path, title, number)
                    if title.endswith(", underside"):
                        assert "UNDERSIDE" in said, (path, title, number)
                elif title.lower().startswith(("check sheet", "parts list", "drilling run", "mark out")):
                    assert title.lower() in said.lower(), (path, title, number)


@each_deck
def test_every_template_page_of_every_booklet_is_true(name: str) -> None:
    text = text_of(name)
    known = {(case.board, case.arrangement, case.face): case for case in cases() if case.name == name}
    measured = 0
    for path, data in files_in(name, "booklets").items():
        paper, _ = booklet_parts(path)
        boards = {board["id"]: board for board in json.loads(text)["boards"]}
        stem = PurePosixPath(path).stem
        for case, first in template_sections(data, known, boards, stem):
            measured += measure(data, case, paper, first)
    assert measured > 50 * len(files_in(name, "booklets")) / 4


def template_sections(
    data: bytes, known: dict[tuple[str, str, Face], Case], boards: dict[str, dict[str, object]], stem: str
) -> list[tuple[Case, int]]:
    """What the templates in a booklet are of, and the index of the first sheet of each."""
    with pymupdf.open(stream=data, filetype="pdf") as file:
        outline, words = file.get_toc(), [page.get_text() for page in file]
    found = []
    for (board, arrangement, face), case in known.items():
        if not stem.endswith(f"-{arrangement}-{'-'.join(booklet_parts(stem))}"):
            continue
        title = str(boards[board]["name"]) + (", underside" if face == "under" else "")
        titled = [page for _, said, page in outline if said == title]
        if len(known) == 1 or not titled:  # one board without an underside: the heading is its own
            titled = [page for level, said, page in outline if said == "Template" and level == 1]
        # After the cover, the first page that says its row and column.
        near = (n for page in titled for n in (page - 1, page))
        begins = next((n for n in near if "row 1 of" in words[n] and face_of(words[n]) == face), None)
        if begins is not None:
            found.append((case, begins))
    assert found
    return found


def face_of(words: str) -> str:
    return "under" if "UNDERSIDE" in words else "top"


def measure(data: bytes, case: Case, paper: str, first: int) -> int:
    """How many round cuts were measured on the sheets that begin at a page."""
    board = resolve(loads(case.text), case.board, case.arrangement, catalogue())
    tiles = plan_sheets(board, case.face, Printing(catalogue().papers[paper])).tiling.tiles
    cuts = [cut for cut in through_cuts(case) + counterbores(case) + pilots(case) if cut.diameter]
    shown = set()
    for number, tile in enumerate(tiles, first):
        x0, y0, x1, y1 = tile.window
        fits = [fit_circle(run) for run in pdf_curves(data, number) if len(run) >= 9]
        circles = [(f.x - tile.offset[0], f.y - tile.offset[1], f.diameter) for f in fits if f.spread < TRUE]
        for k, cut in enumerate(cuts):
            if x0 <= cut.x <= x1 and y0 <= cut.y <= y1:
                near = min(max(abs(x - cut.x), abs(y - cut.y), abs(d - cut.diameter)) for x, y, d in circles)
                assert near <= TRUE, (case.board, case.face, number, cut, near)
                shown.add(k)
    assert shown == set(range(len(cuts))), f"a hole of {case.board} is on no sheet of {case.face}"
    return len(shown)


@each_deck
def test_every_pdf_is_sound_and_brings_its_letters(name: str) -> None:
    pdfs = {file.path: file.data for file in pack_of(name).files if file.path.endswith(".pdf")}
    assert len(pdfs) > 20
    for path, data in pdfs.items():
        with pikepdf.open(io.BytesIO(data)) as file:
            assert file.check_pdf_syntax() == [], path
            assert file.Root.ViewerPreferences.PrintScaling == pikepdf.Name("/None"), path
            fonts = {id(font): font for page in file.pages for font in page.obj.Resources.get("/Font", {}).values()}
            drawn = [font for font in fonts.values() if font.Subtype != pikepdf.Name("/Type1")]
            assert drawn, path
            for font in drawn:
                assert "/FontFile2" in font.FontDescriptor, (path, font.BaseFont)
        if path.startswith("booklets/"):  # as long as all others together, and made of the same pages
            brought = {str(font.BaseFont).partition("+")[2] for font in drawn}
            with pymupdf.open(stream=data, filetype="pdf") as read:
                runs = [run for page in read.pages() for run in page.get_texttrace()]
            assert runs, path
            assert {run["font"] for run in runs} <= brought, (path, brought)


@each_deck
def test_lists_say_the_same_as_csv_and_as_json(name: str) -> None:
    lists = files_in(name, "lists")
    tables = [path for path in lists if path.endswith(".csv")]
    assert tables
    for path in tables:
        head, *rows = csv.reader(io.StringIO(lists[path].decode("utf-8-sig")))
        found = json.loads(lists[path.removesuffix(".csv") + ".json"])
        table = next(iter(found.values()))  # the list itself; others stand beside it
        assert len(rows) == len(table) > 0, path
        for row, there in zip(rows, table, strict=True):
            assert len(row) == len(head) == len(there), path
            # Words stand as they are; a length is in mm in the one, in the list's unit in the other.
            said = [value for value in there.values() if isinstance(value, str)]
            assert [value for value in said if value not in row] == [], path


@each_deck
def test_lists_have_the_centres_and_the_parts_of_the_document(name: str) -> None:
    """Every hole and pilot where the scenario's own JSON has it, and as many of each part as are drilled there."""
    lists = files_in(name, "lists")
    compared = 0
    for case in (case for case in cases() if case.name == name and case.face == "top"):
        board = next(b for b in json.loads(case.text)["boards"] if b["id"] == case.board)
        rows = next(a for a in board["arrangements"] if a["id"] == case.arrangement)["placements"]
        ends = [f"-{case.arrangement}-marking.json", f"-{case.board}-{case.arrangement}-marking.json"]
        several = len(json.loads(case.text)["boards"]) > 1
        path = next(path for path in lists if path.startswith("lists/mm/") and path.endswith(ends[several]))
        listed = json.loads(lists[path])["centres"]
        # A list says what a rule is read to, and how far that is off.
        true = [(row["left"] - row["left_off"], row["front"] - row["front_off"]) for row in listed]
        below = replace(case, face="under")
        width = resolve(loads(case.text), case.board, case.arrangement, catalogue()).width
        places = [(cut.x, cut.y) for cut in through_cuts(case)]
        places += [(cut.x, cut.y) for cut in pilots(case)] + [(width - cut.x, cut.y) for cut in pilots(below)]
        for x, y in places:
            near = min(max(abs(left - x), abs(front - y)) for left, front in true)
            assert near < 0.001, (path, x, y, near)
        compared += len(places)
        with io.StringIO(lists[path.replace("marking.json", "marking.csv")].decode("utf-8-sig")) as text:
            head, *table = csv.reader(text)
            at = head.index("Left [mm]")
            assert [float(row[at]) for row in table] == pytest.approx([row["left"] for row in listed], abs=0.0006)
        patterns = {
            pattern["id"] for pattern in json.loads(case.text).get("patterns", ())
        }  # nothing is bought for them
        named = {part.id: part.name for part in design_parts(loads(case.text), catalogue()).values()}
        parts = Counter(named[row["part"]] for row in rows if row["drill"] and row["part"] not in patterns)
        bought = json.loads(lists[path.replace("marking", "parts")])["parts"]
        for part, many in parts.items():
            found = [row["count"] for row in bought if row["name"] == part]
            assert found == [many], (path, part, found, many)
    assert compared > 10


@each_deck
def test_checksums_proof_and_where_to_begin_are_true(name: str) -> None:
    pack = pack_of(name)
    data = {file.path: file.data for file in pack.files}
    sums = {path: code for code, path in (line.split("  ", 1) for line in data[CHECKSUMS].decode().splitlines())}
    assert sums == {path: hashlib.sha256(each).hexdigest() for path, each in data.items() if path != CHECKSUMS}
    proof = json.loads(data[PROOF])
    proved = {row["file"] for row in proof["files"]}
    assert proved <= set(data)
    assert {path for path in data if path.endswith(("template.pdf", ".dxf")) or "/drawing" in path} <= proved
    assert {path for path in data if path.startswith("booklets/")} <= proved
    assert max(row["largest_difference_mm"] for row in proof["files"]) < proof["tolerance_mm"] == TRUE
    readme = data[README].decode()
    for path in data:
        if path.startswith("booklets/"):
            assert path in readme
    assert loads(data[next(path for path in data if path.startswith("design/"))].decode()) == loads(text_of(name))


ELSEWHERE = [
    {"PYTHONHASHSEED": "3", "TZ": "Pacific/Kiritimati", "LC_ALL": "C", "COLUMNS": "40"},
    {"PYTHONHASHSEED": "4", "TZ": "America/Adak", "LC_ALL": "C.UTF-8", "PYTHONUTF8": "1"},
]
"""Ends of the world, by their clocks; hashes of text, by which sets are ordered; and what files are read as."""


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("lantern-hill-solo", ("--only", "lists,design", "--units", "mm")),
        pytest.param("harbour-lane-two-seater", (), marks=long),
    ],
)
def test_packs_made_elsewhere_are_the_same_to_the_byte(name: str, options: tuple[str, ...], tmp_path: Path) -> None:
    """Whatever the process, the seed of its hashes, the time zone, the locale and the folder."""
    found = set()
    for k, there in enumerate(ELSEWHERE):
        out = tmp_path / f"folder {k}" / "plan.zip"
        command = [sys.executable, "-m", "app", "pack", f"scenarios/{name}.json", *options, "--out", str(out)]
        done = subprocess.run(command, cwd=ROOT, env={**os.environ, **there}, capture_output=True, check=False)
        assert done.returncode == 0, done.stderr.decode()
        found.add(hashlib.sha256(out.read_bytes()).hexdigest())
    assert len(found) == 1


def test_two_runs_by_one_process_and_by_two_are_the_same_to_the_byte() -> None:
    name = "harbour-lane-two-seater"
    again = made_pack(loads(text_of(name)), PackRequest(), processes=2)
    assert again == pack_of(name)
    assert zipped(again) == zipped(pack_of(name))
    with zipfile.ZipFile(io.BytesIO(zipped(again))) as archive:
        assert archive.testzip() is None
        assert sorted(archive.namelist()) == sorted(f"{again.name}/{file.path}" for file in again.files)


@each_deck
def test_what_was_proved_is_what_reading_the_booklet_has_found(name: str) -> None:
    """The figures on the last page are those of the proof that goes with it."""
    pack = pack_of(name)
    for file in pack.files:
        if not file.path.startswith("booklets/"):
            continue
        with pymupdf.open(stream=file.data, filetype="pdf") as read:
            said = " ".join(read[-1].get_text().split())
        for what, proof in file.proofs:
            assert f"{what} {proof.pages} {proof.holes} {proof.largest:.4f}" in said, (file.path, what)
