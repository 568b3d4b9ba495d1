"""What is imported when: each command waits only for what it uses. Each by a new interpreter."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from app import service
from tests.tools import ROOT


def _said(program: str, without: str = "") -> list[str]:
    env = {name: value for name, value in os.environ.items() if name != without}
    command = [sys.executable, "-c", program]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=True, env=env)
    return done.stdout.splitlines()


def test_what_the_service_hands_out_is_imported_when_it_is_asked_for() -> None:
    begin = "import sys\nfrom app import service\nprint('numpy' in sys.modules, 'sqlalchemy' in sys.modules)\n"
    assert _said(f"{begin}print(all(hasattr(service, name) for name in service._MODULES))") == ["False False", "True"]
    told = re.findall(r"^    from .+ import (\w+) as \1$", Path(str(service.__file__)).read_text("utf-8"), re.MULTILINE)
    assert sorted(told) == sorted(service._MODULES), "what mypy is told is what there is"


NOT_FOR_A_CHECK = (
    "sqlalchemy", "shapely", "numpy.ma", "app.paper", "app.drafting.view.plan", "app.document.scenarios",
    "app.fit.changes.trial", "app.fit.report.tightest", "app.service.checks.trust",
)  # fmt: skip


def test_a_check_imports_neither_the_database_nor_drawings_nor_what_is_told_only_when_asked_for() -> None:
    run = "import sys\nfrom app.cli import main\nmain(['check', 'scenarios/lantern-hill-solo.json'])\n"
    seen = f"print([name for name in {NOT_FOR_A_CHECK} if name in sys.modules])"
    assert _said(f"{run}{seen}")[-1] == "[]"


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="only Linux tells how many threads a process has")
def test_a_check_starts_no_threads_for_numpy() -> None:
    run = """
import os, sys
sys.argv = ["holewise", "check", "scenarios/lantern-hill-solo.json"]
from app.__main__ import command
command()
print(len(os.listdir("/proc/self/task")), "numpy" in sys.modules)
"""
    assert _said(run, without="OPENBLAS_NUM_THREADS")[-1] == "1 True"


def test_the_first_page_is_there_before_what_judges_and_draws_and_the_others_come_when_asked_for(
    tmp_path: Path,
) -> None:
    run = f"""
import sys
from pathlib import Path
from starlette.testclient import TestClient
from app.service.shelf.front import open_front
from app.web.app import create_front
from app.web.guards import Address
front = open_front(Path({str(tmp_path / "data")!r}))
app = create_front(front.shelf, Address("127.0.0.1", 8123), workshop=front.workshop)
with TestClient(app, base_url="http://127.0.0.1:8123") as client:
    first = client.get("/")
    light = not any(name in sys.modules for name in ("numpy", "app.fit", "app.paper", "app.web.rest"))
    made = client.post("/designs/scenario", data={{"name": "lantern-hill-solo"}}, follow_redirects=False)
    board = client.get(made.headers["location"])
    print(first.status_code, light, made.status_code, board.status_code, client.get("/nowhere").status_code)
"""
    assert _said(run)[-1] == "200 True 303 200 404"
