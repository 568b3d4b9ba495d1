"""Steps on paper, read back by PyMuPDF: every title in its order, inside both papers, no word over another.

Both papers, both units; CSV and JSON say the same as the sheet. What prints on A4 and on Letter: 210 mm wide, less
6.35 mm on each side that no printer reaches, and 279.4 mm high.
"""

from __future__ import annotations

import csv
import io
import json
import re
from itertools import product

import numpy as np
import pymupdf
import pytest

from app.document.own_steps import own_steps_of
from app.document.scenarios import load_scenario, scenario_list
from app.document.schema import ArrangementEntry, CounterboreEntry, Design
from app.document.steps_schema import AddedStepEntry, StepsEntry, StepWordsEntry
from app.service import list_file, sheet_file
from app.units import INCH
from tests.long_run import by_turns

POINT = INCH / 72
UNITS = ["mm", "inch"]
SCENARIOS = [each.id for each in scenario_list()]
HOSTILE = (
    "=1+1 <b>&amp;</b> {{ 7*7 }} ẞ漢字",
    "W" * 200,
    "\n".join(["Long " + "word " * 60] * 6 + ["=SUM(A1)"]),
)


def sunk(design: Design) -> Design:
    """With counterbores and paint, so that every kind of step is there."""

    def below(arrangement: ArrangementEntry) -> ArrangementEntry:
        bore = CounterboreEntry(diameter=40.0, depth=6.0)
        rows = (p.model_copy(update={"counterbore": bore}) if "28" in p.part else p for p in arrangement.placements)
        return arrangement.model_copy(update={"placements": tuple(rows)})

    deck = design.boards[0]
    changed = deck.model_copy(update={"paint": 0.2, "arrangements": tuple(below(a) for a in deck.arrangements)})
    return design.model_copy(update={"boards": (changed, *design.boards[1:])})


def own(design: Design) -> Design:
    """With hostile words, an added step that is longer than a page's half, and one whose subject is gone."""
    steps = StepsEntry(
        worded=(
            StepWordsEntry(key="ease", title=HOSTILE[0], text=HOSTILE[0]),
            StepWordsEntry(key="mount/nowhere/button", title=HOSTILE[1], text=HOSTILE[1]),
        ),
        added=(AddedStepEntry(key="own/1", title="Rest", text=HOSTILE[2]),),
        hidden=("sand",),
    )
    return design.model_copy(update={"steps": steps})


def titles_of(design: Design) -> list[str]:
    """The titles that the list has."""
    return [row["title"] for row in json.loads(list_file("steps", design, fmt="json").data)["steps"]]


def plain(text: str) -> str:
    """Letters that every typeface has, without spaces: a word too long for its line is shortened, others are drawn."""
    return re.sub(r"[^!-~ -ÿ]", "", text)


@pytest.mark.parametrize(
    ("name", "printed"),
    by_turns(["foundry-yard-cabinet", "lantern-hill-solo", "leaky-raft"], list(product(["a4", "letter"], UNITS))),
)
def test_every_step_is_on_the_sheet_in_order_and_inside_both_papers(name: str, printed: tuple[str, str]) -> None:
    paper, units = printed
    design = sunk(load_scenario(name)).model_copy(update={"units": units})
    titles = titles_of(design)
    rows = json.loads(list_file("steps", design, paper=paper, fmt="json").data)["steps"]
    with pymupdf.open(stream=sheet_file("steps", design, paper=paper).data) as pages:
        words = [word for page in pages for word in page.get_text("words")]
        assert min(word[0] for word in words) * POINT >= 6.35
        assert max(word[2] for word in words) * POINT <= 210 - 6.35 + (5.9 if paper == "letter" else 0)
        text = "".join(plain(word[4]) for word in words)
    at = 0
    for number, title in enumerate(titles, 1):
        found = text.find(plain(f"{number}{title}").replace(" ", ""), at)
        assert found >= at, (number, title)
        at = found
    for row in rows:
        for cell in (row["how"], row["needs"], row["dries"], row["caution"]):
            for word in str(cell).split():
                assert plain(word) in text, (row["title"], word)


@pytest.mark.parametrize("name", ["foundry-yard-cabinet", "willow-court-easy-reach"])
def test_hostile_words_are_set_as_words_and_a_long_step_goes_on(name: str) -> None:
    design = own(sunk(load_scenario(name)))
    titles = titles_of(design)
    with pymupdf.open(stream=sheet_file("steps", design, paper="a4").data) as pages:
        text = "".join(plain(word[4]) for page in pages for word in page.get_text("words"))
        assert text.count("Long") == 6
        for page in pages:
            found = [pymupdf.Rect(word[:4]) for word in page.get_text("words")]
            assert min(r.y0 for r in found) * POINT >= 6.35
            assert max(r.y1 for r in found) * POINT <= 297 - 6.35
            drawings = [path["rect"] for path in page.get_drawings()]
            assert min(r.x0 for r in drawings) * POINT >= 6.0
            assert max(r.x1 for r in drawings) * POINT <= 210 - 6.0
            assert max(r.y1 for r in drawings) * POINT <= 297 - 6.0
    assert "Rest" in titles
    assert HOSTILE[0] in titles
    assert not any(title.startswith("Sand") for title in titles)
    assert "Left out on purpose: Sand" in list_notes(design)
    gone = json.loads(list_file("steps", design, fmt="json").data)["steps"]
    assert [row["how"].startswith("What this step was for is no longer in the design.") for row in gone].count(
        True
    ) == 1


def list_notes(design: Design) -> str:
    with pymupdf.open(stream=sheet_file("steps", design).data) as pages:
        return " ".join(word[4] for word in pages[0].get_text("words"))


@pytest.mark.parametrize(("name", "units"), by_turns(SCENARIOS, UNITS))
def test_nothing_overlaps(name: str, units: str) -> None:
    """No word lies on another: their boxes as PyMuPDF reads them, less a hair."""
    design = sunk(load_scenario(name)).model_copy(update={"units": units})
    with pymupdf.open(stream=sheet_file("steps", design).data) as pages:
        for page in pages:
            found = page.get_text("words")
            boxes = np.array([word[:4] for word in found]) + np.array([0.3, 2.0, -0.3, -2.0])
            low, high = boxes[:, None, :2], boxes[:, None, 2:]
            over = (np.minimum(high, boxes[None, :, 2:]) - np.maximum(low, boxes[None, :, :2])).min(axis=2) > 0
            np.fill_diagonal(over, val=False)
            assert not over.any(), [(found[i][4], found[k][4]) for i, k in np.argwhere(over)[:4]]


@pytest.mark.parametrize(("board", "units"), by_turns([None, "deck", "door"], UNITS))
def test_the_files_for_other_programs_say_the_same(board: str | None, units: str) -> None:
    design = own(sunk(load_scenario("foundry-yard-cabinet"))).model_copy(update={"units": units})
    data = {fmt: list_file("steps", design, board, fmt=fmt).data for fmt in ("csv", "json")}
    lines = list(csv.reader(io.StringIO(data["csv"].decode("utf-8-sig"), newline="")))
    rows = json.loads(data["json"])["steps"]
    assert lines[0] == ["Done", "Step", "What", "How", "You need", "Dries", "Caution"]
    assert len(lines) - 1 == len(rows)
    for line, row in zip(lines[1:], rows, strict=True):
        assert line[1] == str(row["step"])
        for cell, name in zip(line[2:], ("title", "how", "needs", "dries", "caution"), strict=True):
            assert cell == (f"'{row[name]}" if row[name].startswith("=") else row[name])
    assert own_steps_of(design).hidden == {"sand"}


@pytest.mark.parametrize("name", SCENARIOS)
def test_what_can_hurt_has_its_caution(name: str) -> None:
    """The usual ones of a workshop; common practice, no source. Mains is left to local code and licensed trades."""
    rows = json.loads(list_file("steps", sunk(load_scenario(name)), fmt="json").data)["steps"]
    wanted = {
        "Cut ": ("eye and ear protection", "blade", "mask"),
        "Punch ": ("no gloves", "Eye and ear"),
        "Drill the through holes": ("jerks", "clamp the board", "no gloves"),
        "Sand": ("mask",),
        "Paint": ("windows", "flames", "gloves"),
        "Wire": ("Unplug", "licensed electrician", "local code"),
    }
    for begins, words in wanted.items():
        found = [row for row in rows if row["title"].startswith(begins)]
        assert found, begins
        for row in found:
            assert all(word in row["caution"] for word in words), row["title"]
    assert all("tin" in row["dries"] or "label" in row["dries"] for row in rows if row["dries"])
    assert sum(bool(row["dries"]) for row in rows) >= 3
