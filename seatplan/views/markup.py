"""SVG and HTML as trees of the standard library: whatever a name or note holds, it is escaped when it is written."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import lru_cache
from xml.etree.ElementTree import Comment, Element, indent, tostring

from seatplan.files.made import MADE_BY

#: what XML 1.0 cannot hold, even escaped
_UNFIT = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

#: elements without an end (HTML Standard, 13.1.2), and those whose text is taken as it stands
_VOID = frozenset(["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track",
                   "wbr"])
_RAW = frozenset(("script", "style"))

Child = Element | str | None
Value = str | int | float | bool | None


def el(tag: str, *children: Child | Iterable[Child], **attributes: Value) -> Element:
    """An element. Strings become text, None is left out; ``class_`` and ``stroke_width`` are written as ``class`` and
    ``stroke-width``; numbers are rounded to a tenth; an attribute that is None or False is left out, True is empty."""
    element = Element(tag, {_name(name): _value(value) for name, value in attributes.items()
                            if value is not None and value is not False})
    for child in children:
        add(element, child)
    return element


def add(parent: Element, child: Child | Iterable[Child]) -> None:
    """Put text, an element, or several of them at the end of an element."""
    if child is None:
        return
    if isinstance(child, Element):
        parent.append(child)
    elif isinstance(child, str):
        _add_text(parent, clean(child))
    else:
        for one in child:
            add(parent, one)


def _add_text(parent: Element, text: str) -> None:
    if len(parent):
        parent[-1].tail = (parent[-1].tail or "") + text
    else:
        parent.text = (parent.text or "") + text


def clean(text: str) -> str:
    """Text without the few characters that no XML file can hold."""
    return _UNFIT.sub("\ufffd", text)


@lru_cache(256)
def _name(name: str) -> str:
    return name.rstrip("_").replace("_", "-")


def _value(value: Value) -> str:
    if value is True:
        return ""
    if isinstance(value, (int, float)):
        return plain(value)
    return clean(str(value))


def plain(value: float) -> str:
    """A coordinate: at most one decimal, none where it is whole."""
    if isinstance(value, int):
        return str(value)
    told = f"{value:.1f}".removesuffix(".0")
    return "0" if told == "-0" else told


def svg_file(root: Element) -> str:
    """A whole SVG file, a drawing."""
    root.insert(0, Comment(_mark("drawing")))
    indent(root, " ")
    return tostring(root, encoding="unicode") + "\n"


def html_file(root: Element, kind: str = "") -> str:
    """A whole HTML file. ``kind`` says in the file what it is, a sheet or a report."""
    root.insert(0, Comment(_mark(kind)))
    return f"<!doctype html>\n{html_piece(root)}\n"


def html_piece(element: Element) -> str:
    """A piece of HTML to stand in a page of others: letter for letter what the standard library makes of it, which
    looks at each name for a namespace first and takes twice as long, on a page that is drawn with every edit."""
    written: list[str] = []
    _write(element, written.append)
    return "".join(written)


def _write(element: Element, write: Callable[[str], None]) -> None:
    tag: object = element.tag                            # a function where it is a comment
    if tag is Comment:
        write(f"<!--{_escaped(element.text or '')}-->")
    else:
        attributes = "".join([f' {name}="{_quoted(value)}"' for name, value in element.items()])
        write(f"<{tag}{attributes}>")
        if element.text:
            write(element.text if tag in _RAW else _escaped(element.text))
        for child in element:
            _write(child, write)
        if tag not in _VOID:
            write(f"</{tag}>")
    if element.tail:
        write(_escaped(element.tail))


def _escaped(text: str) -> str:
    if "&" in text or "<" in text or ">" in text:
        return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return text


def _quoted(value: str) -> str:
    if "&" in value or ">" in value or '"' in value:
        return value.replace("&", "&amp;").replace(">", "&gt;").replace('"', "&quot;")
    return value


def _mark(kind: str) -> str:
    return f" {MADE_BY}: {kind} " if kind else f" {MADE_BY} "
