"""The files of the library over HTTP: listed, read, and written only over the version that was seen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from seatplan.app.errors import InputError
from seatplan.app.filling import checked, standing
from seatplan.app.misasked import Misasked
from seatplan.app.naming import refuse_outside
from seatplan.app.shelf import Changed, Held, Shelf
from seatplan.message import FieldName, said
from seatplan.views.failure_json import failure_json, head_json, mistake_json
from seatplan.views.say import t

from .answers import Reply, failed

#: kinds of files that can be written from here
KINDS = ("trip", "vehicle", "restraint")
#: letters of a file; the reader takes as many bytes
MOST = 1_000_000


def listed(library: Shelf) -> Reply:
    """Every file by number, kind and version. No title: that may be a name, and stands in the file."""
    return Reply({**head_json("files"), "files": [
        {"number": one.number, "holds": one.kind or None, "version": one.version or None}
        for one in library.listing()]})


def shown(library: Shelf, number: str) -> Reply:
    """One file, its text as it stands."""
    try:
        return _reply(library.held(number))
    except Misasked:
        return _nowhere()


def created(library: Shelf, body: Mapping[str, Any]) -> Reply:
    """A new file under the next number. Raises InputError, and then there is none."""
    kind, text = _kind(body.get("kind")), _text(body, "kind")
    _right(kind, text, "text")
    made = library.create(kind, text)
    return _reply(made, 201, location=f"/api/files/{made.number}")


def replaced(library: Shelf, number: str, body: Mapping[str, Any], expected: str | None) -> Reply:
    """Another text in place of the one that was seen. Raises InputError, and then it stays."""
    text = _text(body)
    if expected is None:
        return failed(428, t("no version is said"), t("send in If-Match the version that you saw"))
    try:
        before = library.held(number)
    except Misasked:
        return _nowhere()
    _right(before.kind, text, "text")
    try:
        return _reply(library.save(number, text, expected))
    except Changed:
        return _changed(library, number)


def removed(library: Shelf, number: str, expected: str | None) -> Reply:
    """Away with a file and all that belongs to it."""
    if expected is None:
        return failed(428, t("no version is said"), t("send in If-Match the version that you saw"))
    try:
        library.held(number)
        library.remove(number, expected)
    except Misasked:
        return _nowhere()
    except Changed:
        return _changed(library, number)
    return Reply(None, 204)


def version_in(header: str | None) -> str | None:
    """The version of an ``If-Match`` (RFC 9110, 13.1.1), one strong tag; None where none is said."""
    return None if header is None else header.strip().strip('"')


def _reply(held: Held, status: int = 200, **headers: str) -> Reply:
    return Reply({**head_json("file"), "number": held.number, "holds": held.kind, "version": held.version,
                  "text": held.text}, status, headers={"etag": f'"{held.version}"', **headers})


def _changed(library: Shelf, number: str) -> Reply:
    """Who comes later gets both: what was sent is still theirs, and this is what stands there now."""
    try:
        now = library.held(number)
    except InputError:
        return _nowhere()
    return Reply(failure_json([mistake_json(
        t("this file changed meanwhile; nothing was written"), t("read it again, and send your change to that"),
        "if-match")]), 409, headers={"etag": f'"{now.version}"'})


def _nowhere() -> Reply:
    return failed(404, t("no file of the library has that number"), t("`GET /api/files` lists them"))


def _kind(kind: Any) -> Any:
    if kind not in KINDS:
        raise Misasked("kind", said("{field} is of another kind", field=FieldName("kind")),
                       said("expected one of {known}", known=", ".join(KINDS)), allowed={"one_of": list(KINDS)})
    return kind


def _text(body: Mapping[str, Any], *also: str) -> str:
    text = body.get("text")
    other = [name for name in body if name not in ("text", *also)]
    if other or not isinstance(text, str) or len(text) > MOST:
        raise Misasked("text", said("{field} is of another kind", field=FieldName("text")),
                       said("expected the text of a file, of at most {n} letters", n=MOST))
    return text


def _right(kind: str, text: str, name: str) -> None:
    """That it reads as a file of its kind and names nothing outside the library. Raises InputError."""
    if kind not in KINDS:
        raise Misasked("number", said("such a file is not written from here"),
                       said("expected one of {known}", known=", ".join(KINDS)))
    refuse_outside(kind, standing(kind, text, name), name)  # type: ignore[arg-type]  # one of KINDS
    checked(kind, text, name)  # type: ignore[arg-type]
