"""The data of a checkup within its page: one element that nothing runs, and two hashes beside it (SHA-256, FIPS 180-4).

One is of the data; the other one is of the whole page, all that it shows and the data, but for that hash itself
wherever it stands. So whatever was damaged or changed by hand since is noticed, whichever version wrote the page, and
the first hash tells whether the data is still what it was. Neither says who made it.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Mapping
from datetime import date
from hashlib import file_digest, sha256
from html.parser import HTMLParser
from pathlib import Path
from stat import S_ISREG
from typing import Any

import yaml

from seatplan.frozen import frozen
from seatplan.message import Figure, said

from .errors import InputError, Problem
from .load import trip_from
from .reading import MAX_BYTES, decoded, ours

#: the element that holds the data, and its attributes with the hash of what stands in it and that of the page
ELEMENT, HASH, PAGE_HASH = "seatplan-checkup", "data-sha256", "data-page-sha256"
#: a page is no longer than that
MOST_BYTES = 4 * MAX_BYTES
#: so that no data ends the element that it stands in
_ESCAPED = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026"}
_A_HASH = re.compile(r"[0-9a-f]{64}")
_STATES = ("held", "open", "nothing-fits")


@frozen
class Seal:
    """The data as it stands in the page, and its hash. ``blank``: stands for the hash of the page until that is
    known; nothing else of the page can hold it."""

    text: str
    sha256: str
    blank: str


class Foreign(InputError):
    """A file that is no checkup."""


class Damaged(InputError):
    """A checkup whose data is not what it was when it was written."""


def seal(data: Mapping[str, Any]) -> Seal:
    """The data of a checkup as text that can stand in a page."""
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    for letter, written in _ESCAPED.items():
        text = text.replace(letter, written)
    return Seal(text, sha256(text.encode()).hexdigest(), sha256(b"page " + text.encode()).hexdigest())


def page_sealed(page: str, sealed: Seal) -> tuple[str, str]:
    """A page with its hash in place of each ``blank``, and that hash."""
    digest = _page_hash(page, sealed.blank)
    return page.replace(sealed.blank, digest), digest


def _page_hash(page: str, cut: str) -> str:
    """The hash of a page without ``cut``; where it stood counts, for no page holds a NUL."""
    return sha256("\0".join(page.replace("\r\n", "\n").split(cut)).encode()).hexdigest()


class Altered(InputError):
    """A checkup whose data is what it was, and whose page is not."""


def opened(name: str) -> tuple[dict[str, Any], str]:
    """The data of the checkup at a path, and the hash of its page. Raises InputError: Foreign, Damaged, Altered, or
    that it cannot be read."""
    return opened_text(_text(name), name)


def opened_text(whole: str, name: str) -> tuple[dict[str, Any], str]:
    """The same of the text of a page. Raises InputError: Foreign, Damaged, Altered."""
    page = _Page()
    page.feed(whole)
    page.close()
    if not page.found:
        raise Foreign([Problem(name, 0, 0, said("this is no checkup of seatplan"))])
    damaged = Damaged([Problem(name, 0, 0, said(
        "this checkup is damaged, or was changed since it was written: its data does not match its hash"))])
    if len(page.found) > 1:
        raise damaged
    told, text = page.found[0]
    if sha256(text.encode()).hexdigest() != told.get(HASH):
        raise damaged
    try:
        data = json.loads(text)
    except ValueError:
        raise damaged from None
    if not _is_checkup(data):
        raise damaged
    digest = told.get(PAGE_HASH) or ""
    if not _A_HASH.fullmatch(digest) or "\0" in whole or _page_hash(whole, digest) != digest:
        raise Altered([Problem(name, 0, 0, said("the page was altered since it was written: what it shows does not "
                                                "match its hash; its data is as it was"))])
    return data, digest


def file_hash(name: str) -> str | None:
    """The hash of a file as it is now; None where it is none, or cannot be read."""
    try:
        if not S_ISREG(os.stat(name).st_mode):
            return None
        with open(name, "rb") as file:
            return file_digest(file, "sha256").hexdigest()
    except (OSError, ValueError):
        return None


def trip_text(data: Mapping[str, Any]) -> str:
    """The trip in the data of a checkup as a trip file, with the vehicle and every restraint in it."""
    written: str = yaml.safe_dump(data["file"], sort_keys=False, allow_unicode=True, width=100, default_flow_style=None)
    return written


@frozen
class ReadBack:
    """``text``: the trip as a trip file; ``rules``: what it names as its rules; ``rules_text``: what the local file of
    those said, None where they are bundled."""

    text: str
    rules: str
    rules_text: str | None


def read_back(name: str, today: date, page: str | None = None) -> ReadBack:
    """The trip in the checkup at a path, or in its text. Raises InputError."""
    data, digest = opened(name) if page is None else opened_text(page, name)
    text = f"# checkup: {data['made']}, sha256: {digest}\n{trip_text(data)}"
    refuse_unreadable(text, name, today)
    file = data.get("rules_file")
    told = file.get("text") if isinstance(file, dict) else None
    return ReadBack(text, str(data["file"].get("rules", "")), told if isinstance(told, str) else None)


def refuse_unreadable(text: str, name: str, today: date) -> None:
    """Raises InputError where a trip of a checkup cannot be read again."""
    try:
        trip_from(ours(decoded(text.encode(), name), name, "trip", today), today=today)
    except InputError as error:
        raise InputError([Problem(name, 0, 0, said("the trip in this checkup cannot be read: {text}", text=one.text))
                          for one in error.problems]) from None


def _is_checkup(data: Any) -> bool:
    """Whether data has what is read of a checkup."""
    return (isinstance(data, dict) and data.get("kind") == "checkup" and isinstance(data.get("file"), dict)
            and isinstance(data.get("made"), str) and data.get("state") in _STATES
            and isinstance(data.get("grave_cautions"), int)
            and isinstance(data.get("open"), list)
            and all(isinstance(point, dict) and isinstance(point.get("kind"), str)
                    and isinstance(point.get("things"), int) for point in data["open"]))


def _text(name: str) -> str:
    try:
        stat = os.stat(name)
        if not S_ISREG(stat.st_mode):
            raise Foreign([Problem(name, 0, 0, said("this is no file; expected a checkup"))])
        if stat.st_size > MOST_BYTES:
            raise Foreign([Problem(name, 0, 0, said("{size} bytes long; expected at most {most}",
                                                    size=Figure(stat.st_size), most=Figure(MOST_BYTES)))])
        raw = Path(name).read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or said("not a usable file name")
        raise InputError([Problem(name, 0, 0, said("this file cannot be read: {lower}",
                                                   lower=reason.lower()))]) from None
    return raw.decode("utf-8", errors="replace")


class _Page(HTMLParser):
    """Finds the element with the data: its attributes, and what stands in it."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[tuple[dict[str, str | None], str]] = []
        self._within = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self._within = tag == "script" and told.get("id") == ELEMENT
        if self._within:
            self.found.append((told, ""))

    def handle_data(self, data: str) -> None:
        if self._within:
            told, text = self.found[-1]
            self.found[-1] = told, text + data

    def handle_endtag(self, tag: str) -> None:
        self._within = False
