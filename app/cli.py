"""The command line: for starting the app, and for plan makers' scripts.

Exit codes: 0 it is done, and for ``check`` nothing stops the design; 1 ``check`` found stops, ``compare`` something
different, ``bring`` new stops, ``measure`` a hole it is not sure of, or ``--strict`` kept a file of a board that cannot
be built from being written; 2 something could not be read, made or written, as is said.
"""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Callable, Sequence
from typing import NoReturn

from app import __version__
from app import file_commands as files
from app import maker_commands as making
from app import shelf_commands as shelf
from app.arguments import add_design, add_out, in_inches, place_chosen, port_of, sides_of
from app.errors import HolewiseError
from app.family_commands import add_bring, bring
from app.network_arguments import add_network, settings_of
from app.outcome import DONE, FAILED, STOPS, wrote
from app.photo_commands import add_measure, measure
from app.plan_commands import add_compare, add_pack, add_retrofit, compare, pack, retrofit
from app.units import Unit, parse_length

_SERVE = "serve"


class _Parser(argparse.ArgumentParser):
    """A parser that says what is wrong in one line, with where to read more."""

    def error(self, message: str) -> NoReturn:
        self.exit(FAILED, f"{self.prog}: {message}. See: {self.prog} --help\n")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code.

    Args:
        argv: the arguments; those of the process if None.
    """
    _never_fail_to_print()
    arguments = list(sys.argv[1:] if argv is None else argv)
    if not arguments or (arguments[0].startswith("-") and arguments[0] not in {"-h", "--help", "--version"}):
        arguments.insert(0, _SERVE)
    try:
        parsed = make_parser(arguments[0]).parse_args(arguments)
    except SystemExit as ended:  # argparse ends the process itself; a caller in Python gets the code
        return int(ended.code or 0)
    run: Callable[[argparse.Namespace], int] = parsed.run
    try:
        code = run(parsed)
        sys.stdout.flush()
        return code
    except BrokenPipeError:
        # Whoever read our output has seen enough; what is still buffered must not fail at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return DONE if parsed.command == _SERVE else FAILED
    except HolewiseError as error:
        return _failed(str(error))
    except OSError as error:
        return _failed(_os_message(error))
    except Exception as error:  # noqa: BLE001 - the last resort: a sentence, never a traceback
        return _failed(
            f"a fault in Holewise, {type(error).__name__}: {str(error) or 'nothing more is known'}. "
            "Your files are as they were. Please report it with the command and the file."
        )


def make_parser(command: str | None = None) -> argparse.ArgumentParser:
    """The parser of the command line: of one command, or, where that is none, of all of them."""
    parser = _Parser(
        prog="holewise",
        description="Lay out, prove and print the drilled boards of a home-built cabinet. With no command it starts "
        "the app.",
    )
    parser.add_argument("--version", action="version", version=f"holewise {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    known = _commands()
    for name in (command,) if command in known else known:
        run, what, add = known[name]
        adding = commands.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.")
        adding.set_defaults(run=run)
        add(adding)
    return parser


_Command = tuple[Callable[[argparse.Namespace], int], str, Callable[[argparse.ArgumentParser], None]]
"""What runs a command and returns its exit code, what it is for, and what adds its arguments."""


def _commands() -> dict[str, _Command]:
    return {
        _SERVE: (_serve, "start the app and open it in the browser (the default)", _add_serve),
        "new": (_new, "write a new design from a few sizes", _add_new),
        "check": (_check, "report what stops a design from being built, and what is risky", _add_check),
        "template": (files.template, "write the true-size drill template as PDF", files.add_template),
        "sheet": (files.sheet, "write other sheets, or a list for other programs", files.add_sheet),
        "export": (files.export, "write one true-size drawing for other programs and machines", files.add_export),
        "compare": (compare, "say what is different between two design files", add_compare),
        "retrofit": (retrofit, "say what a drilled board needs to become another", add_retrofit),
        "measure": (measure, "say where the holes in a photograph of a drilled board are", add_measure),
        "pack": (pack, "write everything that is made of a design, in one folder or file", add_pack),
        "bring": (bring, "bring boards, arrangements or cut-outs of a design to others", add_bring),
        "save-shelf": (shelf.save_shelf, "write every design of a shelf into one file, to pass on", shelf.add_save),
        "open-shelf": (shelf.open_shelf, "put the designs of a saved shelf on a shelf", shelf.add_open),
        "move": (shelf.move, "copy everything from one shelf to an empty one, and prove the copy", shelf.add_move),
        "backup": (shelf.back_up, "write all designs into one backup file, even while the app runs", shelf.add_backup),
        "restore": (shelf.restore, "put the designs of a backup back", shelf.add_restore),
        "schema": (_schema, "print the JSON schema of a design file", _add_nothing),
        "parts": (_parts, "list the hardware in the catalogue", _add_nothing),
        "makers": (making.makers, "list what can be made of a few measures, and which", making.add_makers),
        "add": (making.add, "make a board of a few measures, or put its cut-outs on one", making.add_add),
    }


def _add_serve(serve: argparse.ArgumentParser) -> None:
    serve.add_argument("--host", default="127.0.0.1", metavar="H", help="address to listen on (127.0.0.1)")
    serve.add_argument("--port", type=port_of, metavar="P", help="port to listen on; by default a free one")
    shelf.add_place(serve)
    serve.add_argument("--no-open", action="store_true", help="do not open the browser")
    add_network(serve)


def _add_new(new: argparse.ArgumentParser) -> None:
    new.add_argument("--players", required=True, type=int, choices=[1, 2])
    new.add_argument("--buttons", required=True, type=int, metavar="N", help="buttons for each player")
    new.add_argument("--board", required=True, metavar="WIDTHxDEPTH", help="like 600x220 or 24inx9in")
    new.add_argument("--thickness", required=True, metavar="T", help="like 18, 19.05mm or 3/4in")
    new.add_argument("--material", required=True, metavar="M", help="like mdf, plywood or acrylic")
    add_out(new, "FILE")


def _add_check(check: argparse.ArgumentParser) -> None:
    add_design(check)
    check.add_argument("--json", action="store_true", help="for other programs: every figure, as one JSON object")
    check.add_argument("--tightest", action="store_true", help="also list what was checked, tightest first")


def _add_nothing(_: argparse.ArgumentParser) -> None:
    """For a command without arguments."""


def _serve(arguments: argparse.Namespace) -> int:
    from app.serving import serve

    serve(settings_of(arguments, place_chosen(arguments)))
    return DONE


def _new(arguments: argparse.Namespace) -> int:
    from app import service

    width, front_to_back = sides_of(arguments.board)
    design = service.new_design(
        service.NewDeck(
            players=arguments.players,
            buttons=arguments.buttons,
            width=parse_length(width, Unit.MM, what="Board width"),
            depth=parse_length(front_to_back, Unit.MM, what="Board depth"),
            thickness=parse_length(arguments.thickness, Unit.MM, what="Thickness"),
            material=arguments.material,
            units="inch" if in_inches(width) and in_inches(front_to_back) else "mm",
        )
    )
    service.write_design(design, arguments.out)
    return wrote(arguments.out)


def _check(arguments: argparse.Namespace) -> int:
    from app import reporting, service

    design = service.read_design(arguments.file, arguments.bits)
    results = service.check_design(design, arguments.board, arguments.arrangement)
    stops = any(finding.severity == "stop" for result in results for finding in result.report.findings)
    if arguments.json:
        print(reporting.as_json(design, results))
    else:
        print(reporting.as_text(design, results, tightest=arguments.tightest))
    return STOPS if stops else DONE


def _schema(_: argparse.Namespace) -> int:
    from app import service

    print(service.schema_json())
    return DONE


def _parts(_: argparse.Namespace) -> int:
    from app import service

    print(service.part_rows())
    return DONE


def _failed(message: str) -> int:
    print(f"holewise: {message}", file=sys.stderr)
    return FAILED


def _os_message(error: OSError) -> str:
    reason = error.strerror or str(error)
    if error.filename is None:
        return f"the computer refused ({reason}). Nothing was written."
    return f"{error.filename} cannot be used ({reason}). Check the name and that you may write there."


def _never_fail_to_print() -> None:
    """A character the terminal does not have is printed as its code, instead of ending the command."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
