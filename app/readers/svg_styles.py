"""Style sheets of an SVG file, cut down to what tells where lines are: a rule for each selector, and no colours.

The library gives every shape all that any rule says of it, one word after the other; a sheet that says the same a
thousand times would be read a thousand times for each of a thousand shapes.
"""

from __future__ import annotations

import re
from typing import Final
from xml.etree.ElementTree import Element

from app.errors import DocumentError

_COMMENT: Final = re.compile(r"/\*.*?\*/|<!--|-->", re.DOTALL)
_RULE: Final = re.compile(r"([^{}]+)\{([^{}]*)\}")
_FORM: Final = ("d", "points", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "width", "height")
_TELLING: Final = frozenset(("display", "visibility", "transform", *_FORM))
"""Properties that hide a shape, move it or give it its form (SVG 2, chapters 7 to 9; CSS Display)."""

_MOST_NESTED: Final = 4_000
"""Characters of a sheet with rules in rules, which stays as it is: few programs write one, and then a short one."""


def plain_styles(root: Element) -> None:
    """Cut down every style sheet of a tree.

    Raises:
        DocumentError: a long sheet has rules within rules.
    """
    for element in root.iter():
        if element.tag.rpartition("}")[2] == "style" and element.text:
            element.text = _plain(_COMMENT.sub("", element.text))


def _plain(text: str) -> str:
    if "@" in text:
        if len(text) > _MOST_NESTED:
            raise DocumentError("Its style sheet is too long to follow. Export it again as plain paths.")
        return text
    rules: dict[str, dict[str, str]] = {}
    for selectors, said in _RULE.findall(text):
        for selector in selectors.split(","):
            kept = rules.setdefault(selector.strip(), {})
            for declaration in said.split(";"):
                name, _, value = declaration.partition(":")
                if name.strip().lower() in _TELLING:
                    kept[name.strip()] = value.strip()
    return "".join(
        f"{selector}{{{';'.join(f'{name}:{value}' for name, value in kept.items())}}}"
        for selector, kept in rules.items()
        if kept
    )
