"""The shape of the code: layers, sizes, documentation, declared dependencies."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.folding import each
from tests.tools import ROOT

MODULES = sorted((ROOT / "app").rglob("*.py"))
LONGEST_MODULE = 300
LONGEST_FUNCTION = 50

# Where the name to import is not the name to install.
IMPORT_NAMES = {
    "fonttools": "fontTools",
    "django-js-lib-htmx": "js_lib_htmx",
    "font-source-sans-pro": "font_source_sans_pro",
    "opencv-python-headless": "cv2",
    "python-multipart": "python_multipart",
}
# Needed without an import: FastAPI reads uploads and forms with the last, the others are found by file path.
USED_UNSEEN = {"js_lib_htmx", "font_source_sans_pro", "python_multipart"}


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


def lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    script = "from importlinter.cli import lint_imports_command as c; c()"
    return subprocess.run(
        [sys.executable, "-c", script, "--no-cache", "--no-logo"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )


def test_imports_go_one_way() -> None:
    result = lint_imports(ROOT)
    assert result.returncode == 0, result.stdout + result.stderr
    assert "0 broken" in result.stdout


WRONG = [
    ("geometry", "import app.fit", "Imports go one way"),
    ("model", "import app.scene", "Imports go one way"),
    ("writers", "import app.model", "Writers know scenes, not designs"),
    ("fit", "import app.scene", "Judging a board does not draw it"),
    ("drafting", "import random", "The pure middle has no clock"),
    ("drafting", "import fastapi", "Web libraries only in web"),
    ("fit", "import pydantic", "pydantic only where rows, documents and forms are read"),
    ("fit", "import shapely", "shapely only in geometry"),
    ("service", "import highspy", "The solver only where room is made or least work looked for"),
    ("writers", "from reportlab.pdfgen import canvas", "reportlab only in the PDF writer"),
    ("writers", "import ezdxf", "ezdxf only where DXF is written and read"),
    ("drafting", "import svgwrite", "svgwrite only in the SVG writer"),
    ("web", "import sqlalchemy", "SQLAlchemy only in store"),
    ("web", "import app.fit", "The service is the only door"),
    ("web", "from app.document.schema import Design", "The service is the only door"),
]
"""Package, an import that it may not have, and the contract that says so."""


def test_each_wrong_import_breaks_its_contract(tmp_path: Path) -> None:
    """All planted at once, each in a module of its own: looking over all imports takes seconds."""
    shutil.copytree(ROOT / "app", tmp_path / "app", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    for number, (package, statement, _) in enumerate(WRONG):
        (tmp_path / "app" / package / f"planted_{number}.py").write_text(f"{statement}\n")
    result = lint_imports(tmp_path)
    assert result.returncode == 1, result.stdout + result.stderr
    # What was found stands below the name of its contract, which is underlined.
    parts = re.split(r"\n([^\n]+)\n-{3,}\n", result.stdout)
    found = dict(zip(parts[1::2], parts[2::2], strict=True))
    for number, (package, statement, contract) in enumerate(WRONG):
        said = "".join(text for name, text in found.items() if name.startswith(contract))
        assert f"app.{package}.planted_{number} ->" in said, (package, statement, result.stdout)


def functions(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def lines_of(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function without its docstring, which may explain at length."""
    total = (function.end_lineno or 0) - function.lineno + 1
    first = function.body[0]
    if ast.get_docstring(function) is None:
        return total
    return total - ((first.end_lineno or 0) - first.lineno + 1)


@each("path", MODULES)
def test_modules_and_functions_stay_small(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST_MODULE, "one noun a module: split it"
    long = {f.name: lines_of(f) for f in functions(tree_of(path)) if lines_of(f) > LONGEST_FUNCTION}
    assert not long, "functions to split, with their lines"


def public_without_docstring(body: list[ast.stmt], prefix: str = "") -> list[str]:
    bare: list[str] = []
    for node in body:
        if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            continue
        if node.name.startswith("_"):
            continue
        overridden = any(ast.unparse(d) in {"override", "overload"} for d in node.decorator_list)
        if ast.get_docstring(node) is None and not overridden:
            bare.append(prefix + node.name)
        if isinstance(node, ast.ClassDef):
            bare += public_without_docstring(node.body, f"{prefix}{node.name}.")
    return bare


@each("path", MODULES)
def test_everything_public_says_what_it_is(path: Path) -> None:
    tree = tree_of(path)
    if tree.body:
        assert ast.get_docstring(tree), "the module says what it is for"
    assert public_without_docstring(tree.body) == []


def imported_packages() -> set[str]:
    names: set[str] = set()
    for path in MODULES:
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Import):
                names |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
                names.add(node.module.split(".")[0])
    return names - set(sys.stdlib_module_names) - {"app", "_typeshed"}  # the last is in every type checker


def test_what_is_imported_is_declared_and_the_other_way_round() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    installs = {re.split(r"[<>=!~\[ ]", line)[0] for line in project["dependencies"]}
    declared = {IMPORT_NAMES.get(name, name) for name in installs}
    # Starlette and pydantic_core are the parts of FastAPI and pydantic that their own pages tell one to import.
    used = imported_packages() - {"starlette", "pydantic_core"}
    (extra,) = project["optional-dependencies"]["photo"]
    extras = {IMPORT_NAMES[re.split(r"[<>=!~\[ ]", extra)[0]]}
    assert used - declared == extras, "imported, but not in the dependencies"
    assert declared - used - USED_UNSEEN == set(), "in the dependencies, but never imported"


def test_the_top_level_is_fixed() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a git checkout: the list of files is not known")
    tops = {line.split("/")[0] for line in listed.stdout.splitlines()}
    fixed = {
        "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml",
        "app", "templates", "static", "tests", "scenarios",
    }  # fmt: skip
    assert {top for top in tops if not top.startswith(".")} <= fixed


def test_what_a_browser_waits_for_is_a_function() -> None:
    """A page's policy runs no text: what is none is asked once, and is an error on a busy machine."""
    calls = [
        (path.name, node.lineno, node.args[0])
        for path in sorted((ROOT / "tests").rglob("*.py"))
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "wait_for_function"
    ]
    assert calls
    assert [call[:2] for call in calls if "=>" not in ast.unparse(call[2])] == []


def test_no_two_classes_bear_one_name() -> None:
    """One word, one meaning: whoever reads a name need not ask which of two is meant."""
    homes: dict[str, list[str]] = {}
    for path in sorted((ROOT / "app").rglob("*.py")):
        for node in tree_of(path).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                homes.setdefault(node.name, []).append(str(path.relative_to(ROOT)))
    assert {name: where for name, where in homes.items() if len(where) > 1} == {}


def test_a_value_is_a_struct_unless_some_field_does_not_count_when_two_are_compared() -> None:
    left = {
        f"{path.stem}.{node.name}": any(
            ast.unparse(part) == "compare=False" for part in ast.walk(node) if isinstance(part, ast.keyword)
        )
        for path in MODULES
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.ClassDef)
        and any(ast.unparse(mark).startswith("dataclass") for mark in node.decorator_list)
    }
    assert left and all(left.values()), left
