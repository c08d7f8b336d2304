"""One request as pages see it, and what they answer with. Pages are plain functions that run in a thread of their own:
all that they do (reading files, solving) blocks, and the language in force goes with the thread."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from typing import TYPE_CHECKING
from xml.etree.ElementTree import Element

from seatplan.frozen import frozen

if TYPE_CHECKING:
    from .doors import Session
    from .house import House

#: what a form holds at most: fields, and letters of one of them
MOST_FIELDS, MOST_LETTERS = 2_000, 20_000


@frozen
class Upload:
    """A file that came with a form; its name is what a person called it, and is never a path here."""

    name: str
    data: bytes


@frozen
class Visit:
    """``at``: what stands in the braces of the route; ``query`` and ``form``: words by name, of several the last;
    ``wants_part``: the script asks only for what changes on its page."""

    house: House
    session: Session
    path: str
    at: Mapping[str, str] = field(default_factory=dict)
    query: Mapping[str, str] = field(default_factory=dict)
    form: Mapping[str, str] = field(default_factory=dict)
    uploads: Mapping[str, Upload] = field(default_factory=dict)
    posted: bool = False
    wants_part: bool = False


@frozen
class Page:
    """A page: its title, what stands in its main part, and its status. ``live``: the pieces of it that the script
    replaces where they stand, by their ids, all others staying as they are."""

    title: str
    main: Sequence[Element | None]
    status: int = 200
    wide: bool = False


@frozen
class Goto:
    """On to another page, which is asked for anew (303)."""

    path: str


@frozen
class Document:
    """A whole file of ours, such as a sheet to print; ``name``: what it is called where it is saved."""

    text: str | bytes
    kind: str = "text/html; charset=utf-8"
    name: str = ""
    headers: Mapping[str, str] = field(default_factory=dict)


Answer = Page | Goto | Document
Handler = Callable[[Visit], Answer]
