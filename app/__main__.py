"""``python -m app`` is the command ``holewise``."""

import gc
import os
import sys

from app.cli import main
from app.service.background.garbage import WHILE_BEGINNING, collect_seldom


def command() -> int:
    """Run the command this process was started for; returns its exit code.

    Garbage is looked for seldom while it begins, and not in what is left of it at its end: what is imported stays. No
    plugin of another package has a say in how a design is read. numpy starts no threads of its own: nothing here is
    large enough for them to be worth starting, and beside other processes they would only wait for each other.
    """
    collect_seldom(WHILE_BEGINNING)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # looked for in every package of the computer
    code = main()
    gc.freeze()
    return code


if __name__ == "__main__":
    sys.exit(command())
