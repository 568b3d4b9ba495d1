"""One spelling, British, and words that must not come back in anything a builder reads."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

AMERICAN = (
    "aluminum", "behavior", "caliper", "calipers", "canceled", "catalog", "center", "centered", "centers", "color",
    "colors", "counter-clockwise", "counterclockwise", "favorite", "gray", "labeled", "meters", "millimeter",
    "millimeters", "modeled", "molding", "organize", "program's", "recognize", "traveling", "vise", "wrench",
)  # fmt: skip
"""Not said by a British woodworker."""

TRANSLATED = (
    "ails", "all the same", "anew", "free without end", "is no length", "is no number", "is no port", "let go",
    "lies beside", "likewise", "part in hand", "snaps to nothing", "station in hand", "whatever it holds",
)  # fmt: skip
"""Turns of phrase that read like a translation."""

_TEXT = re.compile(r"<[^>]*>|{#.*?#}|{%.*?%}|{{.*?}}", re.DOTALL)
_READ = re.compile(r'(?:aria-label|title|alt|placeholder|content)="([^"]*)"')


def template_words(path: Path) -> Iterator[str]:
    """What of a template is read or heard: text, labels, titles, and words handed to a macro."""
    text = path.read_text()
    yield from _READ.findall(text)
    yield from (words for words in re.findall(r'"([^"<>{}=]* [^"<>{}=]*)"', text))
    yield from _TEXT.sub("\n", re.sub(r"<(style|script).*?</\1>", "", text, flags=re.DOTALL)).splitlines()


def python_words(path: Path) -> Iterator[str]:
    """Every string of a module that is no docstring and has more than one word."""
    tree = ast.parse(path.read_text())
    doc = {
        id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in doc and " " in node.value:
            yield node.value


def script_words(path: Path) -> Iterator[str]:
    """Every quoted text of a script that has more than one word."""
    code = re.sub(r"^\s*(//|\*|/\*).*$", "", path.read_text(), flags=re.MULTILINE)
    yield from re.findall(r"""["`]([^"`\n]* [^"`\n]*)["`]""", code)


@cache
def said() -> tuple[tuple[Path, str], ...]:
    """Every file with words for people, and each of them."""
    return tuple(_said())


def _said() -> Iterator[tuple[Path, str]]:
    for folder, ending, words in (
        ("templates", "*.html", template_words),
        ("app", "*.py", python_words),
        ("static/js", "*.js", script_words),
    ):
        for path in sorted((ROOT / folder).rglob(ending)):
            yield from ((path, text) for text in words(path))
    for path in (
        ROOT / "README.md",
        *sorted((ROOT / "scenarios").glob("*.json")),
        *sorted((ROOT / "app").rglob("*.toml")),
    ):
        yield from ((path, line) for line in path.read_text().splitlines())


@pytest.mark.parametrize("words", [AMERICAN, TRANSLATED], ids=["American", "translated"])
def test_no_word_comes_back(words: tuple[str, ...]) -> None:
    found = re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, words))})(?![\w-])", re.IGNORECASE)
    assert [f"{path.relative_to(ROOT)}: {text.strip()}" for path, text in said() if found.search(text)] == []


def test_the_words_of_every_kind_of_file_are_read() -> None:
    read = [(path.suffix, text) for path, text in said()]
    for ending, words in (
        (".html", "Holewise is not answering"),
        (".py", "the most there can be"),
        (".js", "Type it like 104"),
        (".md", "Clamp the work"),
    ):
        assert any(suffix == ending and words in text for suffix, text in read), ending
