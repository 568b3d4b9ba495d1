"""The documents keep up with the code: commands, calls, rules and pictures that are named exist."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

import pytest

from app import cli
from app.fit.limits.pair_table import rows_of_tables
from tests.tools import ROOT
from tests.write_tables import covered, written

RUN_LINE = "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/holewise"
TEST_LINE = (
    'python3 -m venv .venv && .venv/bin/pip install -c tests/constraints.txt -e ".[test]" && .venv/bin/python -m tests'
)


def text_of(name: str) -> str:
    return (ROOT / name).read_text("utf-8")


def subcommands() -> dict[str, argparse.ArgumentParser]:
    for action in cli.make_parser()._actions:
        if isinstance(action, argparse._SubParsersAction):
            return dict(action.choices)
    raise AssertionError("the command line has commands")


def test_the_readme_begins_with_the_job_and_goes_on_with_the_two_commands() -> None:
    readme = text_of("README.md")
    blocks = [block for block in readme.split("\n\n") if block.strip()]
    assert blocks[0].startswith("# ")
    job = blocks[1]
    assert not job.startswith(("#", "!", "[", "```", "-", "|")), "a paragraph comes first"
    assert {"drill", "board"} <= set(re.findall(r"[a-z]+", job.lower()))
    assert readme.index(job) < readme.index(RUN_LINE) < readme.index(TEST_LINE)


def test_the_readme_has_the_windows_form_too() -> None:
    assert r".venv\Scripts\holewise" in text_of("README.md")


def test_the_build_runs_the_readmes_own_test_line() -> None:
    run = text_of(".ci/run").splitlines()
    said = [line.strip().split(" || ")[0] for line in run]
    steps = [said.index(step) for step in TEST_LINE.split(" && ")]
    assert steps == sorted(steps)


def test_the_long_run_is_in_both_documents() -> None:
    for name in ("README.md", "DEVELOPERS.md"):
        assert ".venv/bin/python -m tests --long" in text_of(name)


@pytest.mark.parametrize("command", sorted(subcommands()))
def test_every_call_of_the_command_line_is_in_the_readme(command: str) -> None:
    readme = text_of("README.md")
    assert re.search(rf"holewise \[?{command}\b", readme), f"holewise {command} is not explained"
    actions = subcommands()[command]._actions
    options = {option for action in actions for option in action.option_strings} - {"-h", "--help"}
    assert not {option for option in options if option not in readme}, "options that are not explained"


def test_every_fit_rule_is_in_the_developers_guide() -> None:
    from app.fit.registry import RULES

    guide = text_of("DEVELOPERS.md")
    names = [rule.name for rule in RULES]
    assert len(names) >= 12
    assert [name for name in names if f"`{name}`" not in guide] == []


def test_the_tables_of_the_developers_guide_are_as_the_code_has_them() -> None:
    guide = text_of("DEVELOPERS.md")
    assert written(guide) == guide, "python -m tests.write_tables"


def test_no_pair_is_lost_on_the_way_into_the_guide() -> None:
    """What the brief words of the guide stand for is what they were made from: any two of some, one lot by another."""
    cells: dict[tuple[str, tuple[str, ...], str], set[frozenset[str]]] = {}
    for title, one, other, cell in rows_of_tables():
        cells.setdefault((title, cell.rules, cell.because), set()).add(frozenset((one, other)))
    for pairs in cells.values():
        listed = sorted((min(pair), max(pair)) for pair in pairs)
        meant: set[frozenset[str]] = set()
        for clause in covered(listed).split("; "):
            ones, between, others = clause.removeprefix("any two of ").partition(" – ")
            meant |= {frozenset((a, b)) for a in ones.split(", ") for b in (others if between else ones).split(", ")}
        assert meant == pairs


def test_every_package_is_in_the_developers_guide() -> None:
    guide = text_of("DEVELOPERS.md")
    packages = [path.parent.name for path in (ROOT / "app").glob("*/__init__.py")]
    assert [name for name in packages if not re.search(rf"\b{name}\b", guide)] == []


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_every_picture_and_page_that_is_linked_exists(name: str) -> None:
    targets = re.findall(r"\]\(([^)#\s]+)", text_of(name))
    local = [target for target in targets if "://" not in target]
    assert [target for target in local if not (ROOT / target).is_file()] == []


def test_the_readme_shows_pictures() -> None:
    pictures = re.findall(r"!\[([^\]]+)\]\(([^)\s]+\.png)\)", text_of("README.md"))
    assert len(pictures) >= 3
    for words, target in pictures:
        assert len(words) > 10, "a picture is described for those who do not see it"
        assert Path(ROOT / target).read_bytes().startswith(b"\x89PNG\r\n\x1a\n")
