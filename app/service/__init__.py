"""The use cases: the only door for the web and the command line.

Reading, checking, drawing and exporting a design are plain functions; designs on the shelf, with undo and
redo, are in :class:`Workshop`. Each is imported when it is first asked for, so that a command waits only for what it
uses, and nobody for all of it before the first page.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from app.service.checking import CheckResult, check_design
    from app.service.documents import part_rows, read_design, schema_json, write_design
    from app.service.drawings import export_drawing, template_pdf, view_file
    from app.service.file_names import export_name, template_name
    from app.service.proving import ProvedFile, export_file, stops_of, template_file
    from app.service.starting import new_design
    from app.service.workshop import Workshop, open_workshop

__all__ = [
    "CheckResult",
    "ProvedFile",
    "Workshop",
    "check_design",
    "export_drawing",
    "export_file",
    "export_name",
    "new_design",
    "open_workshop",
    "part_rows",
    "read_design",
    "schema_json",
    "stops_of",
    "template_file",
    "template_name",
    "template_pdf",
    "view_file",
    "write_design",
]

_KEPT_IN: Final = {
    "checking": ("CheckResult", "check_design"),
    "documents": ("part_rows", "read_design", "schema_json", "write_design"),
    "drawings": ("export_drawing", "template_pdf", "view_file"),
    "file_names": ("export_name", "template_name"),
    "proving": ("ProvedFile", "export_file", "stops_of", "template_file"),
    "starting": ("new_design",),
    "workshop": ("Workshop", "open_workshop"),
}
_MODULES: Final = {name: module for module, names in _KEPT_IN.items() for name in names}


def __getattr__(name: str) -> object:
    """What this package hands out, imported when it is first asked for (PEP 562)."""
    if name not in _MODULES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found: object = getattr(import_module(f"{__name__}.{_MODULES[name]}"), name)
    globals()[name] = found
    return found
