"""``python -m tests``: get what the tests measure with, then run the gate; with ``--long`` all tests.

Further arguments go to pytest: ``python -m tests tests/unit -k units``; ``-n 0`` runs them in one process.
The exit code is pytest's.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

from tests.tools import ROOT, find_browser, find_pdftoppm, find_postgres, forget, what_is_missing

_MOST = 8  # processes: each has a browser and a database server of its own
PACKAGES = ("chromium", "poppler-utils", "fonts-dejavu-core", "nodejs", "postgresql")
WITHOUT_WINDOWS = "chromium-headless-shell"
"""By itself, as not every Debian has it: where it cannot be had, tests in a browser take half as long again."""

_UNASKED = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}


def main(arguments: list[str]) -> int:
    """Prepare, run pytest with ``arguments``, repeat at the end what could not be had."""
    get_packages()
    if "--long" in arguments and find_spec("locust") is None:
        _run([sys.executable, "-m", "pip", "install", "-e", f"{ROOT}[load]"], dict(os.environ))
    if find_browser() is None:
        _run([sys.executable, "-m", "playwright", "install", "chromium"], dict(os.environ))
        forget()
    print(f"Chromium: {find_browser() or 'none'}\npdftoppm: {find_pdftoppm() or 'none'}", flush=True)
    print(f"PostgreSQL: {find_postgres() or 'none'}", flush=True)
    command = [sys.executable, "-m", "pytest", *_shared_out(arguments), *arguments]
    code = subprocess.run(command, cwd=ROOT, env=_compiling(), check=False).returncode
    for sentence in what_is_missing():
        print(f"NOT TESTED: {sentence}")
    return code


def _compiling() -> dict[str, str]:
    """The environment, but for a wish to keep no compiled modules: a hundred programs start, and would compile all."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def _shared_out(arguments: list[str]) -> list[str]:
    """Options that share the test files out over the processors, one file to one process, as its tests share an app.

    In the order of their names: so the long ones do not come last, when the other processes have nothing left to do.
    """
    if any(one.startswith(("-n", "--numprocesses", "--pdb")) for one in arguments):
        return []
    many = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return ["-n", str(min(many, _MOST)), "--dist", "loadfile", "--no-loadscope-reorder"] if many > 1 else []


def get_packages() -> None:
    """Install what is missing with apt, as root on Debian; elsewhere nothing. Needs nothing but Python itself."""
    if not _is_debian_root():
        return
    install = ["apt-get", "install", "-y", "--no-install-recommends"]
    if what_is_missing() and _run(["apt-get", "update"], _UNASKED):
        _run([*install, *PACKAGES], _UNASKED)
    if shutil.which(WITHOUT_WINDOWS) is None:
        _run([*install, WITHOUT_WINDOWS], _UNASKED)
    forget()


def _is_debian_root() -> bool:
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    return root and Path("/etc/debian_version").is_file() and shutil.which("apt-get") is not None


def _run(command: list[str], env: dict[str, str]) -> bool:
    print("+", " ".join(command), flush=True)
    try:
        code = subprocess.run(command, env=env, check=False, timeout=900).returncode
    except (OSError, subprocess.TimeoutExpired) as error:
        print(f"could not run it: {error}")
        return False
    if code:
        print(f"it ended with {code}; the tests run without what it was to bring")
    return code == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
