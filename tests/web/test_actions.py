"""An action has one name on its way from the button to the document: the form's, the service's, the edit's."""

from __future__ import annotations

import importlib
import pkgutil
from types import ModuleType

import pytest

from app import arrange
from app.service import edits as use_cases
from app.web.pages.bench import route as bench
from app.web.pages.board import edits
from app.web.pages.board_edit import route as board_edit
from app.web.pages.boards import route as boards
from app.web.pages.legends import route as legends
from app.web.pages.shop import route as shop
from app.web.pages.stations import route as stations
from app.web.pages.steps import route as steps
from app.web.pages.wiring import route as wiring

FORMS = [
    verb
    for page in (bench, edits, board_edit, boards, legends, shop, stations, steps, wiring)
    for verb in page._READERS
]

NOUNS = {
    "apart", "encoder", "pin", "pins", "wiring",
    "area", "arrangement", "bit", "bits", "board", "cells", "column", "corner", "counterbore", "free-depth",
    "edges", "fix", "layer", "layers", "legend", "legends", "lettering", "opening", "part", "rates", "recess",
    "settings", "shape", "size", "spares", "station", "step", "steps", "title", "together",
}  # fmt: skip
"""What a form names before what it does; a form that names nothing else sets it."""

PAST = {
    "cut": "cut", "drag": "dragged", "hide": "hidden", "keep": "kept", "lay-out": "laid_out", "reset": "reset",
    "set": "set", "show": "shown", "take": "taken", "withdraw": "withdrawn",
}  # fmt: skip
"""What is done, once it is; of other words with the ending -ed."""

STEPS = {
    "place": ("move", "set_angle", "set_label"),
    "settings": ("set_drilling", "set_paper", "set_paint", "set_thickness"),
    "size": ("rename_board", "set_size", "set_layers"),
    "together": ("set_parts", "set_angles"),
    "station-reset": ("lay_out_station",),  # as it is, with what was moved by hand put back
}
"""Forms of several edits in one step, or of an edit done in a way of its own."""


def named(form: str) -> tuple[str, str]:
    """The noun of a form's name, empty if it has none, and what is done."""
    if form in NOUNS:
        return form, "set"
    noun = max((n for n in NOUNS if form.startswith(f"{n}-")), key=len, default="")
    return noun, form.removeprefix(f"{noun}-")


def past(verb: str) -> str:
    if verb in PAST:
        return PAST[verb]
    first, _, rest = verb.partition("-")
    done = f"{first.removesuffix('e').removesuffix('y')}{'ied' if first.endswith('y') else 'ed'}"
    return f"{done}_{rest}" if rest else done


def functions(package: ModuleType) -> set[str]:
    """Names of what a package and all below it hold."""
    modules = pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
    return {name for module in modules for name in vars(importlib.import_module(module.name))}


@pytest.mark.parametrize("form", FORMS)
def test_a_form_its_use_case_and_its_edit_are_called_alike(form: str) -> None:
    noun, verb = named(form)
    assert "_".join(filter(None, (noun, past(verb)))).replace("-", "_") in functions(use_cases), "its use case"
    wanted = STEPS.get(form, ("_".join(filter(None, (verb, noun))).replace("-", "_"),))
    assert set(wanted) <= functions(arrange), "its edit"
