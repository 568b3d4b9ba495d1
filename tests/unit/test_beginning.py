"""What is imported when: each command waits only for what it uses. Each by a new interpreter."""

from __future__ import annotations

import subprocess
import sys

from tests.tools import ROOT


def _said(program: str) -> list[str]:
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, cwd=ROOT, check=True)
    return done.stdout.splitlines()


def test_what_the_service_hands_out_is_imported_when_it_is_asked_for() -> None:
    begin = "import sys\nfrom app import service\nprint('numpy' in sys.modules, 'sqlalchemy' in sys.modules)\n"
    assert _said(f"{begin}print(all(hasattr(service, name) for name in service.__all__))") == ["False False", "True"]


def test_a_check_imports_neither_the_database_nor_drawings() -> None:
    run = "import sys\nfrom app.cli import main\nmain(['check', 'scenarios/lantern-hill-solo.json'])\n"
    seen = "print([name for name in ('sqlalchemy', 'app.paper', 'app.drafting.plan') if name in sys.modules])"
    assert _said(f"{run}{seen}")[-1] == "[]"
