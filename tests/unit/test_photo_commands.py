"""The command that measures in a photograph: its lines, its JSON, its exit codes, and that it changes nothing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app import cli
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.resolve import resolve
from app.service import new_design
from tests.photographs.of_board import photograph

DESIGN = new_design(NewDeck(title="One-seater", players=1, width=460.0, depth=240.0))


def test_measure_prints_every_hole_and_leaves_the_design_as_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design, photo = tmp_path / "deck.json", tmp_path / "deck.jpg"
    design.write_text(dumps(DESIGN), "utf-8")
    board = resolve(DESIGN, None, None, catalogue())
    photo.write_bytes(
        photograph(
            board, off={"b/hole-1/through": (1.5, 0.0)}, undrilled=frozenset({"f/hole-1/through"}), size=(1400, 1050)
        )
    )
    assert cli.main(["measure", str(design), str(photo), "--json"]) == 1, "F is not there"
    told = json.loads(capsys.readouterr().out)
    holes = {hole["id"]: hole for hole in told["holes"]}
    assert holes["f/hole-1/through"]["not_measured"] and told["face"] == "top"
    b = holes["b/hole-1/through"]
    assert b["centre_mm"] == pytest.approx([b["designed_mm"][0] + 1.5, b["designed_mm"][1]], abs=0.3)
    assert cli.main(["measure", str(design), str(photo), "--size", "460x240"]) == 1
    assert "F: No hole is seen there" in capsys.readouterr().out
    assert cli.main(["measure", str(design), str(photo), "--size", "600x240"]) == 2
    assert "The board is drawn 460 mm wide" in capsys.readouterr().err
    assert cli.main(["measure", str(design), str(design)]) == 2
    assert "no photograph that can be read" in capsys.readouterr().err
    assert cli.main(["measure", str(design), str(tmp_path / "none.jpg")]) == 2
    assert design.read_text("utf-8") == dumps(DESIGN)
