"""What an installation brings along: its licences, and how much room it takes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib.metadata import Distribution, distribution

from packaging.requirements import Requirement

# Licences under which the parts may be passed on together with a program under the MIT licence: by their SPDX names,
# or by what packages wrote before there were such names.
ALLOWED = (
    r"0BSD|Apache-2\.0|BSD-[23]-Clause|CC0-1\.0|HPND|MIT|MIT-CMU|MPL-2\.0|OFL-1\.1|PSF-2\.0|Unlicense|Zlib",
    r"MIT License|BSD License|Apache Software License|Zero-Clause BSD \(0BSD\)|Python Software Foundation License",
    r"SIL Open Font License 1\.1 \(OFL-1\.1\)|BSD-3-Clause, Apache-2\.0, dependency licenses",
)
LGPL = re.compile(r"LGPL-3\.0-only|.*Lesser General Public License.*")
ROOM = 300e6  # bytes, without extras


def with_all_it_needs(name: str, extras: Iterable[str] = ()) -> dict[str, Distribution]:
    """A distribution and all that it asks for, by name."""
    found: dict[str, Distribution] = {}
    waiting = [(name, tuple(extras))]
    while waiting:
        one, wanted = waiting.pop()
        key = re.sub(r"[-_.]+", "-", one).lower()
        if key in found:
            continue
        found[key] = distribution(one)
        for line in found[key].requires or ():
            asked = Requirement(line)
            if asked.marker is None or any(asked.marker.evaluate({"extra": extra}) for extra in ("", *wanted)):
                waiting.append((asked.name, tuple(asked.extras)))
    return found


def licences(one: Distribution) -> list[str]:
    """What a distribution says of its licence: an SPDX expression split at its words, classifiers, or one line."""
    meta = one.metadata
    if "License-Expression" in meta:
        return _split(meta["License-Expression"])
    classifiers = [c.rsplit(" :: ", 1)[1] for c in meta.get_all("Classifier") or () if c.startswith("License :: OSI")]
    lines = (meta.get_all("License") or [""])[0].splitlines()
    return classifiers or _split([*lines, "nothing said"][0])


def _split(expression: str) -> list[str]:
    return re.split(r"\s+(?:AND|OR|WITH)\s+", expression.replace("(", "").replace(")", ""))


def not_allowed(parts: dict[str, Distribution]) -> dict[str, list[str]]:
    """Licences that are not among the allowed ones, by distribution."""
    allowed = re.compile("|".join(ALLOWED))
    said = {name: [one for one in licences(part) if not allowed.fullmatch(one)] for name, part in parts.items()}
    return {name: found for name, found in said.items() if found}


def test_every_licence_of_an_installation_is_an_allowed_one() -> None:
    assert not_allowed(with_all_it_needs("holewise")) == {}


def test_a_licence_that_asks_for_more_is_seen() -> None:
    """The tools of the tests bring some: they are never passed on with the program."""
    assert not_allowed(with_all_it_needs("pymupdf"))


def test_an_installation_takes_less_than_300_mb() -> None:
    """As the files lie after the installer wrote them, compiled modules too, which a first start would make."""
    sizes = {
        name: sum(path.stat().st_size for f in part.files or () if (path := f.locate()).exists())  # type: ignore[attr-defined]
        for name, part in with_all_it_needs("holewise").items()
    }
    largest = sorted(sizes.items(), key=lambda item: -item[1])[:5]
    assert sum(sizes.values()) < ROOM, largest
