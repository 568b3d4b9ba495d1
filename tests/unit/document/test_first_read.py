"""Records are put together when they are first asked for, and several threads may be the first."""

from __future__ import annotations

import subprocess
import sys

from tests.tools import ROOT

_TOGETHER = """
import sys, threading
from pathlib import Path
from app.document.load import loads
from app.document.schema import BitEntry, EdgesEntry

sys.setswitchinterval(1e-5)
text = Path("scenarios/harbour-lane-two-seater.json").read_text("utf-8")
ways = [lambda: loads(text), EdgesEntry, lambda: BitEntry(kind="twist", diameter=3.0)]
together, wrong = threading.Barrier(4 * len(ways)), []

def ask(way):
    together.wait()
    try:
        way()
    except BaseException as error:
        wrong.append(error)

threads = [threading.Thread(target=ask, args=(way,)) for way in 4 * ways]
for thread in threads:
    thread.start()
for thread in threads:
    thread.join()
sys.exit(repr(wrong) if wrong else 0)
"""


def test_twelve_threads_may_be_the_first_to_ask_for_a_record() -> None:
    told = subprocess.run([sys.executable, "-c", _TOGETHER], cwd=ROOT, capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stderr
