"""Style sheets and scripts of pages and drawings, which are files of their own (``data/pages``)."""

from __future__ import annotations

from functools import cache
from pathlib import Path

_FOLDER = Path(__file__).resolve().parent.parent / "data" / "pages"
#: pages that are made to be printed: on a screen they look as they will on paper
_ON_PAPER = ("sheet",)


@cache
def page_file(name: str) -> str:
    """The text of one of them, such as ``report.css``."""
    return (_FOLDER / name).read_text(encoding="utf-8")


def style_of(page: str, **words: str) -> str:
    """The style sheet of a page with those of the drawings, and of tables on a narrow screen, in it; ``words`` stand in
    place of the capitals that name them, such as FOOT."""
    style = page_file(f"{page}.css")
    for name, word in words.items():
        style = style.replace(name, word)
    return style + page_file("drawing.css") + ("" if page in _ON_PAPER else page_file("stack.css"))
