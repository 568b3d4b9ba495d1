"""Commands of a plan maker: two design files compared, what a drilled board needs, a pack of everything."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from app.outcome import DONE, STOPS, wrote


def add_compare(compare: argparse.ArgumentParser) -> None:
    """Add the arguments of ``compare``."""
    compare.add_argument("before", type=Path, metavar="A", help="the older design file")
    compare.add_argument("after", type=Path, metavar="B", help="the newer one")
    compare.add_argument("--json", action="store_true", help="for other programs: every change, as one JSON object")
    compare.add_argument("--paper", default="", metavar="P", help="paper of the sheet (the newer design's)")
    compare.add_argument("--units", default="", choices=("mm", "inch"), help="units of the sheet (the newer design's)")
    compare.add_argument("--out", type=Path, metavar="FILE.pdf", help="write the boards drawn over each other there")


def compare(arguments: argparse.Namespace) -> int:
    """Print what is different; the exit code is 0 if nothing is, else 1.

    Raises:
        HolewiseError: a design cannot be read, they share nothing, or the sheet cannot be written.
    """
    from app import service

    before, after = service.read_design(arguments.before), service.read_design(arguments.after)
    if arguments.json:
        print(service.compare_json(before, after))
    else:
        print("\n".join(service.compare_lines(before, after)))
    if arguments.out is not None:
        made = service.compare_file(service.StatesAsked(before, after), arguments.units, arguments.paper)
        service.save_file(made.data, arguments.out)
        if not arguments.json:  # which is read by a program
            wrote(arguments.out)
    return DONE if before == after else STOPS


def add_retrofit(retrofit: argparse.ArgumentParser) -> None:
    """Add the arguments of ``retrofit``."""
    retrofit.add_argument("old", type=Path, metavar="OLD", help="the design file that the board was drilled to")
    retrofit.add_argument("new", type=Path, metavar="NEW", help="the one that it shall be of")
    retrofit.add_argument("--board", metavar="ID", help="the board (the deck)")
    retrofit.add_argument("--was", metavar="ID", help="the arrangement that it was drilled to (the one it is to have)")
    retrofit.add_argument("--arrangement", metavar="ID", help="the one that it is to have (the first)")
    retrofit.add_argument("--json", action="store_true", help="for other programs: every hole, as one JSON object")
    retrofit.add_argument("--paper", default="", metavar="P", help="paper of the template (the design's)")
    retrofit.add_argument("--out", type=Path, metavar="FILE.pdf", help="write the retrofit template there")


def retrofit(arguments: argparse.Namespace) -> int:
    """Print what a drilled board needs; the exit code is 1 if it has to be made anew.

    Raises:
        HolewiseError: a design cannot be read, they share no such board, or the template cannot be written.
    """
    from app import service

    older, newer = service.read_design(arguments.old), service.read_design(arguments.new)
    asked = service.RetrofitAsked(older, newer, arguments.board, arguments.was, arguments.arrangement)
    seen = service.retrofit_seen(asked, newer.units)
    print(service.retrofit_json(asked) if arguments.json else "\n".join(service.retrofit_lines(seen)))
    if arguments.out is not None:
        made = service.retrofit_file(asked, ".pdf", paper=arguments.paper)
        service.save_file(made.data, arguments.out)
        wrote(arguments.out)
    return STOPS if seen.verdict == "anew" else DONE


def add_pack(pack: argparse.ArgumentParser) -> None:
    """Add the arguments of ``pack``."""
    pack.add_argument("file", type=Path, metavar="FILE", help="the design file")
    pack.add_argument("--arrangements", default="", metavar="A,B", help="those of the deck to pack (all)")
    pack.add_argument("--boards", default="", metavar="A,B", help="the boards to pack (all)")
    pack.add_argument("--papers", default="a4,letter", metavar="P,Q", help="papers (a4,letter)")
    pack.add_argument("--units", default="mm,inch", metavar="U,V", help="units (mm,inch)")
    pack.add_argument("--only", default="", metavar="X,Y", help="booklets, sheets, lists, drawings, design (all)")
    pack.add_argument("--since", type=Path, metavar="OLDER", help="say what changed since that design file")
    pack.add_argument("--bits", metavar="B", help="bits: metric, inch, or a design file that lists them")
    pack.add_argument("--out", type=Path, required=True, metavar="FOLDER|FILE.zip", help="where to write it")


def pack(arguments: argparse.Namespace) -> int:
    """Write everything that is made of a design: whole, or nothing.

    Raises:
        HolewiseError: the design cannot be read, a file cannot be made, or the place cannot be written.
    """
    from app import service

    design = service.read_design(arguments.file, arguments.bits)
    since = None
    if arguments.since is not None:
        since = service.Since(service.read_design(arguments.since), f"“{arguments.since.stem}”")
    names = ("arrangements", "boards", "papers", "units", "only")
    request = service.PackRequest(**{name: _named(getattr(arguments, name)) for name in names})
    try:
        with service.place_for(arguments.out) as place, _progress() as told:
            made = service.made_pack(design, request, told, processes=min(os.cpu_count() or 1, 2), since=since)
            place.write(made)
    except KeyboardInterrupt:
        print("Stopped. Nothing of the pack is left.", file=sys.stderr)
        raise
    print(f"{len(made.files)} files, {made.pages} pages")
    return wrote(arguments.out)


def _named(text: str) -> tuple[str, ...]:
    """Names between commas."""
    return tuple(each.strip() for each in text.split(",") if each.strip())


@contextmanager
def _progress() -> Iterator[Callable[[int, int], None]]:
    """Shows how far a pack is, with the time left, where somebody looks at a terminal."""
    if not sys.stderr.isatty():
        yield lambda _, __: None
        return
    from tqdm import tqdm

    with tqdm(desc="Pack", unit="page", file=sys.stderr, leave=False, dynamic_ncols=True) as bar:

        def told(done: int, total: int) -> None:
            bar.total = total
            bar.update(done - bar.n)

        yield told
