"""The only module that knows where templates, static files and scenarios lie."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def data_dir(name: str) -> Path:
    """Folder ``name`` (``templates``, ``static`` or ``scenarios``) of a checkout or an installed wheel.

    A checkout is known by the ``pyproject.toml`` beside the package; a wheel carries the folders inside it.
    """
    if (_PACKAGE.parent / "pyproject.toml").is_file():
        return _PACKAGE.parent / name
    return _PACKAGE / name
