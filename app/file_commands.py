"""Commands that write files of a board: templates, other sheets, lists and drawings."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from app.arguments import PAPERS, add_design, add_face, add_out, add_printing, add_proof, length_of, printing_of
from app.errors import WriterError
from app.outcome import STOPS, wrote
from app.values import replace

if TYPE_CHECKING:
    from app.service import MadeFile

PDF = "pdf"
SVG = "svg"
_SHEETS = (PDF, "csv", "json", SVG)
FORMATS = "svg|dxf|pdf"
"""What drawings are written as: the service has the list, and is imported only once a command is run."""

_VIEWS = "board|underside|section:LETTER"


def add_template(template: argparse.ArgumentParser) -> None:
    """Add the arguments of ``template``."""
    add_design(template)
    add_face(template)
    template.add_argument("--all", action="store_true", help="all boards of the design, on as few sheets as can be")
    template.add_argument("--paper", required=True, metavar=PAPERS, help="paper; a size is in mm")
    add_printing(template)
    add_proof(template)
    add_out(template, "FILE.pdf")


def add_sheet(sheet: argparse.ArgumentParser) -> None:
    """Add the arguments of ``sheet``."""
    add_design(sheet)
    sheet.add_argument("kind", metavar="KIND", help="which sheets: a wrong one is told what there is")
    add_face(sheet)
    formats = "pdf to print; a list also as csv or json; what a plotter cuts as svg (pdf)"
    sheet.add_argument("--format", choices=_SHEETS, default=PDF, help=formats)
    sheet.add_argument("--paper", default="a4", metavar=PAPERS, help="paper (a4)")
    reading = "what your rule is divided in, like 0.5mm or 1/32in"
    sheet.add_argument("--step", "--reading", dest="reading", default="", metavar="R", help=reading)
    counting = "parts for one arrangement (one), all of the board (arrangements) or every board (boards)"
    sheet.add_argument("--count", default="", metavar="WHAT", help=counting)
    sheet.add_argument("--table", default="", metavar="NAME", help="one table of a list, as csv or json")
    sheet.add_argument("--spacing", default="", metavar="L", help="how far apart ordinates of a curve are, like 10mm")
    add_printing(sheet)
    add_proof(sheet)
    add_out(sheet, "FILE")


def add_export(export: argparse.ArgumentParser) -> None:
    """Add the arguments of ``export``."""
    add_design(export)
    add_face(export)
    export.add_argument("--format", required=True, metavar=FORMATS, help="mm; PDF for a view only")
    export.add_argument("--kerf", metavar="WIDTH", help="full width of the cut, like 0.2mm; lines move into the waste")
    add_proof(export)
    export.add_argument("--view", metavar=_VIEWS, help="a drawing for reference instead, from the side it names")
    export.add_argument("--paper", default="", metavar=PAPERS, help="paper of a view as PDF; by default the design's")
    add_out(export, "FILE")


def template(arguments: argparse.Namespace) -> int:
    """Write the true-size drill template.

    Raises:
        HolewiseError: the design, the board, the paper or a length cannot be had, or the file does not agree.
    """
    from app import service

    design = service.read_design(arguments.file, arguments.bits)
    where = design, arguments.board, arguments.arrangement, arguments.face
    only, printing = length_of(arguments.only, "Diameter of the bit"), printing_of(arguments)
    return _handed_out(service.template_file(*where, printing, only=only, all_boards=arguments.all), arguments)


def sheet(arguments: argparse.Namespace) -> int:
    """Write other sheets, or a list for other programs.

    Raises:
        HolewiseError: the design, the kind, the board, the paper or a length cannot be had.
    """
    from app import service

    design = service.read_design(arguments.file, arguments.bits)
    printing = service.plotted(printing_of(arguments), design.units, arguments.spacing, arguments.reading)
    printing = service.counted_for(printing, arguments.count)
    where = arguments.board, arguments.arrangement
    printing = replace(printing, alone=arguments.board is not None)
    if arguments.format in (PDF, SVG) and arguments.table:
        raise WriterError("A table by itself is written as csv or json. Leave --table out, or choose one of them.")
    if arguments.format == SVG:
        made: MadeFile = service.plotter_file(arguments.kind, design, *where, arguments.face, printing)
    elif arguments.format != PDF:
        table = arguments.table
        made = service.list_file(arguments.kind, design, *where, printing, fmt=arguments.format, table=table)
    else:
        only = length_of(arguments.only, "Diameter of the bit")
        made = service.sheet_file(arguments.kind, design, *where, arguments.face, printing, only=only)
    return _handed_out(made, arguments)


def export(arguments: argparse.Namespace) -> int:
    """Write one drawing, for other programs or to be looked at.

    Raises:
        HolewiseError: the design, the board, the paper or a length cannot be had, or the file does not agree.
    """
    from app import service

    design = service.read_design(arguments.file, arguments.bits)
    where = design, arguments.board, arguments.arrangement
    if arguments.view is None:
        kerf = length_of(arguments.kerf, "Kerf") or 0.0
        return _handed_out(service.export_file(*where, arguments.face, arguments.format, kerf), arguments)
    if arguments.kerf is not None or arguments.proof:
        raise WriterError(
            "A view is for reference, not for cutting: it has no kerf and no proof. Leave --view out for a drawing."
        )
    return _handed_out(service.view_file(*where, arguments.view, arguments.format, arguments.paper), arguments)


def _handed_out(made: MadeFile, arguments: argparse.Namespace) -> int:
    """Write a file; say what stops its board, and what reading it back found if that is asked for."""
    from app import service

    if _stopped(made.stops, arguments):
        return STOPS
    found = service.proved(made).proof if arguments.proof else None
    service.save_file(made.data, arguments.out)
    if found is not None:
        print(f"The file agrees with the design: {found.words} ({found.detail})")
    return wrote(arguments.out)


def _stopped(stops: int, arguments: argparse.Namespace) -> bool:
    """Say on stderr what stops a board; whether nothing is to be written for it."""
    from app.reporting import stopped_words

    if stops:
        print(f"holewise: {stopped_words(stops, str(arguments.file), strict=arguments.strict)}", file=sys.stderr)
    return bool(stops and arguments.strict)
