"""The designs that come with the program: invented, to start from and to show what it does."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from msgspec import Struct

from app.document.load import loads
from app.document.schema import Design
from app.errors import NotFoundError
from app.paths import data_dir


class Scenario(Struct, frozen=True):
    """A design that comes with the program.

    Args:
        id: short name: its file's name without the ending.
        design: the document.
    """

    id: str
    design: Design

    @property
    def title(self) -> str:
        """What it is called."""
        return self.design.title


@cache
def scenario_list() -> tuple[Scenario, ...]:
    """Every scenario, by id; read once.

    Raises:
        DocumentError: one of the files cannot be read.
    """
    return tuple(Scenario(path.stem, loads(path.read_bytes())) for path in scenario_files())


def scenario_files() -> tuple[Path, ...]:
    """The files of the scenarios, by name."""
    return tuple(sorted(data_dir("scenarios").glob("*.json")))


def load_scenario(scenario_id: str) -> Design:
    """The design of the scenario with that id.

    Raises:
        NotFoundError: there is none.
    """
    found = {scenario.id: scenario.design for scenario in scenario_list()}
    if scenario_id not in found:
        raise NotFoundError(f'There is no scenario "{scenario_id[:80]}". Use one of: {", ".join(found)}.')
    return found[scenario_id]
