"""Whole documents of ours to a browser: with their own style and script, and nothing else that is inline.

A sheet or a report is one file that opens from a mail, so style and script stand in it. The policy of such an answer
names the SHA-256 of exactly these (Content Security Policy Level 3, 2.3.1), read off the page's own tree before it is
written; whatever else somebody got into it would not run.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from hashlib import sha256
from xml.etree.ElementTree import Element

from seatplan.views.markup import html_file

from .visit import Document

_REST = ("default-src 'none'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
#: a script of this kind is data, which nothing runs and no policy asks about
_DATA = "application/json"


def page_document(root: Element, kind: str, name: str, save: bool) -> Document:
    """A page of ours by its root. ``kind``: which it says that it is; ``name``: what it is called where it is saved,
    which tells nothing of anybody; ``save``: it is to be saved and not shown."""
    policy = policy_of(root)
    return Document(html_file(root, kind), name=name if save else "", headers={"content-security-policy": policy})


def checkup_document(page: str, style: str, name: str = "") -> Document:
    """A checkup as it was written, letter by letter, since its hash is of the whole page: with the one ``style`` that
    stands in it, and no script."""
    policy = "; ".join([_REST, *_allowed("style-src", [_hash(style)])])
    return Document(page, name=name, headers={"content-security-policy": policy})


def policy_of(root: Element) -> str:
    """What may stand inline in a page: its styles, its scripts, and the attributes of its elements that are styles."""
    styles = [_hash(one.text or "") for one in root.iter("style")]
    scripts = [_hash(one.text or "") for one in root.iter("script") if one.get("type") != _DATA]
    attributes = list(dict.fromkeys(_hash(one) for one in _style_attributes(root)))
    return "; ".join([_REST, *_allowed("style-src", styles), *_allowed("script-src", scripts),
                      *_allowed("style-src-attr", ["'unsafe-hashes'", *attributes] if attributes else [])])


def _style_attributes(root: Element) -> Iterator[str]:
    yield from (told for one in root.iter() if (told := one.get("style")) is not None)


def _allowed(part: str, hashes: list[str]) -> Iterator[str]:
    if hashes:
        yield f"{part} {' '.join(hashes)}"


def _hash(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"
