"""What the scripts of the pages decide, by themselves: the tests in tests/js, run by node's own runner."""

from __future__ import annotations

import os
import subprocess

import pytest

from tests.tools import NO_NODE, ROOT, find_node

FOLDER = ROOT / "tests" / "js"


def test_scripts_by_themselves() -> None:
    node, files = find_node(), sorted(str(file) for file in FOLDER.glob("*.test.mjs"))
    if node is None:
        pytest.skip(NO_NODE)
    assert files
    ran = subprocess.run(
        [str(node), "--import", (FOLDER / "modules.mjs").as_uri(), "--test", *files],
        cwd=ROOT,
        env={**os.environ, "NO_COLOR": "1"},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "fail 0" in ran.stdout
