"""SVG as a tree that is safe to draw: nothing from outside, no entities, no more shapes than an outline can have.

Style sheets are cut down to what tells where lines are: a rule for each selector, and no colours. The library gives
every shape all that any rule says of it, one word after the other; a sheet that says the same a thousand times would be
read a thousand times for each of a thousand shapes.
"""

from __future__ import annotations

import re
from typing import Any, Final
from xml.etree.ElementTree import Element, TreeBuilder, tostring
from xml.parsers import expat

from app.errors import DocumentError

_DEEPEST: Final = 60
_MOST_NUMBERS: Final = 60_000
"""Numbers in paths and lists of points: three points of two for each of 10 000 curves."""

_NUMBER: Final = re.compile(r"\d+\.?\d*|\.\d+")
_HREFS: Final = ("href", "{http://www.w3.org/1999/xlink}href")
_UNDRAWN: Final = frozenset({"symbol", "clipPath", "mask", "marker", "pattern", "defs"})
"""Drawn only where something refers to them: SVG 1.1, 5.5, 11.6, 13.3, 14.3, 14.4."""

_COMMENT: Final = re.compile(r"/\*.*?\*/|<!--|-->", re.DOTALL)
_RULE: Final = re.compile(r"([^{}]+)\{([^{}]*)\}")
_FORM: Final = ("d", "points", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "width", "height")
_TELLING: Final = frozenset(("display", "visibility", "transform", *_FORM))
"""Properties that hide a shape, move it or give it its form (SVG 2, chapters 7 to 9; CSS Display)."""

_MOST_NESTED: Final = 4_000
"""Characters of a sheet with rules in rules, which stays as it is: few programs write one, and then a short one."""


def svg_tree(data: bytes, most: int) -> Element:
    """The root of an SVG file.

    Args:
        data: the file.
        most: largest number of elements, each as often as it is used.

    Raises:
        DocumentError: it is no SVG, no sound XML, declares entities, or holds more than that.
    """
    root = _parsed(data, most)
    if _local(root) != "svg":
        raise DocumentError("There is no SVG drawing in it. Choose a file that ends in .svg or .dxf.")
    named = {element.get("id", ""): element for element in root.iter() if element.get("id")}
    if _count(root, named, {}, [], most) > most:
        raise DocumentError(f"It has more than {most:,} shapes, counting repeats. Export the outline alone.")
    numbers = sum(len(_NUMBER.findall(element.get(name, ""))) for element in root.iter() for name in ("d", "points"))
    if numbers > _MOST_NUMBERS:
        raise DocumentError(
            f"Its paths have {numbers:,} numbers; up to {_MOST_NUMBERS:,} are read. Simplify the drawing."
        )
    _put_away(root)
    plain_styles(root)
    return root


def plain_text(root: Element) -> str:
    """The tree as text again."""
    return tostring(root, encoding="unicode")


def _parsed(data: bytes, most: int) -> Element:
    reader = expat.ParserCreate(namespace_separator="}")
    builder = TreeBuilder()
    depth = seen = 0

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal depth, seen
        depth, seen = depth + 1, seen + 1
        if depth > _DEEPEST:
            raise _at(reader, f"groups are nested more than {_DEEPEST} deep. Ungroup them.")
        if seen > 4 * most:
            raise _at(reader, f"it has more than {4 * most:,} elements. Export the outline alone.")
        builder.start(_tag(name), {_tag(key): value for key, value in attributes.items()})

    def end(name: str) -> None:
        nonlocal depth
        depth -= 1
        builder.end(_tag(name))

    def declared(*_: Any) -> None:
        raise _at(reader, "it declares its own entities, which an outline does not need. Save it as plain SVG.")

    reader.StartElementHandler, reader.EndElementHandler = start, end
    reader.CharacterDataHandler = builder.data
    reader.EntityDeclHandler = declared
    reader.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    try:
        reader.Parse(data, True)
        return builder.close()
    except expat.ExpatError as error:
        why = expat.ErrorString(error.code)
        place = f"Line {error.lineno}, column {error.offset + 1}"
        raise DocumentError(f"{place}: it is not sound XML ({why}). Export it again.") from error
    except (LookupError, UnicodeError) as error:
        raise DocumentError("It is written in an encoding that cannot be read. Save it in UTF-8.") from error


def _at(reader: expat.XMLParserType, words: str) -> DocumentError:
    return DocumentError(f"Line {reader.CurrentLineNumber}: {words}")


def _tag(name: str) -> str:
    return f"{{{name}" if "}" in name else name


def _local(element: Element) -> str:
    return element.tag.rpartition("}")[2]


def _count(element: Element, named: dict[str, Element], counts: dict[int, int], within: list[int], most: int) -> int:
    """Elements in an element, each as often as it is used."""
    key = id(element)
    if key in within:
        raise DocumentError(f"“{element.get('id', '')[:40]}” uses itself. Export it again as plain paths.")
    if len(within) > 4 * _DEEPEST:
        raise DocumentError("Shapes are nested too deep. Export it again as plain paths.")
    if key not in counts:
        within.append(key)
        total = 1 + sum(_count(child, named, counts, within, most) for child in element)
        if _local(element) == "use":
            href = next((element.get(name, "") for name in _HREFS if element.get(name)), "")
            if href.startswith("#") and (used := named.get(href[1:])) is not None:
                total += _count(used, named, counts, within, most)
        within.pop()
        counts[key] = min(total, most + 1)
    return counts[key]


def _put_away(root: Element) -> None:
    """Put what is drawn only by reference where the library draws nothing of its own accord."""
    for parent in list(root.iter()):
        for index, child in enumerate(list(parent)):
            if _local(child) in _UNDRAWN and _local(child) != "defs" and _local(parent) != "defs":
                store = Element(child.tag.replace(_local(child), "defs"))
                store.append(child)
                parent[index] = store


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
