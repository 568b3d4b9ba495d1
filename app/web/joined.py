"""The scripts and the style sheets of a page, each joined to one file: a browser asks for two files and not for forty.

Style sheets stand one after the other. A script module becomes a function that is called once, in the order in which a
browser would run the modules, and gives what the module exports; what it imports is had from those called before it.
Modules say what they export where it stands (``export function``, ``export const``), and import it by name.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Final

from app.paths import data_dir

PHONE: Final = "phone.css"
"""The one style sheet that is not for every width of window."""

_NARROW: Final = "@media (max-width: 620px)"
_IMPORT: Final = re.compile(r'^import\s+(?:\{([^}]*)\}\s*from\s+)?"(\.{1,2}/[\w./-]+)";$', re.MULTILINE)
_EXPORT: Final = re.compile(r"^export (?=(?:async )?(?:function|const) (\w+))", re.MULTILINE)
_LEFT: Final = re.compile(r"^(?:import|export)\b.*", re.MULTILINE)


@cache
def scripts() -> frozenset[str]:
    """Every script module, by its path from the folder of scripts, as ``pages/board.js``."""
    folder = _folder()
    return frozenset(path.relative_to(folder).as_posix() for path in folder.rglob("*.js"))


@cache
def styles() -> frozenset[str]:
    """Every style sheet that is a file, by its name."""
    return frozenset(path.name for path in data_dir("static").glob("*.css"))


def modules(entries: Sequence[str]) -> tuple[str, ...]:
    """The modules that ``entries`` need, each once, after those that it imports.

    Raises:
        ValueError: two import each other.
    """
    found: list[str] = []

    def follow(name: str, within: tuple[str, ...]) -> None:
        if name in within:
            raise ValueError(f"scripts import each other: {' → '.join((*within, name))}")
        if name not in found:
            for _, other in _IMPORT.findall(_text(name)):
                follow(_beside(name, other), (*within, name))
            found.append(name)

    for entry in entries:
        follow(entry, ())
    return tuple(found)


def joined_scripts(entries: Sequence[str]) -> str:
    """One module that runs what ``entries`` need, and exports what each of them does as ``modules``."""
    return "export const modules = {};\n" + "".join(map(_called, modules(entries)))


def joined_styles(names: Sequence[str], made: dict[str, str]) -> str:
    """One style sheet of several, in that order; those ``made`` are no files, and are given by name."""
    texts = ((name, made.get(name) or (data_dir("static") / name).read_text("utf-8")) for name in names)
    return "".join(f"{_NARROW} {{\n{text}}}\n" if name == PHONE else text for name, text in texts)


def _called(name: str) -> str:
    """A module as a function that is called: its imports are had from others, and its exports are given."""
    text = _text(name)
    exports = ", ".join(_EXPORT.findall(text))
    text = _EXPORT.sub("", _IMPORT.sub(lambda found: _had(found, name), text))
    if left := _LEFT.search(text):
        raise ValueError(f"{name} cannot be joined: {left[0]}")
    return f'\n// {name}\nmodules["{name}"] = (() => {{\n{text}return {{ {exports} }};\n}})();\n'


def _had(found: re.Match[str], name: str) -> str:
    names, other = found.groups()
    if names is None:
        return ""
    return f'const {{{names.replace(" as ", ": ")}}} = modules["{_beside(name, other)}"];'


def _beside(name: str, other: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(name), other))


def _text(name: str) -> str:
    return (_folder() / name).read_text("utf-8")


def _folder() -> Path:
    return data_dir("static") / "js"
