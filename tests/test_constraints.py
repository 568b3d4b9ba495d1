"""The test tools are held: every one of them, at the version that runs, within what ``pyproject.toml`` asks for."""

from __future__ import annotations

import re
import tomllib

from packaging.requirements import Requirement

from tests.tools import ROOT
from tests.validation.test_installed import with_all_it_needs

HELD = ROOT / "tests" / "constraints.txt"


def held() -> dict[str, str]:
    """Versions by name, as packages are written in short."""
    lines = [line for line in HELD.read_text("utf-8").splitlines() if not line.startswith("#")]
    return dict(line.split("==") for line in lines)


def brought_by(lines: list[str]) -> dict[str, str]:
    """Name and version of all that some requirements bring."""
    found: dict[str, str] = {}
    for asked in map(Requirement, lines):
        found |= {name: part.version for name, part in with_all_it_needs(asked.name, asked.extras).items()}
    return found


def test_every_test_tool_is_held_at_the_version_that_runs_here() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    app = brought_by(project["dependencies"])
    tools = brought_by(project["optional-dependencies"]["test"])
    # What the app itself needs is left open: whoever installs it gets the newest, and the tests are to see that.
    assert held() == {name: version for name, version in tools.items() if name not in app}


def test_what_is_held_is_what_is_asked_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    asked = [Requirement(line) for line in project["optional-dependencies"]["test"]]
    versions = held()
    names = [re.sub(r"[-_.]+", "-", one.name).lower() for one in asked]
    wrong = [n for n, one in zip(names, asked, strict=True) if n in versions and versions[n] not in one.specifier]
    assert wrong == []
