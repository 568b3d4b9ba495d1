"""A rule is declared once: its name stands nowhere else, and what its findings carry is of the kind it says."""

from __future__ import annotations

import ast
import pickle
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest
from msgspec import Struct
from msgspec.structs import fields

import app.fit.rules
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.fit.detail import Detail
from app.fit.limits.pair_table import rows_of_tables
from app.fit.registry import RULES, rule_named
from app.fit.report.findings import findings_of
from tests.tools import ROOT

FOLDER = Path(app.fit.rules.__path__[0])
HOMES = {rule.name: FOLDER / f"{rule.name.replace('-', '_')}.py" for rule in RULES}
CELLS = ROOT / "app" / "fit" / "limits" / "pair_table.py"
THINGS = {name for name in HOMES if "-" not in name}  # what is cut is called so too
OF_DEFAULTS = ("rule", "default")  # what is asked by name of the catalogue
BROKEN = findings_of(resolve(load_scenario("leaky-raft"), None, None, catalogue()), catalogue())


def spelt(text: str) -> Iterator[tuple[int, str]]:
    """Lines of a module that spell a rule's name as text, and the name; not where a default of it is asked for."""
    tree = ast.parse(text)
    let_off = {
        id(argument)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", "")) in OF_DEFAULTS
        for argument in node.args
    }
    asked = {id(part) for node in ast.walk(tree) if _asks_a_rule(node) for part in ast.walk(node)}
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or node.value not in HOMES or id(node) in let_off:
            continue
        if node.value not in THINGS or id(node) in asked:
            yield node.lineno, node.value


def _asks_a_rule(node: ast.AST) -> bool:
    """Whether a rule is looked up by its name, or the name of a finding's rule compared."""
    if isinstance(node, ast.Call):
        return getattr(node.func, "id", "") in ("rule_named", "kinds_against", "judged_by", "places_judged")
    return isinstance(node, ast.Compare) and any(getattr(part, "attr", "") == "rule" for part in ast.walk(node))


@pytest.mark.parametrize(
    ("line", "names"),
    [
        ('if finding.rule == "bit-depth": pass', ["bit-depth"]),
        ('if finding.rule in ("web", "ledge"): pass', ["web", "ledge"]),
        ('rule_named("recess")', ["recess"]),
        ('_SHORT = {"thread-reach": 3}', ["thread-reach"]),
        ('layout.default("screw-hold")', []),
        ('cut = "recess"', []),
    ],
)
def test_a_name_that_is_spelt_is_seen(line: str, names: list[str]) -> None:
    assert [name for _, name in spelt(line)] == names


def test_no_other_module_spells_the_name_of_a_rule() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{line}: {name}"
        for path in sorted((ROOT / "app").rglob("*.py"))
        if path != CELLS
        for line, name in spelt(path.read_text("utf-8"))
        if path != HOMES[name]
    ]
    assert found == [], "take the name from the module of the rule, or ask its declaration"


def test_every_rule_has_a_module_of_its_own_and_cells_that_it_judges() -> None:
    assert {path for path in FOLDER.glob("*.py") if path.name != "__init__.py"} == set(HOMES.values())
    for name, path in HOMES.items():
        assert import_module(f"{app.fit.rules.__name__}.{path.stem}").RULE is rule_named(name)
    assert {name for *_, cell in rows_of_tables() for name in cell.rules} == set(HOMES)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_what_a_finding_carries_is_of_the_kind_that_its_rule_declares(rule: object) -> None:
    mine = [f for f in BROKEN if rule_named(f.rule) is rule]
    assert mine, "the scenario breaks every rule"
    kind = rule_named(mine[0].rule).detail
    assert issubclass(kind, Detail) and issubclass(Detail, Struct)
    for finding in mine:
        assert isinstance(finding.detail, kind)
        with pytest.raises(AttributeError):
            setattr(finding.detail, fields(kind)[0].name, "another")


def test_findings_come_out_of_another_process_as_they_went() -> None:
    back = pickle.loads(pickle.dumps(BROKEN))  # noqa: S301 - our own
    assert back == BROKEN and {hash(f) for f in back} == {hash(f) for f in BROKEN}
