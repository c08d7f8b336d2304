"""Reads an HTML page: its tags, its text by section, whether all is closed in order and every field has a label."""

from __future__ import annotations

from html.parser import HTMLParser

_VOID = {"meta", "input"}
_UNSEEN = {"title", "desc", "style", "script"}


class Page(HTMLParser):
    """``tags`` with their attributes; ``sections``: the text of each outer section that a person reads."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.sections: list[str] = []
        self._open: list[str] = []
        self.feed(text)
        assert self._open == []

    @property
    def ids(self) -> list[str]:
        return [held["id"] or "" for _, held in self.tags if "id" in held]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag == "section":
            self.sections.append("")
        if tag in ("input", "select"):
            assert self._open.count("label") == 1, "a field without a label"
        if tag not in _VOID:
            self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "section" in self._open and not _UNSEEN & set(self._open):
            self.sections[-1] += data
