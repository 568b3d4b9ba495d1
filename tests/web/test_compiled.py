"""Compiled templates that are kept: used again, compiled anew when anything of them changed, and never in the way."""

from __future__ import annotations

from pathlib import Path

import pytest
from jinja2 import DictLoader, Environment

from app.web.compiled import Compiled


def _said(folder: Path, text: str, by: str = "") -> str:
    made = Environment(autoescape=True, loader=DictLoader({"page": text}), bytecode_cache=Compiled(folder, by))
    return made.get_template("page").render(name="a & b")


def _files(folder: Path) -> list[Path]:
    return sorted(folder.iterdir())


def test_a_template_is_compiled_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert _said(tmp_path, "Hello {{ name }}") == "Hello a &amp; b"
    assert len(_files(tmp_path)) == 1

    def never(*_: object, **__: object) -> None:
        raise AssertionError("it was compiled already")

    monkeypatch.setattr(Environment, "_generate", never)
    assert _said(tmp_path, "Hello {{ name }}") == "Hello a &amp; b"


def test_another_text_or_another_way_is_compiled_anew_in_the_same_place(tmp_path: Path) -> None:
    assert _said(tmp_path, "Hello {{ name }}") == "Hello a &amp; b"
    kept = _files(tmp_path)[0].read_bytes()
    assert _said(tmp_path, "Good day {{ name }}") == "Good day a &amp; b"
    other = _files(tmp_path)[0].read_bytes()
    assert _said(tmp_path, "Good day {{ name }}", by="other options") == "Good day a &amp; b"
    assert len({kept, other, _files(tmp_path)[0].read_bytes()}) == 3
    assert len(_files(tmp_path)) == 1


@pytest.mark.parametrize("cut", [0, 8, 20, 40, 200])
def test_what_was_kept_and_cannot_be_read_is_compiled_anew(tmp_path: Path, cut: int) -> None:
    _said(tmp_path, "Hello {{ name }}")
    file = _files(tmp_path)[0]
    file.write_bytes(file.read_bytes()[:cut] + b"\x80broken")
    assert _said(tmp_path, "Hello {{ name }}") == "Hello a &amp; b"


def test_without_a_place_to_keep_it_a_template_is_compiled_as_ever(tmp_path: Path) -> None:
    assert _said(tmp_path / "not there", "Hello {{ name }}") == "Hello a &amp; b"
