"""Where the designs are kept, by flag and environment; a shelf moved, backed up and restored by command."""

from __future__ import annotations

import argparse
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from urllib.request import ProxyHandler, build_opener

import pytest

from app import cli, service
from app.arguments import DATABASE_VARIABLE, place_chosen, place_named
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.errors import StoreError
from tests.running import free_port
from tests.tools import ROOT

DECK = NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)


def chosen(data: Path | None, database: str | None) -> Path | str | None:
    return place_chosen(argparse.Namespace(data=data, database=database))


def test_a_flag_wins_over_the_environment_and_two_flags_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(DATABASE_VARIABLE, raising=False)
    assert chosen(None, None) is None
    assert chosen(Path("here"), None) == Path("here")
    assert chosen(None, "sqlite:///one.db") == "sqlite:///one.db"
    monkeypatch.setenv(DATABASE_VARIABLE, "sqlite:///two.db")
    assert chosen(None, None) == "sqlite:///two.db"
    assert chosen(Path("here"), None) == Path("here")
    assert chosen(None, "sqlite:///one.db") == "sqlite:///one.db"
    with pytest.raises(StoreError, match="Both --data and --database"):
        chosen(Path("here"), "sqlite:///one.db")
    monkeypatch.setenv(DATABASE_VARIABLE, "")
    assert chosen(None, None) is None


def test_a_place_is_a_url_or_a_folder() -> None:
    assert place_named("sqlite:///one.db") == "sqlite:///one.db"
    assert place_named("C:/designs") == Path("C:/designs")


@pytest.mark.parametrize("command", ["serve", "backup x.db", "restore x.db"])
def test_two_places_are_refused_by_every_command(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main([*command.split(), "--data", "here", "--database", "sqlite:///one.db"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("holewise: Both --data and --database")
    assert said.count("\n") == 1


def test_the_app_serves_from_the_database_the_environment_names(database_url: str) -> None:
    workshop = service.open_workshop(database_url)
    workshop.create(DECK)
    workshop.close()
    port = free_port()
    env = {**os.environ, DATABASE_VARIABLE: database_url, "PYTHONUNBUFFERED": "1"}
    command = [sys.executable, "-m", "app", "serve", "--port", str(port), "--no-open"]
    with subprocess.Popen(command, cwd=ROOT, env=env, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            assert f":{port}/" in process.stdout.readline()
            with build_opener(ProxyHandler({})).open(f"http://127.0.0.1:{port}/", timeout=30) as answer:
                assert "Two-seater" in answer.read().decode()
        finally:
            process.terminate()


def numbers(said: str) -> list[tuple[str, str, str, str]]:
    """Designs, revisions and corrections, and the digest, of each store that is named."""
    pattern = r": (\d+) designs?, (\d+) revisions?, (\d+) printer corrections?\n  SHA-256 ([0-9a-f]{64})\n"
    return re.findall(pattern, said)


def test_move_prints_the_same_counts_and_digest_for_both(
    database_url: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    source = tmp_path / "source"
    workshop = service.open_workshop(source)
    workshop.create(DECK)
    workshop.printers.keep("Desk", "a4", 1.0, 0.999, "A 189.8 mm")
    workshop.close()
    assert cli.main(["move", str(source), database_url]) == 0
    said = capsys.readouterr().out
    here, there = numbers(said)
    assert here == there
    assert here[:3] == ("1", "1", "1")
    assert str(source) in said
    assert cli.main(["move", str(source), database_url]) == 2
    assert "already" in capsys.readouterr().err
    opened = service.open_workshop(database_url)
    assert [item.row.title for item in opened.shelf.look().items] == ["Two-seater"]
    opened.close()


def test_backup_and_restore_bring_a_design_back(
    database_url: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    workshop = service.open_workshop(database_url)
    deck = workshop.create(DECK).design.id
    file = str(tmp_path / "friday.db")

    def run(*arguments: str) -> list[tuple[str, str, str, str]]:
        assert cli.main([*arguments, "--database", database_url]) == 0
        return numbers(capsys.readouterr().out)

    (backed,) = run("backup", file)
    workshop.create(DECK)
    assert cli.main(["restore", file, "--database", database_url]) == 2
    assert "--replace" in capsys.readouterr().err
    (restored,) = run("restore", file, "--replace")
    assert backed == restored
    # The app that was open all the while shows what was restored.
    assert [item.row.id for item in workshop.shelf.look().items] == [deck]
    workshop.close()


REFUSED: dict[str, Callable[[Path], list[str]]] = {
    "no store at": lambda folder: ["move", str(folder / "none"), str(folder / "to")],
    "is not there": lambda folder: ["restore", str(folder / "none.db"), "--data", str(folder / "to")],
    "no file": lambda folder: ["backup", str(folder / "x.db"), "--database", "sqlite://"],
}


@pytest.mark.parametrize("words", sorted(REFUSED))
def test_what_cannot_be_done_is_said_in_one_line(
    words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(REFUSED[words](tmp_path)) == 2
    said = capsys.readouterr()
    assert words in said.err
    assert (said.out, said.err.count("\n")) == ("", 1)
    assert list(tmp_path.iterdir()) == []
