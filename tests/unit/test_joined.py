"""Scripts joined to one: in what order, with what names, and what cannot be joined."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest

from app.web import joined
from tests.tools import NO_NODE, find_node


@pytest.fixture
def scripts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder of scripts."""
    (tmp_path / "js" / "deep").mkdir(parents=True)
    monkeypatch.setattr(joined, "data_dir", lambda _: tmp_path)
    return tmp_path / "js"


def test_they_do_joined_what_they_do_one_by_one(scripts: Path) -> None:
    """Names of two modules may be the same, what is imported may be renamed, and each is run once, in node's order."""
    (scripts / "low.js").write_text(
        "const own = 1;\nexport const SIDES = [own, 2];\nexport function twice(x) {\n  return 2 * x;\n}\n"
        'said.push("low");\n'
    )
    (scripts / "deep/high.js").write_text(
        'import { SIDES, twice as double } from "../low.js";\n\nconst own = 5;\n'
        'export async function all() {\n  return SIDES.map(double).concat(own);\n}\nsaid.push("high");\n'
    )
    (scripts / "page.js").write_text(
        'import "./low.js";\nimport { all } from "./deep/high.js";\n\nsaid.push(await_free(all));\n'
    )
    node = find_node()
    if node is None:
        pytest.skip(NO_NODE)
    run = f"const said = []; const await_free = (of) => of.name;\n{joined.joined_scripts(['page.js', 'low.js'])}"
    show = 'modules["deep/high.js"].all().then((found) => console.log(JSON.stringify([said, found])));\n'
    command = [str(node), "--input-type=module", "-e", f"{run}\n{show}"]
    ran = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    assert json.loads(ran.stdout) == [["low", "high", "all"], [2, 4, 5]]


@pytest.mark.parametrize("text", ["export default 1;\n", 'import * as low from "./low.js";\n', "export { a };\n"])
def test_what_it_does_not_know_is_refused(scripts: Path, text: str) -> None:
    (scripts / "page.js").write_text(text)
    with pytest.raises(ValueError, match=rf"^page\.js cannot be joined: {re.escape(text.strip())}$"):
        joined.joined_scripts(["page.js"])


def test_a_circle_is_refused(scripts: Path) -> None:
    (scripts / "one.js").write_text('import { b } from "./two.js";\n')
    (scripts / "two.js").write_text('import { a } from "./one.js";\n')
    with pytest.raises(ValueError, match=re.escape("one.js → two.js → one.js")):
        joined.modules(["one.js"])
