"""Reading the app's pages as a browser without JavaScript would: links, forms, fields and what is inline."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

_VOID = frozenset(
    ["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"]
)
_UNSENT = frozenset({"submit", "button", "reset", "image", "file"})


@dataclass(slots=True)
class Sheet:
    """A form of a page.

    Args:
        action, method, enctype: as the browser would use them.
        fields: what would be sent if nothing were typed, by name; of a list the chosen entry.
        files: names of its file fields.
        buttons: (name, value, words) of what submits it.
    """

    action: str
    method: str
    enctype: str
    fields: dict[str, str] = field(default_factory=dict)
    files: list[str] = field(default_factory=list)
    buttons: list[tuple[str, str, str]] = field(default_factory=list)

    def sent(self, **typed: str) -> dict[str, str]:
        """What is sent after typing into some fields."""
        return {**self.fields, **typed}


class Page(HTMLParser):
    """What a page holds.

    Args:
        html: the page.

    Attributes:
        forms: every form.
        links: address of every link.
        loads: address of everything the page loads: scripts, styles, pictures.
        inline: whatever a strict content security policy forbids: scripts and styles in the page.
        tags: every tag with its attributes.
        words: the text, without what is in scripts and styles.
    """

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.forms: list[Sheet] = []
        self.links: list[str] = []
        self.loads: list[str] = []
        self.inline: list[str] = []
        self.tags: list[tuple[str, dict[str, str]]] = []
        self._words: list[str] = []
        self._open: list[str] = []
        self._by_id: dict[str, Sheet] = {}
        self._later: list[tuple[str, str, dict[str, str]]] = []
        self._form: Sheet | None = None
        self._select: tuple[str, str] = ("", "")
        self._chosen = False
        self._button: tuple[Sheet, str, str] | None = None
        self._area = ""
        self._said: list[str] = []
        self.feed(html)
        self.close()
        for form, tag, attributes in self._later:
            if form in self._by_id:
                self._field(self._by_id[form], tag, attributes)

    @property
    def words(self) -> str:
        """All text, runs of space as one."""
        return " ".join(" ".join(self._words).split())

    def form(self, action: str) -> Sheet:
        """The first form whose action ends so (before its query)."""
        for sheet in self.forms:
            if sheet.action.partition("?")[0].endswith(action):
                return sheet
        raise AssertionError(f"no form {action!r} among {[sheet.action for sheet in self.forms]}")

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note one tag."""
        attributes = {name: value or "" for name, value in attrs}
        self.tags.append((tag, attributes))
        if tag not in _VOID:
            self._open.append(tag)
        self._note_inline(tag, attributes)
        for name in ("href", "src", "xlink:href"):
            if name in attributes:
                (self.links if tag == "a" else self.loads).append(attributes[name])
        if tag == "form":
            self._form = Sheet(
                attributes.get("action", ""), attributes.get("method", "get").lower(), attributes.get("enctype", "")
            )
            self.forms.append(self._form)
            if "id" in attributes:
                self._by_id[attributes["id"]] = self._form
        elif tag in {"input", "select", "textarea", "button", "option"}:
            if attributes.get("form") and tag != "option":
                self._later.append((attributes["form"], tag, attributes))
            elif self._form is not None:
                self._field(self._form, tag, attributes)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag closed at once, as SVG has them."""
        self.handle_starttag(tag, attrs)
        if tag not in _VOID:
            self._open.pop()

    def handle_endtag(self, tag: str) -> None:
        """Note the end of a tag."""
        while tag in self._open and self._open.pop() != tag:
            pass
        if tag == "form":
            self._form = None
        elif tag == "button" and self._button is not None:
            sheet, name, value = self._button
            sheet.buttons.append((name, value, " ".join(" ".join(self._said).split())))
            self._button = None
        elif tag == "textarea":
            self._area = ""

    def handle_data(self, data: str) -> None:
        """Note text."""
        inside = self._open[-1] if self._open else ""
        if inside in {"script", "style"}:
            if data.strip():
                self.inline.append(f"<{inside}> {data.strip()[:80]}")
            return
        self._words.append(data)
        if self._button is not None:
            self._said.append(data)
        if self._area and self._form is not None:
            self._form.fields[self._area] = self._form.fields.get(self._area, "") + data

    def _note_inline(self, tag: str, attributes: dict[str, str]) -> None:
        for name, value in attributes.items():
            if name == "style" or name.startswith("on") or value.strip().lower().startswith("javascript:"):
                self.inline.append(f"<{tag} {name}={value[:60]!r}>")

    def _field(self, sheet: Sheet, tag: str, attributes: dict[str, str]) -> None:
        name, kind = attributes.get("name", ""), attributes.get("type", "submit" if tag == "button" else "text")
        value = attributes.get("value", "")
        if tag == "button":
            if kind == "submit":
                self._button, self._said = (sheet, name, value), []
        elif tag == "option":
            if self._select[0] and (not self._chosen and ("selected" in attributes or self._select[1] == "first")):
                sheet.fields[self._select[0]] = value
                self._chosen = "selected" in attributes
                self._select = (self._select[0], "rest")
        elif tag == "select":
            self._select, self._chosen = (name, "first"), False
        elif tag == "textarea":
            self._area = name
            sheet.fields[name] = ""
        elif kind == "file":
            sheet.files.append(name)
        elif kind in {"checkbox", "radio"}:
            if "checked" in attributes:
                sheet.fields[name] = value or "on"
        elif name and kind not in _UNSENT:
            sheet.fields[name] = value
