"""HTML in which nothing a user wrote can act: text is escaped unless it was built here."""

import base64
from html import escape
from pathlib import Path

_STATIC = Path(__file__).resolve().parent / "static"
_VOID = frozenset({"br", "img", "meta", "hr", "link"})
_POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'"


class Markup(str):
    """Text that is HTML already; whatever is not is escaped when it is put into a tag."""

    __slots__ = ()


Child = str | None
Attribute = str | int | bool | None


def tag(name: str, /, *children: Child, **attributes: Attribute) -> Markup:
    """Return an element; `class_` and `for_` lose their bar, other bars become hyphens.

    >>> tag("p", "a < b", tag("b", "c"), class_="note")
    '<p class="note">a &lt; b<b>c</b></p>'
    """
    said = "".join(
        f" {_plain(key)}" if value is True else f' {_plain(key)}="{escape(str(value))}"'
        for key, value in attributes.items()
        if value is not None and value is not False
    )
    if name in _VOID:
        return Markup(f"<{name}{said}>")
    return Markup(f"<{name}{said}>{join(*children)}</{name}>")


def join(*children: Child) -> Markup:
    """Return children one after the other, escaped where they are plain text."""
    return Markup(
        "".join(
            child if isinstance(child, Markup) else _inert(child)
            for child in children
            if child is not None
        )
    )


def document(title: str, language: str, style: str, *body: Child) -> Markup:
    """Return a whole page in itself: its style inside, no script, nothing fetched from anywhere."""
    css = Markup((_STATIC / f"{style}.css").read_text(encoding="utf-8"))
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content=_POLICY),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("title", title),
        tag("style", css),
    )
    return Markup("<!doctype html>\n" + tag("html", head, tag("body", *body), lang=language) + "\n")


def data_address(content: bytes, kind: str) -> str:
    """Return content as an address that holds it, such as `data:image/png;base64,…`."""
    return f"data:{kind};base64,{base64.b64encode(content).decode('ascii')}"


def _plain(key: str) -> str:
    return key.rstrip("_").replace("_", "-")


def _inert(text: str) -> str:
    shown = "".join(char if char.isprintable() or char in "\n\t" else "�" for char in text)
    return escape(shown)
