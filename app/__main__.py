"""``python -m app`` is the command ``holewise``."""

import gc
import os
import sys

from app.cli import main
from app.service.background.garbage import collect_seldom


def command() -> int:
    """Run the command this process was started for; returns its exit code.

    Garbage is looked for seldom while it begins, and not in what is left of it at its end: what is imported stays. No
    plugin of another package has a say in how a design is read.
    """
    collect_seldom()
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # looked for in every package of the computer
    code = main()
    gc.freeze()
    return code


if __name__ == "__main__":
    sys.exit(command())
